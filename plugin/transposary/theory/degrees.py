"""Degrees: every note counted from the key's tonic and from the root of its chord."""

from __future__ import annotations

from transposary.notes import Note, attacks, notes, remembered
from transposary.passage import Chord, Passage
from transposary.pitch import Degree, NoteName
from transposary.theory.counting import Fact, Moment, render
from transposary.theory.keys import key_at
from transposary.theory.strikes import chords_of, strikes

_COMPOUND = {2: 9, 4: 11, 6: 13}


@remembered
def degrees(passage: Passage) -> tuple[Degree, ...]:
    """Counts every note (in the order of `notes`) from the major scale of the key's tonic.

    Where the key changes, from the tonic of the key in force.
    """
    return tuple(degree_of(passage, note) for note in notes(passage))


def degree_of(passage: Passage, note: Note) -> Degree:
    """Counts one note from the major scale of the tonic in force."""
    return Degree.between(key_at(passage, note.onset).tonic, note.pitch.name)


@remembered
def chord_degrees(passage: Passage) -> tuple[Degree | None, ...]:
    """Counts every note (in the order of `notes`) from the root of its chord; None without one.

    A note that anticipates a chord (see `chords_of`) is counted from the coming one, and so
    are the grace notes before it.
    """
    return tuple(
        None if chord is None else degree_over(chord, note.pitch.name)
        for note, chord in zip(notes(passage), _chords(passage), strict=True)
    )


def _chords(passage: Passage) -> tuple[Chord | None, ...]:
    struck = {note.index: note for note in attacks(passage)}
    found: list[Chord | None] = []
    led_to: Note | None = None
    for note in reversed(notes(passage)):
        if not note.grace:
            led_to = struck.get(note.index, note)
        holding = chords_of(passage, led_to or note)
        found.append(holding[0].chord if holding else None)
    return tuple(reversed(found))


def degree_over(chord: Chord, name: NoteName) -> Degree:
    """Counts a note name from the root of a chord, as the trade says it.

    A tone of the chord has the chord's own number (9 in C9 and Cadd9, 6 in C6, 4 in Csus4,
    ♭♭7 in Cdim7). Any other 2nd, 4th or 6th is a 9th, 11th or 13th over a chord that has a
    seventh or a tension of its own, and a 2nd, 4th or 6th over a triad or a sixth chord. One
    that merely spells a tone of the chord differently keeps its plain number.
    """
    simple = Degree.between(chord.root, name)
    for tone in chord.tones:
        if tone.simple == simple:
            return tone
    tall = any(tone.number >= 7 for tone in chord.tones)
    sounding = {tone.semitones % 12 for tone in chord.tones}
    if tall and simple.number in _COMPOUND and simple.semitones % 12 not in sounding:
        return Degree(_COMPOUND[simple.number], simple.alter)
    return simple


def degree_text(passage: Passage, voice: str) -> str:
    """Writes the degrees of a voice as a claim does: `1 2 b3 | (1 3 5) {b3} 3`."""
    moments: list[Moment] = []
    for strike in strikes(passage, (voice,)):
        for together, grace in (*((group, True) for group in strike.graces), (strike.struck, False)):
            facts = tuple(
                Fact(text := str(degree_of(passage, note)), frozenset({text}), str(note.pitch))
                for note in together
            )
            moments.append(Moment(strike.bar, strike.onset, facts, grace=grace))
    return render(tuple(moments))
