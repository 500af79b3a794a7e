"""The one transposition: an interval added to everything that a passage spells."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from transposary.passage import Chord, Event, Grace, Hand, Head, Key, Passage, Symbol, Voice
from transposary.pitch import Interval, NoteName, Pitch
from transposary.theory.keys import UNISON, WIDEST_SIGNATURE, Placement, key_at

_NO_OCTAVES: Mapping[Hand, int] = {}


def transpose(passage: Passage, interval: Interval, octaves: Mapping[Hand, int] = _NO_OCTAVES) -> Passage:
    """Moves a passage by an interval: pitches, graces, keys, chord roots and basses.

    Every spelling follows its degree: the ♭7 of E is D, of G♭ is F♭. That holds beyond double
    accidentals too, because a respelled note would be another degree; MusicXML and the
    engraver write triple accidentals.

    Args:
        passage: In concert pitch.
        interval: Up, or down where negative.
        octaves: Whole octaves to add for each hand.
    """
    return replace(
        passage,
        keys=tuple((onset, Key(key.tonic.up(interval), key.mode)) for onset, key in passage.keys),
        voices=tuple(
            _move_voice(voice, interval + _octaves(octaves.get(voice.hand, 0))) for voice in passage.voices
        ),
        symbols=tuple(_move_symbol(symbol, interval) for symbol in passage.symbols),
    )


def place(passage: Passage, placement: Placement) -> Passage:
    """Moves a passage from its home key to a placement.

    A passage that changes key may come into one that has no signature (G♭ up a semitone is A
    double flat). Such a stretch is respelled as players read it, with notes, chords and key
    together; a note tied into it keeps its name.
    """
    moved = transpose(passage, placement.interval, dict(placement.octaves))
    if all(abs(key.signature) <= WIDEST_SIGNATURE for _, key in moved.keys):
        return moved
    return replace(
        moved,
        keys=tuple((onset, Key(key.tonic.up(_respelling(key)), key.mode)) for onset, key in moved.keys),
        voices=tuple(_respell_voice(moved, voice) for voice in moved.voices),
        symbols=tuple(
            _move_symbol(symbol, _respelling(key_at(moved, symbol.onset))) for symbol in moved.symbols
        ),
    )


def chord_in(chord: Chord, home: NoteName, tonic: NoteName) -> Chord:
    """Moves a chord from one tonic to another; chords have no register."""
    fifths = tonic.fifths - home.fifths
    return transpose_chord(chord, Interval.of(fifths, fifths * 7 % 12))


def transpose_chord(chord: Chord, interval: Interval) -> Chord:
    """Moves a chord: its root and its bass; what it is made of stays."""
    bass = None if chord.bass is None else chord.bass.up(interval)
    return replace(chord, root=chord.root.up(interval), bass=bass)


def _octaves(count: int) -> Interval:
    return Interval(7 * count, 12 * count)


def _move_symbol(symbol: Symbol, interval: Interval) -> Symbol:
    if symbol.chord is None:
        return symbol
    return replace(symbol, chord=transpose_chord(symbol.chord, interval))


def _move_voice(voice: Voice, interval: Interval) -> Voice:
    return replace(voice, events=tuple(_move_event(event, interval) for event in voice.events))


def _move_event(event: Event, interval: Interval) -> Event:
    graces = tuple(_move_grace(grace, interval) for grace in event.graces)
    return replace(event, heads=_move_heads(event.heads, interval), graces=graces)


def _move_grace(grace: Grace, interval: Interval) -> Grace:
    return replace(grace, heads=_move_heads(grace.heads, interval))


def _move_heads(heads: tuple[Head, ...], interval: Interval) -> tuple[Head, ...]:
    return tuple(replace(head, pitch=head.pitch.up(interval)) for head in heads)


def _respelling(key: Key) -> Interval:
    """Gives the diminished second, up or down, that brings a key to a signature; else the unison."""
    if abs(key.signature) <= WIDEST_SIGNATURE:
        return UNISON
    return Interval(1 if key.signature > 0 else -1, 0)


def _respell_voice(passage: Passage, voice: Voice) -> Voice:
    events = []
    held: dict[Pitch, Interval] = {}
    for event in voice.events:
        here = _respelling(key_at(passage, event.onset))
        turns = [held.get(head.pitch, here) for head in event.heads]
        held = {head.pitch: turn for head, turn in zip(event.heads, turns, strict=True) if head.tied}
        heads = tuple(
            replace(head, pitch=head.pitch.up(turn)) for head, turn in zip(event.heads, turns, strict=True)
        )
        graces = tuple(_move_grace(grace, here) for grace in event.graces)
        events.append(replace(event, heads=heads, graces=graces))
    return replace(voice, events=tuple(events))
