"""Rhythms of one beat, and how likely each is.

A beat is a quarter note in simple time and a dotted quarter in compound time. How often a rhythm
comes was counted in the fitted half of the passages of `tests/outside/played.py`, all that came
more than once; `python -m tests.bench.capturing counts` prints the counts again. Rhythms that were
not seen get what a grid of their kind is worth.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache
from itertools import combinations, product
from math import log

from transposary.passage import Meter


class Division(StrEnum):
    """What a beat divides into."""

    SIMPLE = "simple"
    COMPOUND = "compound"


def pulse_of(meter: Meter) -> tuple[Division, Fraction]:
    """Gives what the beat that is followed divides into, and its length in quarter notes."""
    if meter.unit >= 8 and meter.count % 3 == 0:
        return Division.COMPOUND, Fraction(12, meter.unit)
    return Division.SIMPLE, Fraction(1) if meter.unit <= 4 else Fraction(4, meter.unit)


@dataclass(frozen=True, slots=True)
class Pattern:
    """A rhythm of one beat.

    Attributes:
        places: Where it is struck, in 24ths of the beat.
        times: The same as it is played, in parts of the beat; swing moves it.
        cost: Natural logarithm of how unlikely it is.
        bits: The same times as bits, by their place in `Vocabulary.times`.
    """

    places: tuple[int, ...]
    times: tuple[float, ...]
    cost: float
    bits: int


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The rhythms that a beat may have.

    Attributes:
        patterns: The rhythms, likely ones first.
        times: Every time at which one of them is struck, in order.
    """

    patterns: tuple[Pattern, ...]
    times: tuple[float, ...]

    def bits_near(self, moment: float, near: float) -> int:
        """Gives the times that lie near a moment, as bits."""
        low = bisect_left(self.times, moment - near)
        high = bisect_right(self.times, moment + near)
        return (1 << high) - (1 << low) if high > low else 0


# Places in 24ths of the beat, and how often they were counted.
_COUNTS: dict[Division, tuple[tuple[str, int], ...]] = {
    Division.SIMPLE: (
        ("0 12", 402),
        ("0 6 12 18", 281),
        ("0", 265),
        ("0 18", 151),
        ("", 91),
        ("0 12 18", 76),
        ("12", 41),
        ("0 8 16", 40),
        ("0 6", 26),
        ("0 6 12", 22),
        ("12 18", 16),
        ("12 16 20", 5),
        ("0 4 8 12 16 20", 5),
        ("0 12 16 20", 4),
        ("6 12", 3),
        ("0 18 21", 2),
        ("0 6 18", 2),
        ("0 6 12 16 20", 2),
    ),
    Division.COMPOUND: (
        ("0 8 16", 189),
        ("0 16", 140),
        ("0", 45),
        ("16", 12),
        ("0 12 16", 6),
        ("0 8", 4),
        ("0 4 16", 4),
        ("", 3),
        ("16 20", 2),
        ("0 16 20", 2),
    ),
}
# What a rhythm of a grid that was not seen is worth, in counts.
_UNSEEN: dict[Division, tuple[tuple[int, float], ...]] = {
    Division.SIMPLE: ((4, 2.0), (3, 1.5), (6, 0.08), (8, 0.04)),
    Division.COMPOUND: ((3, 2.0), (6, 0.4), (12, 0.01)),
}
# A half of a beat may be a triplet, whatever the other one is.
_HALVES: tuple[tuple[int, ...], ...] = ((), (0,), (0, 6), (6,), (0, 4, 8))
_HALF_IN_THREE = 0.5
_SWUNG = 0.2
"""How much rarer sixteenths are where eighths swing (common practice, no source)."""
_UNKNOWN = 12.0
"""Cost of a rhythm of no grid."""
_LARGEST_GRID = {6: 6, 8: 8, 12: 5}


@cache
def vocabulary(division: Division, swung: float) -> Vocabulary:
    """Lists the rhythms of a beat.

    Args:
        division: What the beat divides into.
        swung: Where the second of two eighths is played, in parts of the beat; 0.5 is straight.
    """
    counts = dict(_unseen(division))
    for text, count in _COUNTS[division]:
        places = tuple(map(int, text.split()))
        counts[places] = counts.get(places, 0.0) + count
    total = sum(counts.values())
    if swung != 0.5:
        # Not counted anew: a beat without sixteenths is no likelier swung than straight.
        counts = {one: count * (_SWUNG if {6, 18} & {*one} else 1) for one, count in counts.items()}
    played = {places: tuple(_time(place, places, swung) for place in places) for places in counts}
    times = sorted({time for struck in played.values() for time in struck})
    bits = {time: 1 << index for index, time in enumerate(times)}
    found = (
        Pattern(places, played[places], -log(count / total), sum(bits[time] for time in played[places]))
        for places, count in counts.items()
    )
    return Vocabulary(tuple(sorted(found, key=lambda one: (one.cost, one.places))), tuple(times))


@lru_cache(maxsize=10_000)
def patterns_within(division: Division, swung: float, bits: int) -> tuple[Pattern, ...]:
    """Lists the rhythms of a beat that are struck at some times only, likely ones first.

    Args:
        division: What the beat divides into.
        swung: Where the second of two eighths is played, in parts of the beat.
        bits: Those times, as `Vocabulary.bits_near` gives them.
    """
    return tuple(one for one in vocabulary(division, swung).patterns if not one.bits & ~bits)


@cache
def rhythm_cost(division: Division, places: tuple[int, ...]) -> float:
    """Says how unlikely a rhythm of a beat is, as a natural logarithm; of any grid."""
    known = (one.cost for one in vocabulary(division, 0.5).patterns if one.places == places)
    return min(next(known, _UNKNOWN), _UNKNOWN)


def _unseen(division: Division) -> dict[tuple[int, ...], float]:
    found: dict[tuple[int, ...], float] = {}
    for grid, worth in _UNSEEN[division]:
        places = range(0, 24, 24 // grid)
        for size in range(min(grid, _LARGEST_GRID.get(grid, grid)) + 1):
            for chosen in combinations(places, size):
                found.setdefault(chosen, worth)
    if division is Division.SIMPLE:
        for low, high in product(_HALVES, repeat=2):
            if 3 in (len(low), len(high)):
                found.setdefault((*low, *(12 + place for place in high)), _HALF_IN_THREE)
    return found


def _time(place: int, places: tuple[int, ...], swung: float) -> float:
    """Moves the second eighth of a swung beat; a beat in thirds stays as it is."""
    if swung == 0.5 or any(one % 8 == 0 and one for one in places):
        return place / 24
    if place <= 12:
        return place / 12 * swung
    return swung + (place - 12) / 12 * (1 - swung)
