"""Which notes colour a chord without contradicting it.

Rule (B. Nettles, Harmony 3, as taught at Berklee): a note a whole step above a chord tone is an
available tension; a note a half step above one is to be avoided. Two exceptions of the trade:
dominant sevenths take every tension but the natural eleventh, and the natural thirteenth is not
used on a minor seventh chord, since it makes a tritone with its third.
"""

from __future__ import annotations

from transposary.passage import Chord

_MINOR_THIRD, _MAJOR_THIRD, _MINOR_SEVENTH, _SIXTH = 3, 4, 10, 9
# b9, 9, #9, #11, b13, 13: what a dominant seventh takes.
_DOMINANT_TENSIONS = frozenset({1, 2, 3, 6, 8, 9})


def chord_semitones(chord: Chord) -> frozenset[int]:
    """Gives the chord's tones in semitones above its root, 0 to 11; a foreign bass counts."""
    tones = {tone.semitones % 12 for tone in chord.tones}
    if chord.bass is not None:
        tones.add((chord.bass.pitch_class - chord.root.pitch_class) % 12)
    return frozenset(tones)


def over_root(chord: Chord, pitch_class: int) -> int:
    """Gives how far a note lies above a chord's root, 0 to 11 semitones.

    Args:
        chord: The chord.
        pitch_class: The note; a MIDI number serves as well.
    """
    return (pitch_class - chord.root.pitch_class) % 12


def is_dominant(chord: Chord) -> bool:
    """Says whether the chord has a major third, or a suspended fourth, and a minor seventh."""
    tones = {tone.semitones % 12 for tone in chord.tones}
    suspended = 5 in tones and _MINOR_THIRD not in tones and _MAJOR_THIRD not in tones
    return _MINOR_SEVENTH in tones and (_MAJOR_THIRD in tones or suspended)


def available_tensions(chord: Chord) -> frozenset[int]:
    """Gives the available tensions in semitones above the root, 0 to 11."""
    tones = chord_semitones(chord)
    if is_dominant(chord):
        return _DOMINANT_TENSIONS - tones
    whole = {(tone + 2) % 12 for tone in tones}
    half = {(tone + 1) % 12 for tone in tones}
    found = whole - half - tones
    if _MINOR_THIRD in tones and 7 in tones:
        found.discard(_SIXTH)
    return frozenset(found)
