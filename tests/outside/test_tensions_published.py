"""Available tensions and notes to avoid, against published lists.

Sources: the rule is that of B. Nettles, Harmony 3 (Berklee); the tensions of the diatonic sevenths
and of secondary dominants are those of the sheets of its course in harmony. A second list, of notes
to avoid in each mode, is common practice, no source.
"""

from __future__ import annotations

import pytest

from transposary.passage import Chord
from transposary.pitch import Degree
from transposary.theory.chords import parse_chord
from transposary.theory.scales import Scale, parse_scale
from transposary.theory.tensions import available_tensions, chord_semitones


def _chord(symbol: str) -> Chord:
    chord = parse_chord(symbol)
    assert isinstance(chord, Chord)
    return chord


def _semitones(degrees: str) -> set[int]:
    return {Degree.parse(degree).semitones % 12 for degree in degrees.split()}


# Chord, its mode, its tensions in the key, and what is avoided.
DIATONIC = (
    ("Cmaj7", "major", "9 13", "4"),
    ("Cm7", "dorian", "9 11", "6"),
    ("Cm7", "phrygian", "11", "b2 b6"),
    ("Cmaj7", "lydian", "9 #11 13", ""),
    ("C7", "mixolydian", "9 13", "4"),
    ("Cm7", "minor", "9 11", "b6"),
    ("Cm7b5", "locrian", "11 b13", "b2"),
)


@pytest.mark.parametrize(("symbol", "mode", "tensions", "avoided"), DIATONIC)
def test_sevenths_of_a_major_key_take_the_published_tensions(
    symbol: str, mode: str, tensions: str, avoided: str
) -> None:
    """A scale is the chord, its tensions and what is avoided; each is what the lists have."""
    scale = parse_scale(mode)
    assert isinstance(scale, Scale)
    chord = _chord(symbol)
    available = available_tensions(chord) & scale.semitones
    assert available == _semitones(tensions)
    assert scale.semitones - available - chord_semitones(chord) == _semitones(avoided)


@pytest.mark.parametrize("tensions", ["9 b13", "b9 #9 b13", "9 13"])
def test_a_dominant_takes_the_tensions_of_every_secondary_dominant(tensions: str) -> None:
    """V7 of ii, of iii and vi, of IV and V: what each takes is among what a dominant takes."""
    assert _semitones(tensions) <= available_tensions(_chord("C7"))
