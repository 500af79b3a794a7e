"""How to carry a device to another key without notation: where to start, what to do, where to land.

A recipe holds no pitch but the register of its first notes. Each voice starts on a degree of the
key, and from there everything is an interval: the bottom of each chord from the bottom of the one
before, the other notes from their bottom, a key that follows from the first one. `rebuild` makes
the notes again from it, in any key.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise

from transposary.notes import Note, attacks
from transposary.passage import Chord, Hand, Passage
from transposary.pitch import OCTAVE, Degree, Interval, NoteName, Pitch
from transposary.theory.keys import UNISON, between_tonics, key_at
from transposary.theory.strikes import chords_of
from transposary.theory.transposition import chord_in

_NO_OCTAVES: Mapping[Hand, int] = {}
_C = NoteName(0)


@dataclass(frozen=True, slots=True)
class Move:
    """One thing that a voice does.

    Attributes:
        onset: In quarter notes from the first downbeat.
        lengths: Lengths of its notes in quarter notes, lowest note first; 0 for a grace note.
        step: From the bottom of the move before to this bottom; None for the first one.
        stack: The other notes, each from the bottom, ascending.
        chord: The chord symbol that it belongs to as it is in C, by which a hand's part of it is named.
        tonic: From the tonic of the first key to that of the key in force.
    """

    onset: Fraction
    lengths: tuple[Fraction, ...]
    step: Interval | None
    stack: tuple[Interval, ...] = ()
    chord: Chord | None = None
    tonic: Interval = UNISON


@dataclass(frozen=True, slots=True)
class Line:
    """What one voice does.

    Attributes:
        voice: Name of the voice.
        start: Degree of its first bottom note.
        register: That note in the home key; another key starts on the nearest one.
        moves: In order.
    """

    voice: str
    start: Degree
    register: Pitch
    moves: tuple[Move, ...]


@dataclass(frozen=True, slots=True)
class Sound:
    """A note made from a recipe, to hold against the notes of the device."""

    voice: str
    onset: Fraction
    length: Fraction
    pitch: Pitch


def recipe(passage: Passage) -> tuple[Line, ...]:
    """Takes a passage apart into what each voice does, ties merged."""
    struck = attacks(passage)
    return tuple(
        _line(passage, voice.name, [note for note in struck if note.voice == voice.name])
        for voice in passage.voices
        if any(note.voice == voice.name for note in struck)
    )


def rebuild(
    lines: tuple[Line, ...], tonic: NoteName, octaves: Mapping[Hand, int] = _NO_OCTAVES
) -> tuple[Sound, ...]:
    """Makes the notes of a device in a key from its recipe.

    Args:
        lines: The recipe.
        tonic: Tonic of the wanted key.
        octaves: Whole octaves by which a hand is moved beyond the nearest place.
    """
    return tuple(sound for line in lines for sound in _sounds(line, tonic, octaves))


def sounds(passage: Passage) -> tuple[Sound, ...]:
    """Gives the struck notes of a passage in the form that `rebuild` gives."""
    return tuple(Sound(note.voice, note.onset, note.duration, note.pitch) for note in attacks(passage))


def nearest(name: NoteName, pitch: Pitch) -> Pitch:
    """Gives the pitch of a name that lies nearest to another pitch; the higher one of two."""
    around = (Pitch(step, name.alter) for step in range(pitch.step - 9, pitch.step + 10))
    return min(
        (one for one in around if one.name == name),
        key=lambda one: (abs(one.midi - pitch.midi), -one.midi),
    )


def _line(passage: Passage, voice: str, struck: list[Note]) -> Line:
    tonic = passage.key.tonic
    groups = _groups(struck)
    first = groups[0][0].pitch
    bottoms = [group[0].pitch for group in groups]
    steps = [None, *(low.to(high) for low, high in pairwise(bottoms))]
    moves = tuple(
        Move(
            group[0].onset,
            tuple(note.duration for note in group),
            step,
            tuple(group[0].pitch.to(note.pitch) for note in group[1:]),
            _chord(passage, group[0]),
            between_tonics(tonic, key_at(passage, group[0].onset).tonic),
        )
        for group, step in zip(groups, steps, strict=True)
    )
    return Line(voice, Degree.between(tonic, first.name), first, moves)


def _chord(passage: Passage, note: Note) -> Chord | None:
    symbol = next(iter(chords_of(passage, note)), None)
    if symbol is None or symbol.chord is None:
        return None
    return chord_in(symbol.chord, passage.key.tonic, _C)


def _groups(struck: list[Note]) -> list[list[Note]]:
    """Notes struck together; grace notes come one by one before what they lead to."""
    groups: list[list[Note]] = []
    for _, found in groupby(struck, key=lambda note: note.onset):
        together = list(found)
        groups += [[note] for note in together if note.grace]
        groups.append([note for note in together if not note.grace])
    return [group for group in groups if group]


def _sounds(line: Line, tonic: NoteName, octaves: Mapping[Hand, int]) -> list[Sound]:
    shift = octaves.get(Hand(line.voice[:2]), 0)
    bottom = nearest(line.start.above(tonic), line.register).up(
        Interval(OCTAVE.steps * shift, OCTAVE.semitones * shift)
    )
    made: list[Sound] = []
    for move in line.moves:
        bottom = bottom if move.step is None else bottom.up(move.step)
        pitches = (bottom, *(bottom.up(interval) for interval in move.stack))
        made += [
            Sound(line.voice, move.onset, length, pitch)
            for pitch, length in zip(pitches, move.lengths, strict=True)
        ]
    return made
