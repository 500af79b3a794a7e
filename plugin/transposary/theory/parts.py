"""Parts: what players of other instruments read, and the keys into which a chart is moved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from transposary.passage import Clef, Key
from transposary.pitch import OCTAVE, Interval
from transposary.theory.keys import SLOTS, UNISON, tonic_of


@dataclass(frozen=True, slots=True)
class Part:
    """What the players of an instrument read.

    Attributes:
        slug: Its name in files and memory.
        name: Who reads it.
        interval: From the concert pitch up to the note that is written, octaves included.
        clef: The clef of a single-line instrument, or None for who reads everything as it is.
    """

    slug: str
    name: str
    interval: Interval
    clef: Clef | None

    @property
    def semitones(self) -> int:
        """Semitones from a concert pitch up to what is written, octaves left out."""
        return self.interval.semitones % 12


CONCERT = Part("concert", "concert pitch", UNISON, None)
PARTS: tuple[Part, ...] = (
    CONCERT,
    Part("trumpet", "B♭ trumpet or clarinet", Interval(1, 2), Clef.TREBLE),
    Part("tenor", "B♭ tenor saxophone", Interval(8, 14), Clef.TREBLE),
    Part("alto", "E♭ alto saxophone", Interval(5, 9), Clef.TREBLE),
    Part("baritone", "E♭ baritone saxophone", Interval(12, 21), Clef.TREBLE),
    Part("horn", "horn in F", Interval(4, 7), Clef.TREBLE),
    Part("treble-clef", "treble clef (violin, oboe)", UNISON, Clef.TREBLE),
    Part("alto-clef", "alto clef (viola)", UNISON, Clef.ALTO),
    Part("bass-clef", "bass clef (trombone, cello)", UNISON, Clef.BASS),
    Part("guitar", "guitar", OCTAVE, Clef.TREBLE),
    Part("bass", "bass guitar, double bass", OCTAVE, Clef.BASS),
)
"""The parts that a band asks for.

Source: MusicXML 4.0, element `transpose`, and the tables of transposing instruments in textbooks
of harmony: a trumpet sounds a major second below what it reads, an alto saxophone a major sixth,
a horn a perfect fifth, tenor and baritone saxophone an octave more than trumpet and alto.
"""

PART_CLEFS: tuple[Clef, ...] = tuple(dict.fromkeys(part.clef for part in PARTS if part.clef is not None))
"""The clefs in which parts are written."""


def written_slot(part: Part, slot: str) -> str:
    """Gives the slot in which a part is written while the others sound in a slot."""
    return SLOTS[(SLOTS.index(slot) + part.semitones) % len(SLOTS)]


def sounding_interval(part: Part, concert: Key, written: Key) -> Interval:
    """Gives the interval from what is written to what sounds, downward and so mostly negative.

    It has the letters that lead back to the concert spelling, as the standard asks of
    `transpose`: a diminished second more or less where the written key is respelled.

    Args:
        part: The part.
        concert: The key that sounds.
        written: The key that is written.
    """
    fifths = concert.tonic.fifths - written.tonic.fifths
    return Interval.of(fifths, -part.interval.semitones)


def moves_of(key: Key, tonics: Mapping[str, str]) -> tuple[Interval, ...]:
    """Gives what moves a chart from its key to each key above it, by semitones from 0 to 11.

    The key reached is spelled as every key here, whoever reads it: a B♭ part of B major is written
    in D♭. In its own key the chart stays as its author spelled it.

    Args:
        key: The key of the chart, or of the bars concerned.
        tonics: Spellings that override the rule of the tonics.
    """
    return _moves(key, tuple(tonics.items()))


@cache
def _moves(key: Key, tonics: tuple[tuple[str, str], ...]) -> tuple[Interval, ...]:
    chosen = dict(tonics)
    return (UNISON, *(_move(key, semitones, chosen) for semitones in range(1, len(SLOTS))))


def _move(key: Key, semitones: int, tonics: Mapping[str, str]) -> Interval:
    slot = SLOTS[(key.tonic.pitch_class + semitones) % len(SLOTS)]
    fifths = tonic_of(slot, key.mode, tonics).fifths - key.tonic.fifths
    return Interval.of(fifths, semitones)
