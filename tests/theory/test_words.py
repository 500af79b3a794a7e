"""A passage in words, bar by bar."""

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.theory.build import build
from transposary.passage import Event, Key, Mode, Passage, Tuplet
from transposary.pitch import NoteName
from transposary.theory.words import in_words, name_length


def _lines(passage: Passage) -> list[str]:
    return in_words(passage).splitlines()


def _with_event(passage: Passage, place: int, event: Event) -> Passage:
    events = passage.voices[0].events
    changed = replace(passage.voices[0], events=(*events[:place], event, *events[place + 1 :]))
    return replace(passage, voices=(changed, *passage.voices[1:]))


def test_bars_are_told_in_order() -> None:
    """Key and time come first, then each bar with its chords and what each hand plays."""
    passage = build("G3 | E4:3/2 C4:1/2 r:2 C4:4", chords="0 Am7; 2 F", LH="r | [C3 G3]:4 r:4", key="Eb")
    assert _lines(passage) == [
        "E♭ major, 4/4 time.",
        "Pickup. Right hand: G3 quarter. Left hand: rest.",
        (
            "Bar 1. Chords Am7 on beat 1, F on beat 3. Right hand: E4 dotted quarter, C4 eighth, half rest."
            " Left hand: C3 and G3 together whole."
        ),
        "Bar 2. Right hand: C4 whole. Left hand: rest.",
    ]


def test_a_single_chord_on_the_downbeat_needs_no_beat() -> None:
    """A chord that holds from the start of its bar is named alone; later ones have their beat."""
    passage = build("C4:4 C4:4 C4:4", chords="0 F; 11/2 Dm7; 8 N.C.")
    assert [line.split(" Right")[0] for line in _lines(passage)[1:]] == [
        "Bar 1. Chord F.",
        "Bar 2. Chord Dm7 on beat 2 and a half.",
        "Bar 3. No chord.",
    ]


def test_ties_are_told() -> None:
    """A tied note says so; in a chord of which only some notes are tied, each of those does."""
    passage = build("C4~:2 C4:2 [D4 F4~]:2 F4:2")
    assert _lines(passage)[1:] == [
        "Bar 1. Right hand: C4 half tied on, C4 half.",
        "Bar 2. Right hand: D4 and F4 tied on together half, F4 half.",
    ]


def test_grace_notes_come_before_their_note() -> None:
    """Grace notes are named in front of the note that they lead to."""
    passage = build("{D4}C4:2 {D#4}{E4 G4}C4:2")
    assert _lines(passage)[1] == (
        "Bar 1. Right hand: grace note D4 before C4 half, grace notes D♯4, E4 and G4 together before C4 half."
    )


def test_marks_of_a_note_are_told() -> None:
    """Ghost notes, fingering, staccato and accents are part of the words."""
    passage = build("C4:4")
    event = passage.voices[0].events[0]
    head = replace(event.heads[0], ghost=True, finger=3)
    marked = _with_event(passage, 0, replace(event, heads=(head,), staccato=True, accent=True))
    assert _lines(marked)[1] == "Bar 1. Right hand: ghost note C4 finger 3 whole staccato accented."


def test_tuplets_are_named_by_their_written_length() -> None:
    """A triplet quarter is called so, although it lasts two thirds of a quarter."""
    passage = build("C4:2/3 D4:2/3 E4:2/3 F4:2")
    for place in range(3):
        event = passage.voices[0].events[place]
        passage = _with_event(passage, place, replace(event, tuplet=Tuplet(3, 2)))
    assert _lines(passage)[1] == (
        "Bar 1. Right hand: C4 triplet quarter, D4 triplet quarter, E4 triplet quarter, F4 half."
    )


def test_an_unusual_tuplet_is_told_by_its_numbers() -> None:
    """Nine in the time of eight has no name of its own."""
    passage = build("C4:4")
    event = replace(passage.voices[0].events[0], duration=Fraction(8, 9), tuplet=Tuplet(9, 8))
    assert "9 in the time of 8 quarter" in in_words(_with_event(passage, 0, event))


def test_second_voices_are_called_so() -> None:
    """A second voice in a hand is told apart from the first."""
    assert "Left hand, second voice: C2 whole." in in_words(build("C5:4", LH2="C2:4"))


def test_hidden_rests_are_left_out() -> None:
    """What is not printed is not told."""
    passage = build("r:4", LH="C3:4")
    hidden = _with_event(passage, 0, replace(passage.voices[0].events[0], hidden=True))
    assert _lines(hidden)[1] == "Bar 1. Left hand: C3 whole."


def test_repeats_endings_and_changes_are_told() -> None:
    """Repeat signs, endings, changes of key and of time stand where they are met."""
    passage = build("C4:4 D4:4 E4:4")
    first, second, third = passage.bars
    meter = replace(third.meter, count=3)
    bars = (
        replace(first, repeat_begun=True),
        replace(second, ending="1", repeat_ended=True),
        replace(third, ending="2", meter=meter),
    )
    keys = (*passage.keys, (Fraction(8), Key(NoteName.parse("D"), Mode.MINOR)))
    assert _lines(replace(passage, bars=bars, keys=keys))[1:] == [
        "Bar 1, repeat from here. Right hand: C4 whole.",
        "First ending, bar 2. Right hand: D4 whole. Repeat.",
        "Second ending, bar 3. Time changes to 3/4. Key changes to D minor. Right hand: E4 whole.",
    ]


def test_a_divided_bar_is_continued() -> None:
    """The second part of a bar that a repeat sign divides is no new bar."""
    passage = build("C4:2 D4:2")
    bar = passage.bars[0]
    halves = (replace(bar, duration=Fraction(2)), replace(bar, onset=Fraction(2), duration=Fraction(2)))
    assert _lines(replace(passage, bars=halves))[1:] == [
        "Bar 1. Right hand: C4 half.",
        "Bar 1, continued. Right hand: D4 half.",
    ]


@pytest.mark.parametrize(
    ("duration", "name"),
    [
        ("4", "whole"),
        ("6", "dotted whole"),
        ("3/2", "dotted quarter"),
        ("7/4", "double-dotted quarter"),
        ("3/8", "dotted sixteenth"),
        ("5/2", "half and eighth"),
        ("5/4", "quarter and sixteenth"),
        ("1/3", "1/3 of a quarter"),
    ],
)
def test_lengths_have_their_names(duration: str, name: str) -> None:
    """Dots are named; a length that needs two notes is named as both."""
    assert name_length(Fraction(duration)) == name
