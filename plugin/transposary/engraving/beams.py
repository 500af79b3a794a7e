"""Beams: which pieces they join, and at how many levels.

Source: common practice (E. Gould, Behind Bars, 2011, ch. 6 "Beaming"), from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from transposary.passage import Meter


@dataclass(frozen=True, slots=True)
class Stem:
    """What beaming has to know about one written note or rest.

    Attributes:
        offset: Where in a full bar it stands, in quarter notes.
        flags: Flags of its value; 0 has no beam.
        rest: Whether it is a rest; beams run over it.
        joined: Whether the author's beam goes on to the next.
    """

    offset: Fraction
    flags: int
    rest: bool
    joined: bool


Beams = tuple[str, ...]
"""The states of a note's beams from the outermost on, in the words of MusicXML (beam-value)."""


def beams(stems: Sequence[Stem], meter: Meter) -> tuple[Beams, ...]:
    """Gives each note of a voice's bar its beams; notes without one get an empty tuple."""
    found: list[Beams] = [()] * len(stems)
    for group in _groups(stems):
        links = [_link(stems, left, right, meter) for left, right in pairwise(group)]
        for place, index in enumerate(group):
            before = links[place - 1] if place else 0
            after = links[place] if place < len(links) else 0
            found[index] = _states(stems[index], before, after)
    return tuple(found)


def _groups(stems: Sequence[Stem]) -> Iterator[list[int]]:
    """Walks through the runs of notes under one beam, rests within left out."""
    run: list[int] = []
    for index, stem in enumerate(stems):
        if stem.flags and not stem.rest:
            run.append(index)
        if not stem.joined or not stem.flags:
            if len(run) > 1:
                yield run
            run = []
    if len(run) > 1:
        yield run


def _link(stems: Sequence[Stem], left: int, right: int, meter: Meter) -> int:
    """Counts the beams between two neighbours; inner beams stop at each beat."""
    flags = min(stem.flags for stem in stems[left : right + 1])
    by_three = meter.unit >= 8 and meter.count % 3 == 0
    beat = Fraction(12, meter.unit) if by_three else Fraction(1)
    return min(flags, 1) if stems[right].offset % beat == 0 else flags


def _states(stem: Stem, before: int, after: int) -> Beams:
    states: list[str] = []
    for level in range(1, stem.flags + 1):
        if before >= level and after >= level:
            states.append("continue")
        elif after >= level:
            states.append("begin")
        elif before >= level:
            states.append("end")
        else:
            states.append(_hook(stem, level, before, after))
    return tuple(states)


def _hook(stem: Stem, level: int, before: int, after: int) -> str:
    """Points a lone inner beam towards the note that it makes a beat with."""
    if not before or not after:
        return "forward hook" if not before else "backward hook"
    pair = Fraction(2, 2**level)
    return "forward hook" if stem.offset % pair == 0 else "backward hook"
