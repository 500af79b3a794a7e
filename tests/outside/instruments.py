"""Transposing instruments, as textbooks tabulate them.

Source: the tables of transposing instruments in textbooks of harmony and orchestration (two public
tables and the `transpose` element that music21 writes agree on the intervals). The written keys
follow from them by counting accidentals; where a table gives both twins, or the one with as many
accidentals as ours, either is right.
"""

from __future__ import annotations

from typing import NamedTuple

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
    "guitar": CONCERT,
    "bass guitar, double bass": CONCERT,
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
    "guitar": (0, 0, -1),
    "bass guitar, double bass": (0, 0, -1),
}
"""What is added to a written pitch to get the sounding one: steps, semitones, whole octaves."""

MUSIC21 = {
    "B♭ trumpet or clarinet": ("Trumpet", "Clarinet"),
    "B♭ tenor saxophone": ("TenorSaxophone",),
    "E♭ alto saxophone": ("AltoSaxophone",),
    "E♭ baritone saxophone": ("BaritoneSaxophone",),
    "horn in F": ("Horn",),
    "bass guitar, double bass": ("Contrabass",),
}
"""Classes of music21 that know the transposition; its guitars do not."""


class Compass(NamedTuple):
    """What an instrument has, as written.

    Attributes:
        clef: The clef that its players read.
        lowest: Its lowest note.
        highest: Its highest note, or empty where no source is at hand.
        music21: Its class in music21, or empty where that has another lowest note.
        octave_up: Whether music21 has the note that sounds, an octave below the written one.
    """

    clef: str
    lowest: str
    highest: str
    music21: str = ""
    octave_up: bool = False


COMPASSES = {
    # Lowest notes on which a published appendix and music21 agree, highest ones of that appendix.
    "clarinet": Compass("treble", "E3", "", "Clarinet"),
    "soprano saxophone": Compass("treble", "Bb3", "F6", "SopranoSaxophone"),
    "alto saxophone": Compass("treble", "Bb3", "F6", "AltoSaxophone"),
    "tenor saxophone": Compass("treble", "Bb3", "F6", "TenorSaxophone"),
    "baritone saxophone": Compass("treble", "Bb3", "F6", "BaritoneSaxophone"),
    "trumpet": Compass("treble", "F#3", "C6", "Trumpet"),
    "English horn": Compass("treble", "B3", "E6", "EnglishHorn"),
    "trombone": Compass("bass", "E2", "C5", "Trombone"),
    # The appendix alone: music21 has a horn from C2.
    "horn": Compass("treble", "F#2", "C6"),
    # From memory, and music21 has the same lowest notes.
    "flute": Compass("treble", "C4", "C7", "Flute"),
    "oboe": Compass("treble", "Bb3", "", "Oboe"),
    "bassoon": Compass("bass", "Bb1", "", "Bassoon"),
    "violin": Compass("treble", "G3", "", "Violin"),
    "viola": Compass("alto", "C3", "", "Viola"),
    "cello": Compass("bass", "C2", "", "Violoncello"),
    "double bass": Compass("bass", "E2", "", "Contrabass"),
    "guitar": Compass("treble", "E3", "", "AcousticGuitar", octave_up=True),
    "bass guitar": Compass("bass", "E2", "", "ElectricBass", octave_up=True),
}
"""Written lowest and highest notes of instruments.

Sources: an appendix of instruments in a textbook of harmony; `lowestNote` of the instruments of
music21; the highest notes stand in that appendix alone.
"""

LEFT_OUT = ("flute", "English horn")
"""Instruments that no part is made for: their lowest note is above that of the saxophones."""
