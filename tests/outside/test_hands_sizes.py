"""Sizes of keyboards and hands, and low intervals, against published figures.

Hands: R. and R. Boyle and E. Booker, "Pianist Hand Spans: Gender and Ethnic Differences and
Implications for Piano Playing" (2015, 473 adult pianists). Keyboard: a white key of 23.5 mm,
an octave of 164 to 165 mm (that paper and makers' sizes agree). Low intervals: what two tables
of arrangers have in common; their values differ by up to two semitones.
"""

import pytest

from transposary.pitch import Pitch
from transposary.theory.keyboard import distance_mm
from transposary.theory.registers import LOW_INTERVAL_LIMITS, too_low

INCH = 25.4


def _apart(low: str, high: str) -> float:
    return distance_mm(Pitch.parse(low).midi, Pitch.parse(high).midi)


@pytest.mark.parametrize(
    ("high", "mm"), [("D4", 23.5), ("C5", 164.5), ("D5", 188.0), ("E5", 211.5), ("F5", 235.0)]
)
def test_white_keys_are_as_far_apart_as_published(high: str, mm: float) -> None:
    """From C4: a second, an octave, a ninth, a tenth, an eleventh."""
    assert _apart("C4", high) == pytest.approx(mm)


def test_the_zones_of_hand_spans_match_the_keyboard() -> None:
    """A small hand (under 8.5 in) does not reach the tenth, one of 7.6 in reaches the ninth."""
    assert _apart("C4", "D5") < 7.6 * INCH < _apart("C4", "E5") < 8.5 * INCH < _apart("C4", "F5")


@pytest.mark.parametrize(
    ("low", "high", "muddy"),
    [
        ("C2", "Eb2", True),
        ("C4", "Eb4", False),
        ("C3", "G3", False),
        ("C4", "G4", False),
        ("B2", "C3", True),
        ("B2", "C#3", True),
        ("C2", "D2", True),
    ],
)
def test_low_intervals_as_all_tables_have_them(low: str, high: str, *, muddy: bool) -> None:
    """Low thirds and seconds are mud, thirds at middle C and fifths from C3 are clear."""
    assert too_low(Pitch.parse(low).midi, Pitch.parse(high).midi) is muddy


def test_wider_intervals_may_lie_lower() -> None:
    """From the minor second to the tritone each limit is lower than the one before."""
    limits = [LOW_INTERVAL_LIMITS[semitones].midi for semitones in range(1, 7)]
    assert limits == sorted(limits, reverse=True)
    assert len(set(limits)) == len(limits)
