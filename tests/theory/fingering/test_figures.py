"""Where a line is a scale or an arpeggio, and its fingering over several octaves."""

from itertools import accumulate

import pytest

from transposary.passage import Hand
from transposary.theory.fingering.figures import (
    CHROMATIC,
    HARMONIC_MINOR,
    MAJOR,
    MAJOR_TRIAD,
    MINOR_TRIAD,
    figures,
)

UP = list(accumulate(MAJOR, initial=60))


@pytest.mark.parametrize("pattern", [MAJOR, HARMONIC_MINOR, MAJOR_TRIAD, MINOR_TRIAD])
def test_figures_go_from_tonic_to_tonic(pattern: tuple[int, ...]) -> None:
    """A scale or an arpeggio is found as a whole, up and down, and not without its last note."""
    row = list(accumulate(pattern, initial=57))
    (up,) = figures(row)
    (down,) = figures(row[::-1])
    assert (up.pattern, up.falling, up.tonic) == (pattern, False, 57)
    assert (down.pattern, down.falling, down.tonic) == (pattern, True, 57)
    assert list(figures(row[:-1])) == []
    assert list(figures(row[1:])) == []


def test_a_figure_ends_where_the_line_turns_or_breaks() -> None:
    """Up and down are two figures that share their turning note; a chord ends one, a longer run is none."""
    both = list(figures([*UP, *UP[-2::-1]]))
    assert [(one.first, one.last, one.falling) for one in both] == [(0, 7, False), (7, 14, True)]
    assert [(one.first, one.last) for one in figures([None, *UP, None])] == [(1, 8)]
    assert list(figures([*UP, 74])) == []
    assert list(figures([60, 60, *UP[1:]])) == [*figures([None, *UP])]
    assert list(figures([])) == list(figures([60])) == list(figures([None, None])) == []


def test_a_chromatic_scale_has_eight_notes_or_more() -> None:
    """A shorter one lies under the five fingers and is no figure."""
    (found,) = figures(list(range(60, 68)))
    assert (found.first, found.last, found.pattern) == (0, 7, CHROMATIC)
    assert list(figures(list(range(60, 67)))) == []
    assert found.fingers(Hand.RIGHT, 0) == (1, 3, 1, 3, 1, 2, 3, 1)


@pytest.mark.parametrize(
    ("tonic", "hand", "pattern", "fingers"),
    [
        (60, Hand.RIGHT, MAJOR, "123123412312345"),
        (60, Hand.LEFT, MAJOR, "543213214321321"),
        (65, Hand.RIGHT, MAJOR, "123412312341234"),
        (59, Hand.LEFT, MAJOR, "432143213214321"),
        (60, Hand.RIGHT, MAJOR_TRIAD, "1231235"),
        (60, Hand.LEFT, MAJOR_TRIAD, "5421421"),
    ],
)
def test_two_octaves_join_on_the_tonic(
    tonic: int, hand: Hand, pattern: tuple[int, ...], fingers: str
) -> None:
    """In the middle the right hand begins anew, and the left hand crosses over; common practice."""
    (found,) = figures(list(accumulate(pattern * 2, initial=tonic)))
    assert "".join(map(str, found.fingers(hand, 0))) == fingers
