"""Cadences and progressions by name.

Cadences after Open Music Theory; players' progressions are common practice, no source.
"""

import pytest

from transposary.problems import Fault
from transposary.theory.families import family_of
from transposary.theory.numerals import Numeral, parse_numeral
from transposary.theory.progressions import progressions

EXAMPLES = [
    ("V7 I", ["authentic cadence"]),
    ("V7 i", ["authentic cadence in minor"]),
    ("IV I", ["plagal cadence"]),
    ("iv I", ["minor plagal cadence"]),
    ("V7 vi", ["deceptive cadence"]),
    ("V7 bVI", ["deceptive cadence in minor"]),
    ("I IV V", ["half cadence"]),
    ("I/5 V7 I", ["cadential six-four", "authentic cadence"]),
    ("ii7 V7 Imaj7", ["ii–V–I"]),
    ("iiø7 V7 i", ["minor ii–V–i"]),
    ("IV V I", ["IV–V–I"]),
    ("iv7 bVII7 Imaj7", ["back-door cadence"]),
    ("ii7 bII7 Imaj7", ["ii–V–I with a tritone substitution"]),
    ("bII7 I6", ["tritone substitution"]),
    ("Imaj7 vi7 ii7 V7", ["turnaround"]),
    ("Imaj7 VI7 ii7 V7", ["turnaround with a secondary dominant"]),
    ("Imaj7 V7/ii ii7 V7", ["turnaround with a secondary dominant"]),
    ("iii7 VI7 ii7 V7", ["turnaround from the third"]),
    ("I #Io7 ii7 V7", ["turnaround with a passing diminished chord"]),
    ("I7 VI7 II7 V7", ["turnaround of dominants"]),
    ("Imaj7 bIIImaj7 bVImaj7 bII7", ["turnaround with lowered degrees"]),
    ("bVI bVII I", ["Aeolian cadence"]),
    ("bVII I", ["Mixolydian cadence"]),
    ("IV #ivo7 I/5", ["climb through a diminished chord to the tonic over its fifth"]),
    ("i bVII bVI V7", ["descending minor tetrachord"]),
    ("I IV", []),
    ("V7 N.C. I", []),
]


def _numeral(word: str) -> Numeral | None:
    if word == "N.C.":
        return None
    found = parse_numeral(word.replace("#Io7", "#io7"))
    assert not isinstance(found, Fault), found
    return found


@pytest.mark.parametrize(("line", "names"), EXAMPLES, ids=[line for line, _ in EXAMPLES])
def test_progressions_have_their_names(line: str, names: list[str]) -> None:
    """A row of numerals is named by the longest patterns that it holds."""
    assert [one.name for one in progressions([_numeral(word) for word in line.split()])] == names


@pytest.mark.parametrize(
    ("numeral", "family"),
    [
        ("I", "major"),
        ("I69", "major"),
        ("I13", "dominant"),
        ("I+7", "dominant"),
        ("I+", "augmented"),
        ("i6", "minor"),
        ("iø7", "half-diminished"),
        ("io7", "diminished"),
        ("io", "diminished"),
        ("I7sus4", "suspended"),
        ("I5", "power"),
    ],
)
def test_families(numeral: str, family: str) -> None:
    """A chord belongs to the family that players would exchange it with."""
    found = _numeral(numeral)
    assert found is not None
    assert family_of(found.tones) == family
