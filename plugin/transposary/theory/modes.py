"""A passage moved from major to minor or back: the degrees 3, 6 and 7 change sides."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from transposary.passage import Chord, Event, Grace, Head, Mode, Passage, Symbol, Voice
from transposary.pitch import Degree, Interval, NoteName, Pitch
from transposary.theory.keys import UNISON, key_at

_MOVING = (3, 6, 7)
_DOWN = Interval(0, -1)
_MINOR_MODES = frozenset({Mode.MINOR, Mode.DORIAN, Mode.PHRYGIAN, Mode.LOCRIAN})

ChordAt = Callable[[Fraction], Chord | None]


def is_minor(mode: Mode) -> bool:
    """Says whether a mode has a minor third."""
    return mode in _MINOR_MODES


def to_mode(
    passage: Passage, chord_at: ChordAt, *, minor: bool
) -> tuple[Passage, tuple[tuple[Degree, Degree], ...]]:
    """Moves the degrees 3, 6 and 7 of a passage to the other mode.

    A degree stays where the chord that is played there has it as it was, and not as it would
    become: the leading note over V7. A note that is tied keeps its pitch to its end. What was
    altered against its own mode already (a ♭3 in major) stays.

    Args:
        passage: In the key in which it is to be played, in the mode from which it comes. Its
            chord symbols move with the degrees.
        chord_at: The chord that is played there at a moment of the passage.
        minor: Whether to minor, else to major.

    Returns:
        The passage, and each degree that moved, with what it became.
    """
    mover = _Mover(passage, chord_at, minor=minor)
    voices = tuple(mover.voice(voice) for voice in passage.voices)
    symbols = tuple(mover.symbol(symbol) for symbol in passage.symbols)
    return replace(passage, voices=voices, symbols=symbols), tuple(sorted(mover.changes))


class _Mover:
    """Moves notes and gathers which degrees it changed."""

    def __init__(self, passage: Passage, chord_at: ChordAt, *, minor: bool) -> None:
        self._passage = passage
        self._chord_at = chord_at
        self._turn = _DOWN if minor else -_DOWN
        self._from = 0 if minor else -1
        self.changes: set[tuple[Degree, Degree]] = set()

    def voice(self, voice: Voice) -> Voice:
        held: dict[Pitch, Interval] = {}
        events = []
        for event in voice.events:
            turns = [held.get(head.pitch, self._of(head.pitch, event.onset)) for head in event.heads]
            held = {head.pitch: turn for head, turn in zip(event.heads, turns, strict=True) if head.tied}
            graces = tuple(self._grace(grace, event) for grace in event.graces)
            events.append(replace(event, heads=_single(event.heads, turns), graces=graces))
        return replace(voice, events=tuple(events))

    def symbol(self, symbol: Symbol) -> Symbol:
        chord = symbol.chord
        if chord is None:
            return symbol
        tonic = key_at(self._passage, symbol.onset).tonic
        root = self._name(chord.root, tonic)
        tones = tuple(
            Degree(
                tone.number,
                tone.alter + self._name(name, tonic).alter - name.alter - root.alter + chord.root.alter,
            )
            for tone, name in zip(chord.tones, chord.names, strict=True)
        )
        bass = None if chord.bass is None else self._name(chord.bass, tonic)
        return replace(symbol, chord=replace(chord, root=root, tones=tones, bass=bass))

    def _name(self, name: NoteName, tonic: NoteName) -> NoteName:
        moves = self._moves(Degree.between(tonic, name))
        return name.up(self._turn) if moves else name

    def _moves(self, degree: Degree) -> bool:
        return degree.number in _MOVING and degree.alter == self._from

    def _of(self, pitch: Pitch, onset: Fraction) -> Interval:
        degree = Degree.between(key_at(self._passage, onset).tonic, pitch.name)
        if not self._moves(degree):
            return UNISON
        chord = self._chord_at(onset)
        if chord is not None:
            tones = {name.pitch_class for name in chord.names}
            if pitch.name.pitch_class in tones and pitch.name.up(self._turn).pitch_class not in tones:
                return UNISON
        self.changes.add((degree, replace(degree, alter=degree.alter + self._turn.semitones)))
        return self._turn

    def _grace(self, grace: Grace, event: Event) -> Grace:
        turns = [self._of(head.pitch, event.onset) for head in grace.heads]
        return replace(grace, heads=_single(grace.heads, turns))


def _single(heads: tuple[Head, ...], turns: list[Interval]) -> tuple[Head, ...]:
    """Moves the notes of a chord; two that come to be one are struck once."""
    found: dict[Pitch, Head] = {}
    for head, turn in zip(heads, turns, strict=True):
        pitch = head.pitch.up(turn)
        known = found.get(pitch)
        found[pitch] = replace(head, pitch=pitch, tied=head.tied or (known is not None and known.tied))
    return tuple(sorted(found.values(), key=lambda head: (head.pitch.step, head.pitch.alter)))
