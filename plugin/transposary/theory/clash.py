"""Notes that contradict the chord symbol above them on a strong beat.

A note contradicts a chord where it takes the place of one of its tones with another colour: a
minor third under a major chord, a major seventh over a dominant. Struck on a strong beat it says
that either the note or the symbol is wrong. Strong beats are the first of a bar and the third of
four. Common practice, no source, and so are the exceptions:

- The ♭3 over a chord with a minor seventh is blue; ♭5 and ♯5 over a perfect fifth are tensions;
  a major seventh over a diminished seventh chord is its tension.
- A note that steps on to a tone of the chord leans on it (an appoggiatura), a grace note and a
  ghost note are ornaments, and one that anticipates belongs to the coming chord.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import zip_longest

from transposary.glossary import Device
from transposary.notes import Note
from transposary.passage import Chord, Passage
from transposary.pitch import Degree
from transposary.problems import Problem
from transposary.theory.degrees import degree_over
from transposary.theory.hands import place_of
from transposary.theory.strikes import Strike, beat_of, chords_of, strikes, where

_FOUR = 4
_STEP = 2


def check_clashes(device: Device) -> tuple[Problem, ...]:
    """Remarks on notes that contradict their chord symbol on a strong beat."""
    return tuple(
        Problem.remark(
            place_of(device, clash.note),
            "theory.clash",
            f"{clash.note.pitch} in {where(device.passage, clash.note.onset)} is the {clash.degree} of "
            f"{clash.chord}, which has the {clash.tone}",
            "mend the note or the chord symbol",
        )
        for clash in clashes(device.passage)
    )


@dataclass(frozen=True, slots=True)
class Clash:
    """A note that contradicts its chord.

    Attributes:
        note: The note.
        chord: The chord.
        degree: What the note is over the chord.
        tone: The tone that the chord has in its place.
    """

    note: Note
    chord: Chord
    degree: Degree
    tone: Degree


def clashes(passage: Passage) -> tuple[Clash, ...]:
    """Finds the notes that contradict their chord symbol on a strong beat."""
    found = []
    for voice in passage.voices:
        line = strikes(passage, (voice.name,))
        for strike, following in zip_longest(line, line[1:]):
            if not _is_strong(passage, strike.onset):
                continue
            for note in strike.struck:
                clash = _clash(passage, note)
                if clash is not None and not note.head.ghost and not _steps_home(clash, following):
                    found.append(clash)
    return tuple(found)


def _is_strong(passage: Passage, onset: Fraction) -> bool:
    beats = passage.bar_at(onset).meter.beats
    return beat_of(passage, onset) in ((1, 3) if beats == _FOUR else (1,))


def _clash(passage: Passage, note: Note) -> Clash | None:
    """Tells how a note contradicts its chord; one that anticipates may belong to either of two."""
    found = []
    for symbol in chords_of(passage, note):
        if symbol.chord is None:
            return None
        degree = degree_over(symbol.chord, note.pitch.name)
        tone = _contradicted(symbol.chord, degree)
        if tone is None:
            return None
        found.append(Clash(note, symbol.chord, degree, tone))
    return found[0] if found else None


def _contradicted(chord: Chord, degree: Degree) -> Degree | None:
    """Gives the chord's tone that a degree takes the place of, or None."""
    own = {tone.number: tone for tone in chord.tones}
    if degree in chord.tones or degree.number not in own or degree.number not in (3, 5, 7):
        return None
    tone = own[degree.number]
    blue = degree == Degree(3, -1) and own.get(7) == Degree(7, -1)
    tension = degree.number == 5 and tone.alter == 0
    diminished = degree.number == 7 and tone.alter == -2
    return None if blue or tension or diminished else tone


def _steps_home(clash: Clash, following: Strike | None) -> bool:
    if following is None:
        return False
    tones = {name.pitch_class for name in clash.chord.names}
    return any(
        abs(note.pitch.midi - clash.note.pitch.midi) <= _STEP and note.pitch.midi % 12 in tones
        for note in following.struck
    )
