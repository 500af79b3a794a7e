"""Keys against published tables and music21.

Circle of fifths: the table on which tonal, mingus and music21 agree for all fifteen keys.
Modes: the key table of the ABC standard 2.1, section 4.6, typed from memory; its rows of seven
sharps and flats were checked against a copy in abcjs. Twelve keys: the usual list of
major and minor keys, common practice, no source.
"""

import pytest
from music21.key import Key as Music21Key

from transposary.passage import Chord, Key, Mode
from transposary.pitch import NoteName
from transposary.theory.chords import parse_chord
from transposary.theory.keys import SLOTS, parse_key, tonic_of
from transposary.theory.numerals import numeral_of, parse_numeral, realise

CIRCLE = (
    "Cb -7 Ab, Gb -6 Eb, Db -5 Bb, Ab -4 F, Eb -3 C, Bb -2 G, F -1 D, C 0 A, "
    "G 1 E, D 2 B, A 3 F#, E 4 C#, B 5 G#, F# 6 D#, C# 7 A#"
)
# Signature, then the tonics in the order of the heading.
ABC_TABLE = """
     major minor mixolydian dorian phrygian lydian locrian
7    C#    A#    G#         D#     E#       F#     B#
6    F#    D#    C#         G#     A#       B      E#
5    B     G#    F#         C#     D#       E      A#
4    E     C#    B          F#     G#       A      D#
3    A     F#    E          B      C#       D      G#
2    D     B     A          E      F#       G      C#
1    G     E     D          A      B        C      F#
0    C     A     G          D      E        F      B
-1   F     D     C          G      A        Bb     E
-2   Bb    G     F          C      D        Eb     A
-3   Eb    C     Bb         F      G        Ab     D
-4   Ab    F     Eb         Bb     C        Db     G
-5   Db    Bb    Ab         Eb     F        Gb     C
-6   Gb    Eb    Db         Ab     Bb       Cb     F
-7   Cb    Ab    Gb         Db     Eb       Fb     Bb
"""
TWELVE = {
    Mode.MAJOR: "C Db D Eb E F Gb G Ab A Bb B",
    Mode.MINOR: "C C# D Eb E F F# G G# A Bb B",
}


@pytest.mark.parametrize("row", CIRCLE.split(", "))
def test_the_circle_of_fifths(row: str) -> None:
    """Fifteen major keys have their signature and their relative minor."""
    major, fifths, minor = row.split()
    assert Key(NoteName.parse(major)).signature == int(fifths)
    assert Key(NoteName.parse(minor), Mode.MINOR).signature == int(fifths)


def test_the_key_table_of_the_abc_standard() -> None:
    """Fifteen signatures in seven modes, read by name and counted."""
    heading, *rows = (line.split() for line in ABC_TABLE.strip().splitlines())
    for signature, *tonics in rows:
        for mode, tonic in zip(heading, tonics, strict=True):
            key = parse_key(f"{tonic} {mode}")
            assert isinstance(key, Key), key
            assert (str(key), key.signature) == (f"{tonic} {mode}", int(signature))


@pytest.mark.parametrize("mode", Mode)
def test_signatures_agree_with_an_independent_library(mode: Mode) -> None:
    """music21 counts the same sharps for the tonic of each slot."""
    for slot in SLOTS:
        tonic = tonic_of(slot, mode, {})
        theirs = Music21Key(str(tonic).replace("b", "-"), mode.value)
        assert theirs.sharps == Key(tonic, mode).signature


@pytest.mark.parametrize("mode", TWELVE)
def test_the_twelve_keys_are_the_usual_ones(mode: Mode) -> None:
    """The default list of major and minor keys, with G flat for the tritone."""
    assert " ".join(str(tonic_of(slot, mode, {})) for slot in SLOTS) == TWELVE[mode]


@pytest.mark.parametrize("row", CIRCLE.split(", "))
def test_diatonic_sevenths_of_every_major_key(row: str) -> None:
    """maj7 m7 m7 maj7 7 m7 m7b5 on the degrees of the scale, as tonal lists them for every key."""
    key = Key(NoteName.parse(row.split(maxsplit=1)[0]))
    qualities = ["maj7", "m7", "m7", "maj7", "7", "m7", "m7b5"]
    scale = [name.name.replace("-", "b") for name in Music21Key(str(key.tonic).replace("b", "-")).pitches[:7]]
    numerals = ["Imaj7", "ii7", "iii7", "IVmaj7", "V7", "vi7", "viiø7"]
    for root, quality, text in zip(scale, qualities, numerals, strict=True):
        chord = parse_chord(root + quality)
        assert isinstance(chord, Chord)
        numeral = numeral_of(chord, key)
        assert str(numeral) == text
        assert parse_numeral(text) == numeral
        assert str(realise(numeral, key)) == root + quality
        assert {str(name) for name in chord.names} <= set(scale)
