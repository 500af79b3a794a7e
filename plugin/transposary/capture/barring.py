"""Meter and barlines from where notes are struck: what is long, low and full falls on strong beats."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from transposary.capture.patterns import Division
from transposary.capture.values import Played
from transposary.passage import Meter

_SIMPLE = ((Meter(4, 4), 0.0), (Meter(3, 4), 0.12), (Meter(2, 4), 0.3), (Meter(5, 4), 0.3))
_COMPOUND = ((Meter(6, 8), 0.0), (Meter(9, 8), 0.12), (Meter(12, 8), 0.15))
_START = 0.25
"""What it counts for a barline that the first note falls on it."""
_END = 0.12


def find_meter(notes: Sequence[Played], places: Sequence[Fraction], division: Division) -> Meter:
    """Finds the meter.

    Args:
        notes: In order of their attacks.
        places: Where each is struck, in quarter notes from any beat.
        division: What the beat divides into.
    """
    offered = _SIMPLE if division is Division.SIMPLE else _COMPOUND
    scored = [
        (max(score for _, score in _phases(notes, places, meter)) - cost, -cost, meter)
        for meter, cost in offered
    ]
    return max(scored, key=lambda one: one[:2])[2]


def find_phase(notes: Sequence[Played], places: Sequence[Fraction], meter: Meter) -> Fraction:
    """Finds the first downbeat, in the quarter notes of `places`.

    A few notes before it are a pickup.
    """
    phase = max(_phases(notes, places, meter), key=lambda one: (one[1], -one[0]))[0]
    first = phase
    while first > places[0]:
        first -= meter.length
    while first + meter.length <= places[0]:
        first += meter.length
    # More than half a bar of silence is a pickup's.
    return first + meter.length if (places[0] - first) * 2 > meter.length else first


def _phases(
    notes: Sequence[Played], places: Sequence[Fraction], meter: Meter
) -> list[tuple[Fraction, float]]:
    """Weighs every beat of a bar as its first."""
    beat = (
        Fraction(3, 2) if meter.unit >= 8 and meter.count % 3 == 0 else Fraction(1, max(1, meter.unit // 4))
    )
    accents = _accents(notes, places)
    total = sum(accents.values())
    origin = (places[0] // beat) * beat
    found = []
    for count in range(int(meter.length / beat)):
        phase = origin + count * beat
        score = sum(weight * _strength(place - phase, meter, beat) for place, weight in accents.items())
        score /= total
        score += _START * ((places[0] - phase) % meter.length == 0)
        score += _END * ((places[-1] - phase) % meter.length == 0)
        found.append((phase, score))
    return found


def _strength(place: Fraction, meter: Meter, beat: Fraction) -> float:
    inside = place % meter.length
    if inside == 0:
        return 1.0
    if inside * 2 == meter.length and (meter.length / beat) % 2 == 0:
        return 0.55
    return 0.3 if inside % beat == 0 else 0.0


def _accents(notes: Sequence[Played], places: Sequence[Fraction]) -> dict[Fraction, float]:
    """Weighs attacks: by the time up to the next one, by what sounds, by low notes and by loud ones."""
    moments = sorted(set(places))
    after = dict(zip(moments, [*moments[1:], moments[-1] + 1], strict=True))
    lowest = min(note.number for note in notes)
    reach = max(max(note.number for note in notes) - lowest, 12)
    loud = sum(note.velocity for note in notes) / len(notes)
    found: dict[Fraction, float] = {}
    for moment in moments:
        struck = [note for note, place in zip(notes, places, strict=True) if place == moment]
        bottom = min(note.number for note in struck)
        found[moment] = (
            min(float(after[moment] - moment), 2.0)
            + 0.25 * min(len(struck) - 1, 4)
            + 0.5 * (1 - (bottom - lowest) / reach)
            + max(note.velocity for note in struck) / loud
            - 0.6
        )
    return {moment: max(weight, 0.05) for moment, weight in found.items()}
