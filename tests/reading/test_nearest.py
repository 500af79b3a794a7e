"""Names that an author may have meant."""

from __future__ import annotations

import pytest

from transposary.reading.nearest import distance, nearest, slip_of


@pytest.mark.parametrize(
    ("one", "other", "letters"),
    [
        ("walkup", "walkup", 0),
        ("walkup", "walkups", 1),
        ("walkup", "wlakup", 1),
        ("walkup", "wakup", 1),
        ("walkup", "walkdp", 1),
        ("walkup", "wlakpu", 2),
        ("walkup", "walkdown", 3),
        ("fill", "pedalpoint", 3),
    ],
)
def test_distance(one: str, other: str, letters: int) -> None:
    """Letters inserted, dropped, changed or swapped count one each, in both directions."""
    assert min(distance(one, other), 3) == letters
    assert min(distance(other, one), 3) == letters


def test_slips_need_more_right_letters_than_wrong_ones() -> None:
    """A short name is not taken for another one because two letters differ."""
    assert slip_of("fill", ["roll"]) is None
    assert slip_of("Walk Upp", ["vamp", "walk-up"]) == "walk-up"
    assert slip_of("walk-up", ["vamp"]) is None


def test_nearest_sees_through_case_and_hyphens() -> None:
    """Suggestions compare names as they match, and offer the spelling that is known."""
    assert nearest("HEARDIN", ["heard_in", "over"]) == "heard_in"
    assert nearest("loudness", ["likeness"]) is None
