"""Beams."""

from fractions import Fraction

import pytest

from transposary.engraving.beams import Stem, beams
from transposary.passage import Meter

_FLAGS = {"1": 0, "1/2": 1, "3/4": 1, "1/4": 2, "1/8": 3, "3/8": 2}
_SHORT = {"begin": "b", "continue": "c", "end": "e", "forward hook": "f", "backward hook": "h"}


def _beams(text: str, meter: Meter) -> str:
    """Reads lengths joined by `-`, rests as `z1/2`, and writes the states of each note's beams."""
    stems: list[Stem] = []
    offset = Fraction(0)
    for group in text.split():
        words = group.split("-")
        for place, word in enumerate(words):
            length = word.removeprefix("z")
            rest = word.startswith("z")
            stems.append(Stem(offset, _FLAGS[length], rest=rest, joined=place < len(words) - 1))
            offset += Fraction(length)
    return " ".join("".join(_SHORT[state] for state in one) or "." for one in beams(stems, meter))


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("1/2-1/2 1", "b e ."),
        ("1/2 1/2", ". ."),
        ("1/2-1/4-1/4", "b cb ee"),
        ("1/4-1/4-1/2", "bb ce e"),
        ("1/4-1/2-1/4", "bf c eh"),
        ("3/4-1/4", "b eh"),
        ("1/4-3/4", "bf e"),
        ("1/4-1/4-1/4-1/4-1/4-1/4-1/4-1/4", "bb cc cc ce cb cc cc ee"),
        ("1/2-1/8-3/8", "b cbf ee"),
        ("1/2-z1/2-1/2", "b . e"),
        ("z1/2-1/2-1/2", ". b e"),
        ("1/2-1-1/2", ". . ."),
    ],
)
def test_inner_beams_follow_the_values_and_stop_at_each_beat(written: str, expected: str) -> None:
    """Common practice, no source: sixteenths within eighths, hooks towards their beat, rests under beams."""
    assert _beams(written, Meter(4, 4)) == expected


def test_inner_beams_keep_together_through_a_beat_of_three() -> None:
    """Six sixteenths of 6/8 and of 3/8 are one group."""
    six = "1/4-1/4-1/4-1/4-1/4-1/4"
    assert _beams(six, Meter(6, 8)) == _beams(six, Meter(3, 8)) == "bb cc cc cc cc ee"


def test_a_beam_ends_with_its_bar() -> None:
    """A beam that would run over the barline closes at the last note of the bar."""
    stems = [Stem(Fraction(place, 2), 1, rest=False, joined=True) for place in range(2)]
    assert beams(stems, Meter(4, 4)) == (("begin",), ("end",))
