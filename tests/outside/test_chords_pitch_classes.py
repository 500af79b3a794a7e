"""Chord symbols against mir_eval, an independent library.

mir_eval.chord reads the syntax of Harte, Sandler and Abdallah (ISMIR 2005), in which any chord
can be written as a list of degrees. The 41 qualities and 3 slash chords below are those on
which every independent library that knows them agrees (mir_eval, pychord, mingus, tonal; 38 of
them by three or more). Each is checked on twelve roots: 492 + 36 cases.
"""

import pytest
from mir_eval import chord as harte

from tests.outside.chord_tables import AGREED, SLASHED
from transposary.passage import Chord
from transposary.pitch import NoteName
from transposary.theory.chords import parse_chord

ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def _ours(symbol: str) -> tuple[set[int], int]:
    chord = parse_chord(symbol)
    assert isinstance(chord, Chord), chord
    bass = chord.root if chord.bass is None else chord.bass
    names = (*chord.names, bass)
    return {name.pitch_class for name in names}, bass.pitch_class


def _theirs(text: str) -> tuple[set[int], int]:
    # Without reduce_extended_chords mir_eval drops every 9th, 11th and 13th.
    root, bits, bass = harte.encode(text, reduce_extended_chords=True)
    classes = {(root + step) % 12 for step in range(12) if bits[step]}
    return classes | {(root + bass) % 12}, (root + bass) % 12


@pytest.mark.parametrize(("suffix", "quality"), AGREED.items())
def test_agreed_qualities_have_the_pitch_classes_of_an_independent_library(suffix: str, quality: str) -> None:
    """The same pitch classes and bass on every root."""
    found = {root: _ours(f"{root}{suffix}") for root in ROOTS}
    assert found == {root: _theirs(f"{root}:{quality}") for root in ROOTS}


@pytest.mark.parametrize(("degree", "interval"), SLASHED.items())
def test_slash_chords_have_the_bass_of_an_independent_library(degree: str, interval: int) -> None:
    """The same pitch classes and bass on every root."""
    for root in ROOTS:
        bass = NoteName(NoteName.parse(root).fifths + interval)
        assert _ours(f"{root}/{bass}") == _theirs(f"{root}:maj/{degree}")


def test_the_tables_hold_the_cases_they_claim() -> None:
    """41 qualities and 3 slash chords."""
    assert (len(AGREED), len(SLASHED)) == (41, 3)
