"""How far a chord of a chart answers to a wanted one (common practice, no source)."""

from __future__ import annotations

import pytest

from tests.theory.build import chord
from transposary.repertoire.likeness import Likeness, likeness
from transposary.theory.numerals import Numeral, parse_numeral


def _likeness(wanted: str, shown: str, root_moves: int, *, minor: bool = False) -> Likeness | None:
    numeral = parse_numeral(wanted)
    assert isinstance(numeral, Numeral)
    return likeness(numeral, chord(shown), root_moves, minor=minor)


@pytest.mark.parametrize(
    ("wanted", "shown", "root_moves", "score", "name"),
    [
        ("V7", "G7", 0, 1.0, ""),
        ("V7", "G/B", 0, 0.97, ""),
        ("Imaj7", "C", 0, 0.97, ""),
        ("viiø7", "Bdim", 0, 0.97, ""),
        ("V7", "G13", 0, 0.9, "same families"),
        ("V7", "G7sus4", 0, 0.8, "a suspended chord for the dominant"),
        ("V7", "Db7", 6, 0.6, "tritone substitution"),
        ("V7", "Bdim7", 4, 0.55, "a diminished chord for the dominant"),
        ("#io7", "C7", 11, 0.55, "a dominant for the diminished chord"),
        ("Imaj7", "Am7", 9, 0.55, "the relative minor for a major chord"),
        ("vi7", "Cmaj7", 3, 0.55, "the relative major for a minor chord"),
    ],
)
def test_what_is_granted_is_named_and_costs(
    wanted: str, shown: str, root_moves: int, score: float, name: str
) -> None:
    """The same chord counts in full; each thing granted has its price and its name."""
    assert _likeness(wanted, shown, root_moves) == Likeness(score, name, root_moves)


@pytest.mark.parametrize(
    ("wanted", "shown", "root_moves"),
    [("V7", "Bdim7", 5), ("I7", "C", 0), ("ii7", "Dm7b5", 0), ("V7", "Gm7", 0), ("V7", "A7", 2)],
)
def test_nothing_makes_one_of_the_other(wanted: str, shown: str, root_moves: int) -> None:
    """Another root or another family is no answer, nor is a triad whose place has another seventh."""
    assert _likeness(wanted, shown, root_moves) is None


def test_a_triad_takes_its_seventh_by_the_mode() -> None:
    """A plain tonic triad takes a minor seventh in minor only."""
    assert _likeness("i7", "Cm", 0, minor=True) == Likeness(0.97)
    assert _likeness("i7", "Cm", 0) == Likeness(0.9, "same families")
