"""Low-interval limits, keyboard sizes and names of intervals."""

import pytest

from tests.theory.build import build
from transposary.pitch import Interval, Pitch
from transposary.theory.interval_names import name_interval
from transposary.theory.keyboard import distance_mm
from transposary.theory.registers import close_pairs, too_low


@pytest.mark.parametrize(
    ("low", "high", "muddy"),
    [
        ("C2", "Eb2", True),
        ("C4", "Eb4", False),
        ("C3", "Eb3", False),
        ("B2", "D3", True),
        ("C3", "G3", False),
        ("C2", "G2", True),
        ("A0", "A1", False),
        ("E2", "F3", False),
        ("F2", "Db3", False),
    ],
)
def test_a_close_interval_has_a_lowest_place(low: str, high: str, *, muddy: bool) -> None:
    """Below its limit an interval is mud; octaves and wider intervals have none."""
    assert too_low(Pitch.parse(low).midi, Pitch.parse(high).midi) is muddy


def test_neighbours_that_sound_together_are_close_pairs() -> None:
    """Across hands and voices, held notes too; doubled notes and wide intervals are no pairs."""
    passage = build("E4:1 F4:1", RH2="C4:2", LH="C2:2")
    found = [(str(low.pitch), str(high.pitch)) for low, high in close_pairs(passage)]
    assert found == [("C4", "E4"), ("C4", "F4")]


@pytest.mark.parametrize(
    ("interval", "name"),
    [
        (Interval(0, 0), "unison"),
        (Interval(1, 1), "minor second"),
        (Interval(-2, -4), "major third"),
        (Interval(3, 6), "augmented fourth"),
        (Interval(4, 7), "perfect fifth"),
        (Interval(6, 9), "diminished seventh"),
        (Interval(7, 12), "octave"),
        (Interval(7, 13), "augmented octave"),
        (Interval(9, 16), "major tenth"),
        (Interval(14, 24), "double octave"),
        (Interval(16, 28), "major 17th"),
        (Interval(3, 7), "doubly augmented fourth"),
        (Interval(3, 9), "4 times augmented fourth"),
    ],
)
def test_intervals_have_names(interval: Interval, name: str) -> None:
    """Quality and number in words, whatever the direction."""
    assert name_interval(interval) == name


def test_a_key_is_as_far_as_a_ruler_says() -> None:
    """Distances grow with the keys between, and do not depend on the octave."""
    assert distance_mm(60, 72) == distance_mm(24, 36)
    widths = [distance_mm(60, high) for high in range(60, 85)]
    assert widths == sorted(widths)
