"""The grammar of chord suffixes: what it refuses, and that it reads what it writes."""

import pytest

from tests.strategies import SUFFIXES
from transposary.pitch import Degree
from transposary.problems import Fault
from transposary.theory.chord_vocabulary import BASES, figure_of, near_suffixes, suffix_of
from transposary.theory.suffixes import tones_of


@pytest.mark.parametrize(
    ("suffix", "fault"),
    [
        (
            "b5",
            Fault(0, "the sign in 'b5' is read with the root when it stands right behind it", "write '(b5)'"),
        ),
        (
            "-5",
            Fault(0, "'-5' names a chord without a third and a quality", "write '(b5)' for a lowered fifth"),
        ),
        ("m5", Fault(0, "'m5' names a chord without a third and a quality")),
        ("+11", Fault(0, "'+11' can mean two things", "put the alteration in parentheses")),
        ("4", Fault(0, "'4' can mean two things", "write 'sus4' or 'add4'")),
        ("ø6", Fault(0, "'ø6' is no chord: a diminished chord has no added 6")),
        ("majM7", Fault(0, "'majM7' names the seventh twice")),
        ("ømaj7", Fault(0, "'ømaj7' names the seventh twice")),
        ("mmaj6", Fault(0, "'mmaj6' names a major seventh and no extension that has one")),
        ("7(b9", Fault(1, "the parenthesis is not closed", "add ')'")),
        ("7b9)", Fault(3, "cannot read ')'")),
        ("7(,b9)", Fault(2, "cannot read ',b9)'")),
        ("7#13", Fault(1, "cannot read '#13'")),
        ("7b11", Fault(1, "cannot read 'b11'")),
        ("7maj9", Fault(4, "cannot read '9'")),
        ("9(maj7)", Fault(2, "'maj7' comes after another extension")),
        ("9add9", Fault(1, "'add9' adds what the chord has already")),
        ("7b9b9", Fault(3, "'b9' adds what the chord has already")),
        ("6no7", Fault(1, "'no7' leaves out what the chord does not have")),
        ("m7no3", Fault(2, "'no3' leaves out the third, so that minor or diminished says nothing")),
        (
            "m7sus4",
            Fault(2, "'sus4' replaces the third, so that minor, diminished or augmented says nothing"),
        ),
        ("5sus4", Fault(1, "'sus4' finds no third to replace")),
        ("7sus13", Fault(1, "'sus13' finds no third to replace")),
        ("7altb9", Fault(1, "'alt' stands alone behind the root or its 7")),
        ("m7alt", Fault(2, "'alt' stands alone behind the root or its 7")),
    ],
)
def test_contradictions_are_refused_where_they_stand(suffix: str, fault: Fault) -> None:
    """A fault has the offset of what cannot be, and says why."""
    assert tones_of(suffix) == fault


def test_tones_have_a_name_that_reads_back() -> None:
    """Every chord of the grammar is named by a suffix that means the same tones."""
    tones = {suffix: tones_of(suffix) for suffix in SUFFIXES}
    named = {suffix: suffix_of(found) for suffix, found in tones.items() if not isinstance(found, Fault)}
    assert {suffix: tones_of(name) for suffix, name in named.items()} == tones


def test_tones_ascend_from_the_root() -> None:
    """The root comes first, and nothing stands twice."""
    for suffix in SUFFIXES:
        tones = tones_of(suffix)
        assert not isinstance(tones, Fault)
        heights = [tone.semitones for tone in tones]
        assert heights[0] == 0
        assert heights == sorted(heights)
        assert len(set(tones)) == len(tones)


@pytest.mark.parametrize(
    ("suffix", "named", "figure"),
    [
        ("-7", "m7", "7"),
        ("Δ", "maj7", "maj7"),
        ("7(b9)", "7b9", "7(b9)"),
        ("7#9b13", "7#9b13", "7(#9,b13)"),
        ("add9", "(add9)", "(add9)"),
        ("-Δ9", "m(maj9)", "maj9"),
        ("ø9", "m9b5", "ø9"),
        ("°", "dim", "o"),
        ("+7", "7#5", "+7"),
        ("(no5)", "(no5)", "(no5)"),
        ("no3", "5", "5"),
        ("sus24", "sus4(add2)", "sus4(add2)"),
        ("m7(b5,add11)", "m7b5(add11)", "ø7(add11)"),
    ],
)
def test_the_shortest_name_is_taken(suffix: str, named: str, figure: str) -> None:
    """Chord symbols and numerals write the base that needs the fewest changes."""
    tones = tones_of(suffix)
    assert not isinstance(tones, Fault)
    assert (suffix_of(tones), figure_of(tones)) == (named, figure)


def test_every_base_is_a_chord() -> None:
    """No base is mistyped, and no two have the same tones."""
    assert all(Degree(1) in base.tones for base in BASES)
    assert len({base.tones for base in BASES}) == len(BASES)


def test_tones_that_no_suffix_means_have_no_name() -> None:
    """What the grammar cannot read cannot be named."""
    with pytest.raises(ValueError, match="no chord has the tones 3 5"):
        suffix_of((Degree(3), Degree(5)))


def test_a_mistyped_suffix_finds_its_neighbours() -> None:
    """Known suffixes that look alike are offered, the nearest first."""
    assert near_suffixes("majj7")[0] == "maj7"
    assert near_suffixes("xyz") == []
