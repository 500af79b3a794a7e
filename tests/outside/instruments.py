"""Transposing instruments, as textbooks tabulate them.

Source: the tables of transposing instruments in textbooks of harmony and orchestration (two public
tables and the `transpose` element that music21 writes agree on the intervals). The written keys
follow from them by counting accidentals; where a table gives both twins, or the one with as many
accidentals as ours, either is right.
"""

from __future__ import annotations

CONCERT = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]
_FLAT_B = ["D", "Eb", "E", "F", "F#=Gb", "G", "Ab", "A", "Bb", "B", "C", "C#=Db"]
_FLAT_E = ["A", "Bb", "B", "C", "C#=Db", "D", "Eb", "E", "F", "F#=Gb", "G", "G#=Ab"]
_HORN = ["G", "Ab", "A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F", "F#=Gb"]
WRITTEN = {
    "B♭ trumpet or clarinet": _FLAT_B,
    "B♭ tenor saxophone": _FLAT_B,
    "E♭ alto saxophone": _FLAT_E,
    "E♭ baritone saxophone": _FLAT_E,
    "horn in F": _HORN,
    "guitar, an octave up": CONCERT,
    "bass, an octave up": CONCERT,
    "alto clef (viola)": CONCERT,
    "bass clef (trombone, cello)": CONCERT,
}
"""The written key by part, in the order of `CONCERT`."""

SOUNDS = {
    "B♭ trumpet or clarinet": (-1, -2, 0),
    "B♭ tenor saxophone": (-1, -2, -1),
    "E♭ alto saxophone": (-5, -9, 0),
    "E♭ baritone saxophone": (-5, -9, -1),
    "horn in F": (-4, -7, 0),
    "guitar, an octave up": (0, 0, -1),
    "bass, an octave up": (0, 0, -1),
}
"""What is added to a written pitch to get the sounding one: steps, semitones, whole octaves."""

MUSIC21 = {
    "B♭ trumpet or clarinet": ("Trumpet", "Clarinet"),
    "B♭ tenor saxophone": ("TenorSaxophone",),
    "E♭ alto saxophone": ("AltoSaxophone",),
    "E♭ baritone saxophone": ("BaritoneSaxophone",),
    "horn in F": ("Horn",),
    "bass, an octave up": ("Contrabass",),
}
"""Classes of music21 that know the transposition; its guitars do not."""
