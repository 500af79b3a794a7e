"""Parts: what players of transposing instruments read, and the keys into which a chart is moved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from transposary.passage import Key
from transposary.pitch import Interval
from transposary.theory.keys import SLOTS, UNISON, tonic_of


@dataclass(frozen=True, slots=True)
class Part:
    """What a group of instruments reads.

    Attributes:
        name: Who reads it.
        interval: From a concert pitch up to the note that is written, octaves left out.
    """

    name: str
    interval: Interval


PARTS: tuple[Part, ...] = (
    Part("concert pitch", UNISON),
    Part("B♭ instruments", Interval(1, 2)),
    Part("E♭ instruments", Interval(5, 9)),
    Part("F instruments", Interval(4, 7)),
)
"""The parts that a band asks for.

Source: MusicXML 4.0, element `transpose`, and the tables of transposing instruments in textbooks
of harmony: a trumpet sounds a major second below what it reads, an alto saxophone a major sixth,
a horn a perfect fifth.
"""


def moves_of(key: Key, tonics: Mapping[str, str]) -> tuple[Interval, ...]:
    """Gives what moves a chart from its key to each key above it, by semitones from 0 to 11.

    The key reached is spelled as every key here, whoever reads it: a B♭ part of B major is written
    in D♭. In its own key the chart stays as its author spelled it.

    Args:
        key: The key of the chart, or of the bars concerned.
        tonics: Spellings that override the rule of the tonics.
    """
    return (UNISON, *(_move(key, semitones, tonics) for semitones in range(1, len(SLOTS))))


def _move(key: Key, semitones: int, tonics: Mapping[str, str]) -> Interval:
    slot = SLOTS[(key.tonic.pitch_class + semitones) % len(SLOTS)]
    fifths = tonic_of(slot, key.mode, tonics).fifths - key.tonic.fifths
    return Interval.of(fifths, semitones)
