"""Repeats as they are played."""

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import tunes
from tests.theory.abc import passage
from transposary.notes import attacks
from transposary.passage import Passage
from transposary.repeats import times_through
from transposary.stretches import as_played, unfolded


@dataclass(frozen=True)
class Sign:
    """A bar of nothing but signs."""

    repeat_begun: bool = False
    repeat_ended: bool = False
    ending: str = ""


HEAD = "M:4/4\nL:1/4\nK:C\n"


def _bars(music: str) -> list[int]:
    return [bar.number for bar in unfolded(passage(HEAD + music)).bars]


def _struck(music: str) -> list[tuple[Fraction, Fraction, int]]:
    found = attacks(unfolded(passage(HEAD + music)))
    return [(note.onset, note.duration, note.pitch.midi) for note in found]


@pytest.mark.parametrize(
    ("music", "played"),
    [
        ("|: C4 | D4 :|", [1, 2, 1, 2]),
        ("C4 | D4 :| E4 |]", [1, 2, 1, 2, 3]),
        ("C4 |: D4 :: E4 :|", [1, 2, 2, 3, 3]),
        ("C4 :| D4 :|", [1, 1, 2, 2]),
        ("|: C4 |1 D4 :|2 E4 || F4 |]", [1, 2, 1, 3, 4]),
        ("|: C4 |1 D4 | E4 :|2 F4 | G4 |]", [1, 2, 3, 1, 4, 5]),
        ("|: C4 |1 D4 :|2 E4 :|", [1, 2, 1, 3]),
        ("|: C4 |1 D4 :|2 E4 |: F4 :|", [1, 2, 1, 3, 4, 4]),
    ],
)
def test_bars_come_in_the_order_of_playing(music: str, played: list[int]) -> None:
    """Twice what is repeated, the first ending the first time and the second the second."""
    assert _bars(music) == played


def test_a_first_ending_can_do_without_a_second() -> None:
    """The second time goes on behind the repeat, and no later ending is taken for its second.

    An entry may not write that, but scores of other programs do.
    """
    begun, first, second = Sign(repeat_begun=True), Sign(repeat_ended=True, ending="1"), Sign(ending="2")
    assert list(times_through([begun, first, Sign(), Sign(repeat_ended=True)])) == [(0, 1), (0, 2, 3), (2, 3)]
    assert list(times_through([begun, first, Sign(), begun, first, second])) == [
        (0, 1),
        (0, 2, 3, 4),
        (3, 5),
    ]


def test_the_pickup_comes_again_where_there_is_room() -> None:
    """Behind a bar that it completes and where the sign stands before it, not behind a full bar."""
    assert _bars("C | D4 | E3 :|") == [0, 1, 2, 0, 1, 2]
    assert _bars("C | D4 | E4 :|") == [0, 1, 2, 1, 2]
    assert _bars("|: C | D4 | E4 :|") == [0, 1, 2, 0, 1, 2]
    assert _bars("C |: D4 | E3 :|") == [0, 1, 2, 1, 2]


def test_a_passage_without_repeats_is_itself() -> None:
    """Nothing is copied where nothing repeats."""
    plain = passage(HEAD + "C | D4 | E3 |]")
    assert as_played(plain) == ((Fraction(-1), Fraction(7)),)
    assert unfolded(plain) is plain


def test_ties_sound_within_a_stretch_only() -> None:
    """What is tied into the first ending is struck anew in the second, as it is written."""
    assert _struck("|: C4- |1 C4 :|2 C2 D2 |]") == [
        (0, 8, 60),
        (8, 4, 60),
        (12, 2, 60),
        (14, 2, 62),
    ]


def test_key_and_chord_of_a_repeat_hold_again() -> None:
    """Going back takes up the key and the chord that held there."""
    back = unfolded(passage(HEAD + '"C" C4 |: D4 | [K:G] "D7" F4 :|'))
    assert [(onset, key.tonic.letter) for onset, key in back.keys] == [
        (0, "C"),
        (8, "G"),
        (12, "C"),
        (16, "G"),
    ]
    assert [(one.onset, str(one)) for one in back.symbols] == [
        (0, "C"),
        (8, "D7"),
        (12, "C"),
        (16, "D7"),
    ]


@given(st.lists(st.builds(Sign, st.booleans(), st.booleans(), st.sampled_from(("", "1", "2"))), max_size=8))
def test_whatever_the_signs_are_no_bar_is_lost(bars: list[Sign]) -> None:
    """Signs that contradict each other neither hide a bar nor have it played more than twice."""
    times = Counter(chain.from_iterable(times_through(bars)))
    assert set(times) == set(range(len(bars)))
    assert all(count <= 2 for count in times.values())


@given(tunes())
def test_bars_are_played_once_or_twice(tune: Passage) -> None:
    """Every bar is, no bar more often; bars and voices follow without a gap, and every note is there."""
    played = unfolded(tune)
    times = Counter(bar.number for bar in played.bars)
    assert set(times) == {bar.number for bar in tune.bars}
    assert max(times.values()) <= 2
    assert [bar.end for bar in played.bars[:-1]] == [bar.onset for bar in played.bars[1:]]
    for voice in played.voices:
        assert (voice.events[0].onset, voice.events[-1].end) == (played.bars[0].onset, played.end)
        assert [event.end for event in voice.events[:-1]] == [event.onset for event in voice.events[1:]]
    assert {note.pitch for note in attacks(played)} >= {note.pitch for note in attacks(tune)}
