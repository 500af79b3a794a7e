"""The author's own fingering: whether a hand can follow it, and what becomes of it in a key."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import combinations, count

from transposary.glossary import Device
from transposary.notes import Note, notes
from transposary.passage import Hand, Head, Passage, Voice
from transposary.pitch import pretty
from transposary.problems import Problem
from transposary.theory.fingering.keys import finger, fingers_in
from transposary.theory.fingering.moments import strikes_of
from transposary.theory.fingering.spans import THUMB, reaches
from transposary.theory.hands import HANDS, place_of
from transposary.theory.keys import UNISON, Placement
from transposary.theory.strikes import hearing

_TWO_KEYS = 2


def has_marks(passage: Passage) -> bool:
    """Tells whether the author has fingered a note."""
    return any(note.head.finger for note in notes(passage))


def bent(passage: Passage, fingers: Mapping[int, int]) -> Passage:
    """Changes the author's marks in a key to the fingers that they bend to; no note gets a new mark.

    Args:
        passage: The notes in that key, with the marks of the home key.
        fingers: What is suggested there, by index of the note.
    """
    if not has_marks(passage):
        return passage
    numbers = count()
    return replace(passage, voices=tuple(_bent_voice(voice, fingers, numbers) for voice in passage.voices))


def fitted(moved: Passage, home: Passage, key: Placement) -> Passage:
    """Keeps the author's marks in a key where black keys allow them, and bends them elsewhere.

    Args:
        moved: The notes in that key, with the marks of the home key.
        home: The notes in the home key.
        key: Where they lie in that key.
    """
    if key.interval == UNISON or not has_marks(home):
        return moved
    return bent(moved, fingers_in(finger(home, [key]), key.slot))


def _bent_voice(voice: Voice, fingers: Mapping[int, int], numbers: Iterator[int]) -> Voice:
    events = []
    for event in voice.events:
        graces = tuple(
            replace(grace, heads=_bent_heads(grace.heads, fingers, numbers)) for grace in event.graces
        )
        events.append(replace(event, graces=graces, heads=_bent_heads(event.heads, fingers, numbers)))
    return replace(voice, events=tuple(events))


def _bent_heads(
    heads: tuple[Head, ...], fingers: Mapping[int, int], numbers: Iterator[int]
) -> tuple[Head, ...]:
    return tuple(
        head if head.finger is None else replace(head, finger=fingers.get(number))
        for head, number in zip(heads, numbers, strict=False)
    )


def check_own_fingering(device: Device) -> Problem | None:
    """Remarks on the first two notes sounding together that their marked fingers cannot hold.

    Fingers that play one after the other are the author's affair: hands leap and fingers slide.
    """
    return next((_impossible(device, hand, low, high) for hand, low, high in _unheld(device.passage)), None)


def _unheld(passage: Passage) -> Iterator[tuple[Hand, Note, Note]]:
    heard = hearing(passage)
    for hand in passage.hands:
        down: dict[int, Note] = {}
        for strike in strikes_of(heard, hand):
            struck = dict(zip(strike.keys, (found[0] for found in strike.notes), strict=True))
            down = {key: note for key, note in down.items() if key in strike.held} | struck
            marked = [down[key] for key in sorted(down) if down[key].head.finger]
            for low, high in combinations(marked, 2):
                if {low.pitch.midi, high.pitch.midi} & struck.keys() and not _can_hold(hand, low, high):
                    yield hand, low, high


def _can_hold(hand: Hand, low: Note, high: Note) -> bool:
    one, two = low.head.finger or 0, high.head.finger or 0
    semitones = high.pitch.midi - low.pitch.midi
    if one == two:
        return one == THUMB and semitones <= _TWO_KEYS
    return reaches(one, two, semitones) if hand is Hand.RIGHT else reaches(two, one, semitones)


def _impossible(device: Device, hand: Hand, low: Note, high: Note) -> Problem:
    keys = f"{pretty(str(low.pitch))} and {pretty(str(high.pitch))}"
    place = place_of(device, max(low, high, key=lambda note: (note.onset, note.index)))
    if low.head.finger == high.head.finger:
        text = f"finger {low.head.finger} of the {HANDS[hand]} is marked on {keys} at once in bar {high.bar}"
        hint = "give one of them another finger; only the thumb takes two keys, and they must be neighbours"
        return Problem.remark(place, "theory.fingering", text, hint)
    text = (
        f"fingers {low.head.finger} and {high.head.finger} of the {HANDS[hand]} do not reach from "
        f"{pretty(str(low.pitch))} to {pretty(str(high.pitch))} in bar {high.bar}"
    )
    hint = "give one of them another finger, counted from the thumb as 1, or take a mark out"
    return Problem.remark(place, "theory.fingering", text, hint)
