"""Songs of the repertoire: charts as bars of chords, and the form that plays them."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from transposary.passage import STRAIGHT, Chord, Feel, Key, Meter
from transposary.problems import Place


@dataclass(frozen=True, slots=True)
class ChartChord:
    """A chord of a chart.

    Attributes:
        beat: Beat on which it begins, from 1.
        length: In quarter notes.
        chord: The chord, or None for `N.C.`.
        place: Where it stands.
    """

    beat: Fraction
    length: Fraction
    chord: Chord | None
    place: Place = field(default=Place(""), compare=False)

    def __str__(self) -> str:
        return "N.C." if self.chord is None else str(self.chord)


@dataclass(frozen=True, slots=True)
class ChartBar:
    """A bar of a chart, `%` already resolved into the chords it repeats.

    Attributes:
        repeat_begun: A repeat begins before it.
        repeat_ended: A repeat ends after it.
        ending: `1` or `2` where a first or second ending begins, else empty.
        marks: What D.C. and D.S. in the form go by: `segno`, `fine`, `coda` (jump from here).
    """

    chords: tuple[ChartChord, ...]
    meter: Meter
    key: Key
    place: Place = field(default=Place(""), compare=False)
    repeat_begun: bool = False
    repeat_ended: bool = False
    ending: str = ""
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A named part of a song, its repeats as written."""

    name: str
    bars: tuple[ChartBar, ...]
    place: Place = field(default=Place(""), compare=False)


@dataclass(frozen=True, slots=True)
class PlayedBar:
    """A bar of a song as it comes in the performance.

    Attributes:
        number: Counted through the form as played; a pickup is bar 0.
        section: Name of its section.
        time: Which time round its section this is, from 1; a repeat within it is another time.
        within: Its number within the section as written, from 1 (a pickup is 0).
        bar: What the chart says.
    """

    number: int
    section: str
    time: int
    within: int
    bar: ChartBar


@dataclass(frozen=True, slots=True)
class Song:
    """A song of the repertoire, as a chart.

    Attributes:
        played: Every bar in the order in which the form plays them.
    """

    slug: str
    title: str
    key: Key
    meter: Meter
    place: Place
    sections: tuple[Section, ...]
    form: tuple[str, ...]
    played: tuple[PlayedBar, ...]
    aliases: tuple[str, ...] = ()
    tempo: int | None = None
    feel: Feel = STRAIGHT
    genres: tuple[str, ...] = ()
    draft: bool = False
    prose: str = ""
