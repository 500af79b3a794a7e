"""Into which keys a chart is moved, for whom."""

from __future__ import annotations

import pytest

from tests.repertoire.songs import key_of
from tests.theory.build import chord
from transposary.pitch import Interval
from transposary.theory.keys import UNISON
from transposary.theory.parts import moves_of
from transposary.theory.transposition import transpose_chord


def test_every_key_is_spelled_by_the_rule() -> None:
    """From D major the chart moves to the twelve tonics that devices have."""
    reached = [str(key_of("D").tonic.up(move)) for move in moves_of(key_of("D"), {})]
    assert reached == ["D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B", "C", "Db"]


def test_semitones_count_upward() -> None:
    """The move at a place in the list is by so many semitones."""
    assert [move.semitones for move in moves_of(key_of("Bb minor"), {})] == list(range(12))


@pytest.mark.parametrize("name", ["F#", "Gb", "C# dorian", "Eb minor"])
def test_its_own_key_stays_as_the_author_spelled_it(name: str) -> None:
    """Nothing is respelled where nothing is moved."""
    assert moves_of(key_of(name), {})[0] == UNISON


def test_a_tonic_that_the_author_chose_is_kept() -> None:
    """The option of mkdocs.yml counts for charts too."""
    assert moves_of(key_of("E"), {"Gb major": "F#"})[2] == Interval(1, 2)
    assert moves_of(key_of("E"), {})[2] == Interval(2, 2)


def test_chords_follow_their_key() -> None:
    """The seventh chord on the flat seventh of E stands on F flat in G flat."""
    move = moves_of(key_of("E"), {})[2]
    assert str(transpose_chord(chord("D9/F#"), move)) == "Fb9/Ab"
