"""Songs as rows of chords in time."""

from __future__ import annotations

import pytest

from tests.repertoire.songs import make_song
from transposary.repertoire.performance import Span, in_one, perform


def _row(spans: tuple[Span, ...]) -> list[tuple[str, str, int]]:
    return [
        ("N.C." if one.harmony is None else str(one.harmony.chord), str(one.length), len(one.inside))
        for one in spans
    ]


def test_a_chord_goes_on_over_the_barline() -> None:
    """Equal chords that follow each other are one, and silence of chords is a span too."""
    assert _row(perform(make_song("C", "| C | C G7 | N.C. |")).spans) == [
        ("C", "6", 0),
        ("G7", "2", 0),
        ("N.C.", "4", 0),
    ]


@pytest.mark.parametrize(
    ("chart", "row"),
    [
        ("| G7sus4 G7 |", [("G7", "4", 2)]),
        ("| G7 Gsus4 |", [("G7", "4", 2)]),
        ("| C C6 |", [("C", "4", 2)]),
        ("| Am Am/G |", [("Am", "4", 2)]),
        ("| Csus4 C |", [("Csus4", "2", 0), ("C", "2", 0)]),
        ("| C C7 |", [("C", "2", 0), ("C7", "2", 0)]),
        ("| G7sus4 N.C. | G7 |", [("G7sus4", "2", 0), ("N.C.", "2", 0), ("G7", "4", 0)]),
    ],
)
def test_a_chord_in_two_steps_counts_as_one(chart: str, row: list[tuple[str, str, int]]) -> None:
    """The root and the family stay, or a dominant is suspended; nothing else is put together."""
    assert _row(in_one(perform(make_song("C", chart)).spans)) == row
