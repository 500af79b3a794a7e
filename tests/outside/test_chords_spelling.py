"""Chord symbols against pychord, an independent library that spells its chords.

pychord stacks the natural eleventh under every thirteenth and keeps the third under an
eleventh; those symbols are disputed (see test_chords_disputed) and left out here, with `4`,
which is refused because it can mean two things.
"""

import pytest
from pychord import Chord as PyChord
from pychord.constants.qualities import DEFAULT_QUALITIES

from transposary.passage import Chord
from transposary.theory.chords import parse_chord

ROOTS = ("C", "C#", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B")
DISPUTED = {"11", "7b9b13", "13", "13-9", "13b9", "13+9", "13#9", "maj13", "M13"}
QUALITIES = [quality for quality, _ in DEFAULT_QUALITIES if quality not in DISPUTED | {"4"}]


@pytest.mark.parametrize("quality", QUALITIES)
def test_chords_are_spelled_as_an_independent_library_spells_them(quality: str) -> None:
    """The same note names, with their accidentals, on every root."""
    for root in ROOTS:
        chord = parse_chord(root + quality)
        assert isinstance(chord, Chord), chord
        assert {str(name) for name in chord.names} == set(PyChord(root + quality).components())


def test_the_other_library_knows_many_qualities() -> None:
    """The check would mean little if the list became short."""
    assert len(QUALITIES) > 80
