"""Every note of a device against the chords of the place where it would be played."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from transposary.glossary import Device
from transposary.notes import Note, attacks
from transposary.passage import Chord
from transposary.pitch import NoteName
from transposary.repertoire.matching import Match
from transposary.theory.functions import Function, note_functions
from transposary.theory.harmony import harmony
from transposary.theory.strikes import chords_of
from transposary.theory.tensions import available_tensions, chord_semitones, over_root

_MELODIC = frozenset(Function) - {
    Function.CHORD_TONE,
    Function.TENSION,
    Function.FREE,
    Function.UNJUDGED,
}
_ANTICIPATION = Fraction(1, 2)


class Verdict(StrEnum):
    """What a note is over the chord of the place."""

    CHORD_TONE = "chord tone"
    TENSION = "tension"
    PASSING = "passing"
    OWN = "of a chord that the device adds"
    CLASH = "clash"


_COST = {
    Verdict.CHORD_TONE: 0.0,
    Verdict.TENSION: 0.05,
    Verdict.PASSING: 0.1,
    Verdict.OWN: 0.1,
    Verdict.CLASH: 1.0,
}


@dataclass(frozen=True, slots=True)
class Voiced:
    """A struck note of a device, with what can be said of it before it is placed.

    Attributes:
        note: The note, tied lengths counted.
        function: What it does in the device.
        added: Whether it is a tone of a chord that the device puts between those looked for.
    """

    note: Note
    function: Function
    added: bool


@dataclass(frozen=True, slots=True)
class Judged:
    """A note at its place.

    Attributes:
        name: As it is spelled there.
        chord: The chord of the chart, or None where it has none.
        verdict: What it is over that chord.
        beat: Beat of the bar on which it is struck.
    """

    name: NoteName
    chord: Chord | None
    verdict: Verdict
    beat: Fraction

    @property
    def weight(self) -> int:
        """What a clash there weighs: most on the downbeat."""
        if self.beat == 1:
            return 3
        return 2 if self.beat.denominator == 1 else 1


def voiced(device: Device) -> tuple[Voiced, ...]:
    """Prepares the notes of a device for judging, grace notes left out."""
    functions = note_functions(device.passage)
    added = set(added_chords(device))
    return tuple(
        Voiced(note, functions[note.index], _is_added(device, note, added))
        for note in attacks(device.passage)
        if not note.grace
    )


def added_chords(device: Device) -> tuple[Chord, ...]:
    """Lists the chords that a device has beside those that its `over` looks for, as in its key."""
    if not device.over:
        return ()
    wanted = {word for text in device.over for word in text.value.replace("|", " ").split()}
    return tuple(
        dict.fromkeys(
            symbol.chord
            for symbol, numeral in harmony(device.passage)
            if symbol.chord is not None and str(numeral) not in wanted
        )
    )


def _is_added(device: Device, note: Note, added: set[Chord]) -> bool:
    own = (symbol.chord for symbol in chords_of(device.passage, note)[:1] if symbol.chord in added)
    return any(over_root(chord, note.pitch.midi) in chord_semitones(chord) for chord in own if chord)


def judge(match: Match, notes: Sequence[Voiced], home: NoteName) -> tuple[Judged, ...]:
    """Puts the notes of a device at a place and judges each over the chord there."""
    moved = match.tonic.fifths - home.fifths
    return tuple(found for one in notes if (found := _judged(match, one, moved)) is not None)


def notes_score(judged: Sequence[Judged]) -> float:
    """Weighs the verdicts: 1 where every note belongs, less for what only passes, least for clashes."""
    if not judged:
        return 1.0
    weights = sum(one.weight for one in judged)
    cost = sum(_COST[one.verdict] * one.weight for one in judged)
    return max(0.0, 1 - 2 * cost / weights)


def _judged(match: Match, one: Voiced, moved: int) -> Judged | None:
    note = one.note
    moment = match.moment(note.onset)
    if moment is None or not 0 <= moment < match.performance.end:
        return None
    name = NoteName(note.pitch.name.fifths + moved)
    until = moment + note.duration * match.ratio
    chord = match.performance.chord_at(moment)
    coming = match.performance.chord_at(min(moment + _ANTICIPATION, until))
    verdict = _verdict(one, name, chord)
    admitted = match.wanted_at(moment)
    if verdict is not Verdict.CHORD_TONE and chord is not None and admitted is not None:
        distance = over_root(chord, name.pitch_class)
        if distance in {tone.semitones % 12 for tone in admitted.tones}:
            verdict = Verdict.TENSION
    if verdict is Verdict.CLASH and moment + _ANTICIPATION < match.performance.end and coming != chord:
        verdict = _verdict(one, name, coming)
    return Judged(name, chord, verdict, match.performance.beat_at(moment))


def _verdict(one: Voiced, name: NoteName, chord: Chord | None) -> Verdict:
    if chord is None:
        return Verdict.CHORD_TONE
    distance = over_root(chord, name.pitch_class)
    if distance in chord_semitones(chord):
        return Verdict.CHORD_TONE
    if distance in available_tensions(chord):
        return Verdict.TENSION
    if one.added:
        return Verdict.OWN
    return Verdict.PASSING if one.function in _MELODIC else Verdict.CLASH
