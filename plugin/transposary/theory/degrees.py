"""Degrees: every note counted from the key's tonic and from the root of its chord."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from transposary.notes import Note, attacks, notes
from transposary.passage import Chord, Passage, Symbol
from transposary.pitch import Degree, NoteName
from transposary.theory.keys import key_at

_EIGHTH = Fraction(1, 2)
_COMPOUND = {2: 9, 4: 11, 6: 13}


def degrees(passage: Passage) -> tuple[Degree, ...]:
    """Counts every note (in the order of `notes`) from the major scale of the key's tonic.

    Where the key changes, from the tonic of the key in force.
    """
    return tuple(
        Degree.between(key_at(passage, note.onset).tonic, note.pitch.name) for note in notes(passage)
    )


def chord_degrees(passage: Passage) -> tuple[Degree | None, ...]:
    """Counts every note (in the order of `notes`) from the root of its chord; None without one.

    A note that anticipates a chord (see `chord_of`) is counted from the coming one, and so
    are the grace notes before it.
    """
    struck = {note.index: note for note in attacks(passage)}
    written = notes(passage)
    found: list[Degree | None] = []
    leading = Note(-1, "", 0, Fraction(0), Fraction(0), written[0].head) if written else None
    for note in reversed(written):
        attack = struck.get(note.index, note)
        if note.grace and leading is not None:
            attack = leading
        else:
            leading = attack
        holding = chord_of(passage, attack)
        chord = None if holding is None else holding.chord
        found.append(None if chord is None else degree_over(chord, note.pitch.name))
    return tuple(reversed(found))


def chord_of(passage: Passage, attack: Note) -> Symbol | None:
    """Gives the chord symbol to which a struck note belongs.

    A note struck at most an eighth before a new chord and held into it anticipates: it belongs
    to the coming chord. Notes before the first symbol belong to it.

    Args:
        passage: The passage.
        attack: One of `attacks(passage)`, whose duration counts ties in.
    """
    for symbol in passage.symbols:
        if attack.onset < symbol.onset <= attack.onset + _EIGHTH and attack.end > symbol.onset:
            return symbol
    return passage.chord_at(attack.onset)


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
    """Writes the degrees of a voice as a claim does: `1 2 b3 | (1 3 5) {b3} 3`.

    Each note once, at its attack; notes struck together in parentheses, grace notes in braces,
    bars parted by `|`.
    """
    counted = degrees(passage)
    struck = [note for note in attacks(passage) if note.voice == voice]
    bars = [
        _bar_text([note for note in struck if note.bar == number], counted)
        for number in dict.fromkeys(bar.number for bar in passage.bars)
    ]
    return " ".join(" | ".join(bars).split())


def _bar_text(struck: Iterable[Note], counted: tuple[Degree, ...]) -> str:
    words: list[str] = []
    onset: Fraction | None = None
    group: list[str] = []
    for note in struck:
        text = str(counted[note.index])
        if note.grace:
            words.append(_together(group))
            group, onset = [], None
            words.append(f"{{{text}}}")
        elif note.onset == onset:
            group.append(text)
        else:
            words.append(_together(group))
            group, onset = [text], note.onset
    words.append(_together(group))
    return " ".join(word for word in words if word)


def _together(texts: list[str]) -> str:
    return texts[0] if len(texts) == 1 else f"({' '.join(texts)})" if texts else ""
