"""Thirds of a beat in simple time: where triplets are written, and which notes stand in them."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from transposary.passage import Bar, Event, Tuplet

WRITTEN = Fraction(3, 2)
"""Written length over sounding length in a triplet."""

Span = tuple[Fraction, Fraction]


def is_dyadic(moment: Fraction) -> bool:
    """Whether halving a quarter note leads to a moment."""
    return moment.denominator & (moment.denominator - 1) == 0


def triplets(spans: Sequence[Span], bars: Sequence[Bar], breaks: Collection[Fraction]) -> tuple[Span, ...]:
    """Finds the stretches of time that have to be written as triplets.

    A stretch is a beat of a simple meter in which a note begins or ends on a third. Two beats are
    one where a note on thirds of the two crosses from the first into the second.

    Args:
        spans: Onset and end of each note, in quarters.
        bars: The bars.
        breaks: Moments that no triplet may cover, such as those of chord symbols.
    """
    odd = {moment for span in spans for moment in span if not is_dyadic(moment)}
    return tuple(
        cell
        for bar in bars
        if not bar.meter.compound
        for cell in _cells(bar, spans, breaks)
        if any(cell[0] < moment < cell[1] for moment in odd)
    )


def _cells(bar: Bar, spans: Sequence[Span], breaks: Collection[Fraction]) -> Iterator[Span]:
    """Divides a bar into beats, two of them together where that is how a triplet runs."""
    waiting: Span | None = None
    for beat in _beats(bar):
        if waiting is None:
            waiting = beat
        elif _is_one((waiting[0], beat[1]), spans, breaks):
            yield (waiting[0], beat[1])
            waiting = None
        else:
            yield from (waiting, beat)
            waiting = None
    if waiting is not None:
        yield waiting


def _beats(bar: Bar) -> Iterator[Span]:
    origin = bar.end - bar.meter.length if bar.number == 0 else bar.onset
    onset = origin + (bar.onset - origin) // bar.meter.beat * bar.meter.beat
    while onset < bar.end:
        yield (onset, onset + bar.meter.beat)
        onset += bar.meter.beat


def _is_one(pair: Span, spans: Sequence[Span], breaks: Collection[Fraction]) -> bool:
    start, end = pair
    middle, third = (start + end) / 2, (end - start) / 3
    inside = [moment for span in spans for moment in span if start <= moment <= end]
    return (
        any(onset < middle < until for onset, until in spans)
        and all((moment - start) % third == 0 for moment in inside)
        and middle not in breaks
    )


def in_triplets(pieces: Sequence[Event], cells: Sequence[Span]) -> tuple[Event, ...]:
    """Puts what fills the stretches of `triplets` into tuplets, three in the time of two."""
    found = []
    for piece in pieces:
        cell = next((cell for cell in cells if cell[0] <= piece.onset < cell[1]), None)
        if cell is not None:
            edges = {"first": piece.onset == cell[0], "last": piece.end == cell[1]}
            piece = replace(piece, tuplet=Tuplet(3, 2, **edges))  # noqa: PLW2901 - the same piece
        found.append(piece)
    return tuple(found)
