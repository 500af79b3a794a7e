"""Placed notes written into bars: triplets, pickups, and what cannot be written."""

from fractions import Fraction
from itertools import pairwise

import pytest

from transposary.capture.lengths import Placed
from transposary.capture.transcribing import write_down
from transposary.capture.writing import check_rhythm
from transposary.passage import Hand, Key, Meter, Mode
from transposary.pitch import NoteName
from transposary.problems import Fault
from transposary.reading.abc import write_abc

_KEY = Key(NoteName.parse("C"), Mode.MAJOR)


def _line(*moments: str) -> list[Placed]:
    """Gives notes that rise by semitones, each up to the next moment; the last moment is an end."""
    edges = [Fraction(one) for one in moments]
    return [
        Placed(60 + index, start, end - start, Hand.RIGHT)
        for index, (start, end) in enumerate(pairwise(edges))
    ]


@pytest.mark.parametrize(
    ("moments", "meter", "notation"),
    [
        # An eighth of compound time is divided in three.
        ("-1/2 -1/3 -1/6 0 3/2 3", Meter(6, 8), "(3C^CD | _E6 =E6 |]"),
        # A pickup that ends in a triplet begins with it.
        ("-1/3 0 4", Meter(4, 4), "(3:2:2z2 C | _D8 |]"),
        ("0 1/8 3/16 7/32 1/4 1", Meter(4, 4), "C/^C/4D/8_E/8=E3 z12 |]"),
    ],
)
def test_places_that_notation_has_are_written(moments: str, meter: Meter, notation: str) -> None:
    """Triplets of any beat, and notes down to a 128th, are written with their note values."""
    placed = _line(*moments.split())
    assert check_rhythm(placed, meter) is None
    assert notation in write_abc(write_down(placed, meter, _KEY).passage)


@pytest.mark.parametrize(
    ("moments", "meter", "bar"),
    [("0 1/7 1", "4/4", 1), ("-1/7 0 1", "4/4", 0), ("4 129/32 257/64 5", "4/4", 2)],
)
def test_a_place_that_notation_has_not_is_named(moments: str, meter: str, bar: int) -> None:
    """Sevenths of a beat, and what is shorter than a 128th, are refused with their bar."""
    assert check_rhythm(_line(*moments.split()), Meter(4, 4)) == Fault(
        0,
        f"in {meter}, notes of bar {bar} begin or end where no note value leads",
        "give another --pickup, --meter or --tempo",
    )
