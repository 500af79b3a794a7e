"""Devices fingered in twelve keys, and the author's own fingering."""

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.strategies import passages, tunes
from tests.theory.abc import passage
from tests.theory.build import build
from transposary.passage import Hand, Passage
from transposary.settings import Settings
from transposary.theory.fingering.grips import can_be_held
from transposary.theory.fingering.keys import Fingering, finger, fingers_in
from transposary.theory.fingering.model import is_black
from transposary.theory.fingering.own import bent, fitted
from transposary.theory.keys import Placement, placements
from transposary.theory.transposition import place


def _keys(music: Passage) -> tuple[Placement, ...]:
    return placements(music, None, Settings())


def _groups(music: Passage, hand: Hand = Hand.RIGHT) -> dict[str, str]:
    """Gives the keys that share a fingering, and the fingering."""
    found = next(one for one in finger(music, _keys(music)) if one.hand is hand)
    return {" ".join(one.slots): _text(one) for one in found.fingerings}


def _text(fingering: Fingering) -> str:
    return " ".join("".join(map(str, grip)) for grip in fingering.grips)


def _in(music: Passage, slot: str) -> str:
    return next(text for slots, text in _groups(music).items() if slot in slots.split())


def _abc(notes: str) -> Passage:
    return passage(f"M: 4/4\nL: 1/8\nK: C\n{notes} |\n")


def test_keys_that_share_a_fingering_stand_together() -> None:
    """Five notes that run up from the tonic suit every key, an arpeggio parts them by their colours."""
    assert _groups(build("C4 D4 E4 F4 G4:4")) == {"C Db D Eb E F Gb G Ab A Bb B": "1 2 3 4 5"}
    assert _groups(build("C4 E4 G4 C5")) == {
        "C D E F Gb G A B": "1 2 3 5",
        "Db Eb Ab Bb": "4 1 2 4",
    }


@settings(max_examples=40, deadline=None)
@given(st.one_of(passages(), tunes()))
def test_keys_of_the_same_colours_are_fingered_alike(music: Passage) -> None:
    """Where the same notes fall on black keys, two keys share a fingering worked out by itself."""
    alone: dict[tuple[Hand, tuple[bool, ...]], object] = {}
    for key in _keys(music):
        for one in finger(music, [key]):
            played = [is_black(it + key.shift(one.hand)) for strike in one.strikes for it in strike.keys]
            found = one.fingerings[0].grips
            assert alone.setdefault((one.hand, tuple(played)), found) == found


@settings(max_examples=40, deadline=None)
@given(st.one_of(passages(), tunes()))
def test_every_suggestion_can_be_played(music: Passage) -> None:
    """In every key each chord struck has five fingers at most, none twice, all within their spans."""
    for one in finger(music, _keys(music)):
        for fingering in one.fingerings:
            for strike, grip in zip(one.strikes, fingering.grips, strict=True):
                right = one.hand is Hand.RIGHT
                keys = strike.keys if right else tuple(124 - key for key in reversed(strike.keys))
                fingers = grip if right else grip[::-1]
                assert not fingers or can_be_held(keys, fingers)


def test_two_voices_in_a_hand_are_one_hand() -> None:
    """A held note takes a finger that the line over it does without."""
    music = build("E4 F4 G4 F4", RH2="C4:4")
    fingers = fingers_in(finger(music, _keys(music)), "C")
    assert fingers[4] == 1
    assert 1 not in [fingers[index] for index in range(4)]


def test_notes_of_both_voices_on_one_key_share_a_finger() -> None:
    """A key that two voices strike is fingered once."""
    music = build("E4:4", RH2="E4:2 C4:2")
    fingers = fingers_in(finger(music, _keys(music)), "C")
    assert fingers[0] == fingers[1] != fingers[2]


def test_a_tied_note_is_fingered_where_it_is_struck() -> None:
    """The rest of a tied note has no finger of its own, grace notes have theirs."""
    music = build("{D4}E4~ E4 F4:2")
    assert sorted(fingers_in(finger(music, _keys(music)), "C")) == [0, 1, 3]


def test_the_author_has_the_word_in_the_home_key() -> None:
    """Whatever the model would do, the author's fingers stand where they were written."""
    assert _in(_abc("!3!C!4!D!3!C!4!D !5!E4"), "C") == "3 4 3 4 5"
    assert _in(_abc("!3!C!3!D!3!E!3!F !3!G4"), "C") == "3 3 3 3 3"


def test_the_author_is_followed_where_black_keys_allow_it() -> None:
    """A fingering without the thumb goes to every key."""
    assert _groups(_abc("!3!C!4!D!3!C!4!D !5!E4")) == {
        "C Db D Eb E F Gb G Ab A Bb B": "3 4 3 4 5",
    }


def test_the_author_is_bent_where_the_thumb_would_come_onto_black() -> None:
    """The thumb that plays F in C would play A♭ in E♭: there the fingering is another one."""
    assert _groups(_abc("!1!C!2!D!3!E!1!F !2!G4")) == {
        "C D E Gb G A B": "1 2 3 1 2",
        "Db Eb F Ab Bb": "1 2 3 4 5",
    }


def test_marks_for_some_notes_leave_the_others_free() -> None:
    """One finger given, the rest follows from it."""
    assert _in(_abc("!2!C D E F G4"), "C") == "2 1 3 4 5"


def test_a_standard_fingering_written_out_is_standard_in_every_key() -> None:
    """Who writes out the scale of C as everybody plays it gets E♭ as everybody plays it."""
    music = _abc("!1!C!2!D!3!E!1!F !2!G!3!A!4!B!5!c")
    assert _in(music, "C") == "1 2 3 1 2 3 4 5"
    assert _in(music, "Eb") == "3 1 2 3 4 1 2 3"


def test_an_own_fingering_of_a_scale_beats_the_standard_one() -> None:
    """A mark that differs from the chart takes the scale out of it, in the home key."""
    assert _in(_abc("!2!CDEF GABc"), "C")[0] == "2"


def test_marks_change_to_what_they_bend_to() -> None:
    """A marked note has the finger of its key, a note without a mark stays without."""
    music = _abc("!3!E!1!CD!3!E !1!C4")
    changed = bent(music, dict(enumerate((3, 1, 2, 4, 2))))
    assert [head.finger for event in changed.voices[0].events for head in event.heads] == [3, 1, None, 4, 2]
    plain = build("{D4}C4 E4")
    assert bent(plain, {0: 1, 1: 2}) is plain


def test_a_passage_is_written_into_a_key_with_its_marks_bent() -> None:
    """In the home key all marks stay; in E♭ the fourth finger takes A♭ from the thumb."""
    music = _abc("!1!C!2!D!3!E!1!F !2!G4")
    home, flat = (next(key for key in _keys(music) if key.slot == slot) for slot in ("C", "Eb"))
    written = [fitted(place(music, key), music, key) for key in (home, flat)]
    assert [[event.heads[0].finger for event in one.voices[0].events] for one in written] == [
        [1, 2, 3, 1, 2],
        [1, 2, 3, 4, 5],
    ]


def test_a_hand_without_notes_has_no_fingering() -> None:
    """A voice of rests is left out."""
    music = build("C4", LH="r")
    assert [one.hand for one in finger(music, _keys(music))] == [Hand.RIGHT]
