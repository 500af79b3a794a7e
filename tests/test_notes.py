"""Notes and attacks of a passage."""

import pickle
from dataclasses import replace
from fractions import Fraction

from transposary.notes import TieState, attacks, notes
from transposary.passage import Bar, Clef, Event, Grace, Head, Key, Meter, Passage, Voice
from transposary.pitch import NoteName, Pitch

COMMON = Meter(4, 4)


def _head(text: str, *, tied: bool = False) -> Head:
    return Head(Pitch.parse(text), tied=tied)


def _passage() -> Passage:
    bars = (Bar(0, Fraction(-1), Fraction(1), COMMON), Bar(1, Fraction(0), Fraction(4), COMMON))
    events = (
        Event(Fraction(-1), Fraction(1), (_head("G3", tied=True), _head("B3", tied=True))),
        Event(Fraction(0), Fraction(2), (_head("G3", tied=True), _head("B3")), (Grace((_head("A3"),)),)),
        Event(Fraction(2), Fraction(2), (_head("G3"), _head("B3"))),
    )
    key = Key(NoteName.parse("G"))
    voice = Voice("RH", events, ((Fraction(-1), Clef.TREBLE),))
    return Passage(((Fraction(-1), key),), bars, (voice,))


def test_notes_are_numbered_graces_first() -> None:
    """Written notes come in a fixed order, graces before the event that they lead to."""
    found = [(note.index, str(note.pitch), note.tie, note.grace, note.bar) for note in notes(_passage())]
    assert found == [
        (0, "G3", TieState.START, False, 0),
        (1, "B3", TieState.START, False, 0),
        (2, "A3", TieState.NONE, True, 1),
        (3, "G3", TieState.CONTINUE, False, 1),
        (4, "B3", TieState.STOP, False, 1),
        (5, "G3", TieState.STOP, False, 1),
        (6, "B3", TieState.NONE, False, 1),
    ]


def test_attacks_merge_ties() -> None:
    """A tied note is struck once and lasts as long as its parts together."""
    found = [(note.index, str(note.pitch), note.onset, note.duration) for note in attacks(_passage())]
    assert found == [
        (0, "G3", -1, 5),
        (1, "B3", -1, 3),
        (2, "A3", 0, 0),
        (6, "B3", 2, 2),
    ]


def test_pickup_is_counted_from_its_end() -> None:
    """A pickup of one quarter in 4/4 stands on beat 4 of bar 0."""
    passage = _passage()
    assert passage.bars[0].beat_at(Fraction(-1)) == 4
    assert passage.bar_at(Fraction(-1)).number == 0


def test_beats_follow_the_meter() -> None:
    """Compound meters count the dotted beat, 2/2 the half note."""
    meters = (Meter(12, 8), Meter(2, 2), Meter(3, 4), Meter(3, 8))
    assert [(str(m), m.compound, m.beat, m.beats) for m in meters] == [
        ("12/8", True, Fraction(3, 2), 4),
        ("2/2", False, 2, 2),
        ("3/4", False, 1, 3),
        ("3/8", False, Fraction(1, 2), 3),
    ]


def test_what_was_said_of_a_passage_stays_with_it() -> None:
    """Views are made once, and are neither part of the value nor of what workers are sent."""
    passage = _passage()
    assert notes(passage) is notes(passage)
    other = _passage()
    assert passage == other
    assert hash(passage) == hash(other)
    assert repr(passage) == repr(other)
    sent = pickle.loads(pickle.dumps(passage))  # noqa: S301  (written in the line itself)
    assert sent == passage
    assert not sent.views
    assert notes(replace(passage, voices=())) == ()
