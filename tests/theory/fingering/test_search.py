"""The search for the easiest fingering; keys are MIDI numbers of the right hand."""

from itertools import pairwise, product

from hypothesis import given, settings
from hypothesis import strategies as st

from transposary.theory.fingering.grips import can_be_held, cost_across, grips
from transposary.theory.fingering.model import cost
from transposary.theory.fingering.search import Moment, Wish, search
from transposary.theory.fingering.spans import FINGERS, reaches

KEYS = st.integers(57, 76)


def _line(*keys: int) -> list[Moment]:
    return [Moment((key,)) for key in keys]


def _fingers(moments: list[Moment]) -> str:
    return " ".join("".join(map(str, grip)) or "-" for grip in search(moments))


@settings(max_examples=40, deadline=None)
@given(st.lists(KEYS, min_size=1, max_size=5))
def test_a_line_gets_the_fingering_of_least_cost(keys: list[int]) -> None:
    """No fingering within the spans costs less than the one found, where one exists."""
    legal = [
        fingers
        for fingers in product(FINGERS, repeat=len(keys))
        if all(
            reaches(one, two, second - first)
            for (first, one), (second, two) in pairwise(zip(keys, fingers, strict=True))
        )
    ]
    found = [grip[0] for grip in search(_line(*keys))]
    if legal:
        assert cost(keys, found) == min(cost(keys, fingers) for fingers in legal)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(KEYS, min_size=1, max_size=6, unique=True).map(sorted), min_size=1, max_size=5))
def test_every_grip_can_be_held(chords: list[list[int]]) -> None:
    """No finger is twice in a grip, all are within reach; what cannot be held gets no fingering."""
    for chord, grip in zip(chords, search([Moment(tuple(chord)) for chord in chords]), strict=True):
        assert bool(grip) is bool(len(chord) <= 5 and grips(tuple(chord)))
        assert not grip or can_be_held(chord, grip)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(48, 84), min_size=2, max_size=7))
def test_a_line_leaps_only_where_nothing_reaches(keys: list[int]) -> None:
    """Two notes in a row lie within the span of their fingers, unless none follows the first."""
    found = [(key, grip[0]) for key, grip in zip(keys, search(_line(*keys)), strict=True)]
    for (first, one), (second, two) in pairwise(found):
        assert reaches(one, two, second - first) or not any(
            reaches(one, other, second - first) for other in FINGERS
        )


def test_a_held_note_keeps_its_finger() -> None:
    """While the thumb holds, the line above has the others, and never the thumb."""
    held = (60,)
    line = [
        Moment((60, 67)),
        Moment((69,), held),
        Moment((71,), held),
        Moment((69,), held),
        Moment((67,), held),
    ]
    thumb, *others = search(line)
    assert thumb[0] == 1
    assert 1 not in {grip[0] for grip in others}


def test_what_cannot_be_held_on_to_is_let_go() -> None:
    """A note held too far from what is struck loses its finger, and the line goes on."""
    assert _fingers([Moment((48,)), Moment((72,), (48,)), Moment((74,), (48,))]) == "1 4 5"


def test_what_no_hand_holds_gets_no_fingering() -> None:
    """Six keys at once have none, nor have two that are two octaves apart; the notes around have."""
    assert _fingers([Moment((60,)), Moment((60, 62, 64, 65, 67, 69)), Moment((60,))]) == "1 - 1"
    assert _fingers([Moment((48, 72))]) == "-"


def test_wishes_are_followed() -> None:
    """A finger that has to be is, even where it leaps; one with a price is where it is cheap."""
    kept = [Moment((60,), wish=Wish((3,))), Moment((62,), wish=Wish((3,))), Moment((64,))]
    assert _fingers(kept)[:3] == "3 3"
    cheap = [Moment((60,), wish=Wish((2,), 1)), *_line(62, 64)]
    dear = [Moment((60,), wish=Wish((5,), 1)), *_line(62, 64)]
    assert (_fingers(cheap), _fingers(dear)) == ("1 2 3", "1 2 3")
    assert _fingers([Moment((60,), wish=Wish((2,), 9)), *_line(62, 64)])[0] == "2"


def test_a_wish_may_cross_the_thumb_in_a_chord() -> None:
    """The thumb under the second finger is found only where it is asked for."""
    assert search([Moment((60, 62), wish=Wish((2, 1)))]) == ((2, 1),)


def test_a_wish_that_no_hand_can_follow_is_left_out() -> None:
    """One finger on two keys, or two that do not reach, give way to the easiest grip."""
    easiest = search([Moment((60, 64))])
    assert search([Moment((60, 64), wish=Wish((1, 1)))]) == easiest
    assert search([Moment((60, 64), wish=Wish((4, 5)))]) != ()


def test_a_wish_holds_beside_a_held_note() -> None:
    """A finger asked for is given while another key is held."""
    moments = [Moment((60, 67)), Moment((69,), (60,), wish=Wish((3,)))]
    assert search(moments)[1] == (3,)


def test_after_a_rest_a_finger_may_take_another_key() -> None:
    """Without the rest the second finger could not follow itself."""
    wish = Wish((2,))
    moments = [Moment((60,), wish=wish), Moment((62,), rested=True, wish=wish)]
    assert _fingers(moments) == "2 2"


def test_the_cost_of_a_grip_counts_neighbours_and_black_keys() -> None:
    """The fourth finger is weak, and thumb and fifth finger stand badly on black beside white."""
    assert cost_across((60, 64, 67), (1, 3, 5)) == 0
    assert cost_across((60, 64, 67), (1, 2, 4)) == 1
    assert cost_across((61, 64, 68), (1, 3, 5)) == 3
    assert cost_across((61, 66, 70), (1, 3, 5)) == 1
    assert cost_across((64, 67, 71), (2, 3, 5)) == 3
    assert cost_across((62,), (4,)) == 1


def test_chords_that_move_in_thirds_alternate() -> None:
    """A row of thirds goes through the fingers; a block that moves as a whole keeps its shape."""
    thirds = [Moment((low, high)) for low, high in ((60, 64), (62, 65), (64, 67))]
    assert _fingers(thirds) == "13 24 35"
    block = [Moment((60, 64, 67)), Moment((62, 66, 69)), Moment((60, 64, 67))]
    assert _fingers(block) == "135 135 135"
