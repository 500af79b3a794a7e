"""Spelled transposition against music21, partitura and a rule of six lines.

21 note names (A to G, natural, sharp, flat) by 13 intervals: 273 cases. music21 and partitura
share no code with each other or with us.
"""

import pytest
from music21.interval import Interval as Music21Interval
from music21.pitch import Pitch as Music21Pitch
from partitura.score import Interval as PartituraInterval
from partitura.utils.music import transpose_note_attributes

from transposary.pitch import Interval, Pitch

NAMES = [letter + sign for letter in "CDEFGAB" for sign in ("", "#", "b")]
INTERVALS = {
    "P1": Interval(0, 0),
    "m2": Interval(1, 1),
    "M2": Interval(1, 2),
    "m3": Interval(2, 3),
    "M3": Interval(2, 4),
    "P4": Interval(3, 5),
    "A4": Interval(3, 6),
    "d5": Interval(4, 6),
    "P5": Interval(4, 7),
    "m6": Interval(5, 8),
    "M6": Interval(5, 9),
    "m7": Interval(6, 10),
    "M7": Interval(6, 11),
}
_LETTERS, _SEMITONES = "CDEFGAB", (0, 2, 4, 5, 7, 9, 11)


def _up_by_rule(name: str, letters: int, semitones: int) -> str:
    """Moves a name by letters and semitones: the rule that a theory book gives."""
    start = _LETTERS.index(name[0])
    alter = name.count("#") - name.count("b")
    goal = start + letters
    alter += _SEMITONES[start] + semitones - (_SEMITONES[goal % 7] + 12 * (goal // 7))
    return _LETTERS[goal % 7] + ("#" * alter if alter > 0 else "b" * -alter)


def _up_by_music21(name: str, interval: str) -> str:
    moved = Music21Interval(interval).transposePitch(
        Music21Pitch(name.replace("b", "-") + "4"), maxAccidental=None
    )
    return moved.nameWithOctave.replace("-", "b")


def _up_by_partitura(name: str, interval: str) -> str:
    alter = name.count("#") - name.count("b")
    step, alter, octave = transpose_note_attributes(
        step=name[0], alter=alter, octave=4, interval=PartituraInterval(int(interval[1:]), interval[0])
    )
    return step + ("#" * alter if alter > 0 else "b" * -alter) + str(octave)


@pytest.mark.parametrize("interval", INTERVALS)
def test_273_cases_agree_with_independent_implementations(interval: str) -> None:
    """The same letter, accidental and octave, up and down again."""
    ours = INTERVALS[interval]
    for name in NAMES:
        start = Pitch.parse(f"{name}4")
        moved = start.up(ours)
        assert str(moved) == _up_by_music21(name, interval)
        assert str(moved) == _up_by_partitura(name, interval)
        assert str(moved.name) == _up_by_rule(name, ours.steps, ours.semitones)
        assert str(start.name.up(ours)) == str(moved.name)
        assert moved.up(-ours) == start
        assert str(ours) == interval


def test_the_cases_are_those_of_the_claim() -> None:
    """21 names by 13 intervals."""
    assert len(NAMES) * len(INTERVALS) == 273
