"""The rules of the ergonomic model one by one, right hand; MIDI 60 is C."""

import pytest

from transposary.theory.fingering.model import (
    Touch,
    cost,
    five_on_black,
    four_on_black,
    large_span,
    position_change_count,
    position_change_size,
    small_span,
    stretch,
    three_four_five,
    three_to_four,
    thumb_beside_white,
    thumb_on_black,
    thumb_passing,
    weak_finger,
)


@pytest.mark.parametrize(("fingers", "points"), [("12345", [0, 0, 0, 1, 1])])
def test_fourth_and_fifth_finger_are_weak(fingers: str, points: list[int]) -> None:
    """Each use of the fourth or the fifth finger costs a point."""
    assert [weak_finger(Touch(60, int(finger))) for finger in fingers] == points


@pytest.mark.parametrize(
    ("one", "two", "points"),
    [
        ((60, 1), (64, 2), (0, 0, 0)),
        ((60, 1), (67, 2), (0, 0, 2)),
        ((60, 1), (70, 2), (4, 0, 5)),
        ((60, 2), (61, 5), (2, 8, 0)),
        ((62, 2), (60, 1), (0, 0, 0)),
        ((60, 2), (64, 3), (2, 0, 4)),
        ((60, 1), (60, 2), (0, 1, 0)),
        ((60, 3), (62, 3), (4, 0, 0)),
    ],
)
def test_spans_cost_by_the_semitone(
    one: tuple[int, int], two: tuple[int, int], points: tuple[int, int, int]
) -> None:
    """A stretch costs two points a semitone; a narrow or wide hand one with the thumb, else two."""
    pair = Touch(*one), Touch(*two)
    assert (stretch(*pair), small_span(*pair), large_span(*pair)) == points


def test_black_keys_cost_more_beside_white_ones() -> None:
    """The thumb on a black key costs one point and two for each white neighbour, the fifth finger two."""
    white, black = Touch(60, 2), Touch(63, 2)
    assert thumb_on_black(Touch(61, 1)) == 1
    assert thumb_on_black(Touch(60, 1)) == 0
    assert thumb_beside_white(Touch(61, 1), white) == thumb_beside_white(white, Touch(61, 1)) == 2
    assert thumb_beside_white(Touch(61, 1), black) == 0
    assert five_on_black(Touch(66, 5), white) == five_on_black(white, Touch(66, 5)) == 2
    assert five_on_black(Touch(66, 5), black) == 0


def test_the_fourth_finger_follows_the_third_with_effort() -> None:
    """Third to fourth costs a point, not back; and one where the fourth is on black, either way."""
    white, black = Touch(60, 3), Touch(61, 4)
    assert (three_to_four(white, black), three_to_four(black, white)) == (1, 0)
    assert (four_on_black(white, black), four_on_black(black, white)) == (1, 1)
    assert four_on_black(Touch(61, 3), Touch(63, 4)) == 0


@pytest.mark.parametrize(
    ("one", "two", "points"),
    [
        ((64, 3), (65, 1), 1),
        ((66, 3), (68, 1), 1),
        ((64, 3), (66, 1), 3),
        ((66, 3), (67, 1), 0),
        ((60, 1), (62, 2), 0),
    ],
)
def test_passing_the_thumb_costs_by_the_level_of_the_keys(
    one: tuple[int, int], two: tuple[int, int], points: int
) -> None:
    """One point on one level, three for the thumb on black under a finger on white."""
    assert thumb_passing(Touch(*one), Touch(*two)) == points
    assert thumb_passing(Touch(*two), Touch(*one)) == points


def test_a_position_changes_fully_or_by_half() -> None:
    """A full change has the thumb in the middle and its ends out of reach; its size counts besides."""
    full = Touch(62, 2), Touch(65, 1), Touch(72, 2)
    half = Touch(60, 2), Touch(62, 3), Touch(69, 4)
    none = Touch(60, 1), Touch(62, 2), Touch(64, 3)
    assert [position_change_count(*three) for three in (full, half, none)] == [2, 1, 0]
    assert [position_change_size(*three) for three in (full, half, none)] == [10, 4, 0]


def test_third_fourth_and_fifth_finger_in_a_row_cost_a_point() -> None:
    """In whatever order."""
    assert three_four_five(Touch(60, 3), Touch(64, 5), Touch(62, 4)) == 1
    assert three_four_five(Touch(60, 3), Touch(62, 4), Touch(60, 3)) == 0


def test_the_cost_of_a_line_adds_up_its_rules() -> None:
    """Five fingers on five white keys: two weak ones, third to fourth, and three, four, five."""
    assert cost((60, 62, 64, 65, 67), (1, 2, 3, 4, 5)) == 4
