"""What a record covers."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from tests.site.small import walk_up
from transposary.practice import Take, coverage

# In A minor, at 92 beats a minute.
WALK = walk_up()
CLIMB = replace(WALK, slug="climb", tempo=None)


def _take(device: str, slot: str, day: int, tempo: int, slips: int = 0) -> Take:
    return Take(device, slot, date(2026, 3, day), tempo, slips)


def test_the_last_take_of_a_device_in_a_key_counts() -> None:
    """A cell has the last take and how many there were; devices without any have no row."""
    covered = coverage((WALK, CLIMB), (_take("walk-up", "C", 1, 60, 3), _take("walk-up", "C", 2, 70)))
    (row,) = covered.rows
    assert row.device is WALK
    assert {slot: (cell.last.tempo, cell.takes) for slot, cell in row.cells.items()} == {"C": (70, 2)}


def test_the_weakest_keys_come_first() -> None:
    """A key is as strong as what was reached of the goals in it, and slips decide between equals."""
    takes = (
        _take("walk-up", "C", 1, 46),
        _take("climb", "C", 1, 96),
        _take("walk-up", "D", 1, 184, 2),
        _take("walk-up", "E", 1, 92, 1),
    )
    keys = coverage((WALK, CLIMB), takes).keys
    assert [key.slot for key in keys[9:]] == ["D", "E", "C"]
    assert [key.strength for key in keys[9:]] == [Fraction(1, 2), Fraction(1, 2), Fraction(3, 4)]
    assert [key.devices for key in keys] == [*[0] * 9, 1, 1, 2]
    assert {key.strength for key in keys[:9]} == {0}


def test_devices_that_stayed_at_home_are_named() -> None:
    """A device counts as being at home while its own key is the only one it was played in."""
    first = (_take("walk-up", "A", 1, 60), _take("climb", "C", 1, 60))
    assert coverage((WALK, CLIMB), first).at_home == (WALK,)
    assert coverage((WALK, CLIMB), (*first, _take("walk-up", "D", 2, 60))).at_home == ()


def test_an_empty_record_covers_nothing() -> None:
    """Without a take there are no rows, and all keys are as weak."""
    covered = coverage((WALK,), ())
    assert (covered.rows, covered.at_home) == ((), ())
    assert {key.strength for key in covered.keys} == {0}
