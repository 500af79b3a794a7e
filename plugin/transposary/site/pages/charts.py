"""Charts: the sections of a song as bars with chord symbols and numerals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby
from types import MappingProxyType

from transposary.glossary import BarRange, slug_of
from transposary.passage import Chord
from transposary.repertoire.performance import harmonies
from transposary.site.pages.common import bars_words, chord_words
from transposary.site.pages.moving import keys_of_chart
from transposary.song import ChartBar, PlayedBar, Section, Song
from transposary.theory.keys import pretty_key
from transposary.theory.numerals import numeral_of, pretty_numeral

BarKey = tuple[str, int]

# What stands over a bar to which D.C. or D.S. leads, or from which they lead on.
_SIGNS = {"segno": "Segno", "fine": "Fine", "coda": "To coda"}


@dataclass(frozen=True, slots=True)
class Beat:
    """A chord within a bar.

    Attributes:
        symbol: `B♭7`.
        numeral: `♭VII7`; empty where there is no chord.
        beats: How many beats it holds.
        root: Place of the root on the line of fifths, or None where there is no chord.
        bass: The same of a bass that is not the root, else None.
    """

    symbol: str
    numeral: str
    beats: str
    root: int | None
    bass: int | None


@dataclass(frozen=True, slots=True)
class Sign:
    """What is written above a bar.

    Attributes:
        text: `3/4`, `To coda`, or the key that begins: `G major`.
        tonic: Place of that key's tonic on the line of fifths, or None for other signs.
    """

    text: str
    tonic: int | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """A quiet sign at a bar.

    Attributes:
        kind: `played` or `offered`.
        text: What it says: `3 devices fit here`.
        target: Where on the page they are listed; for those that fit, narrowed to the bar.
    """

    kind: str
    text: str
    target: str


@dataclass(frozen=True, slots=True)
class BarView:
    """A bar of a chart.

    Attributes:
        number: Counted within its section; a pickup is 0.
        chords: In order.
        notes: What is written above it: that it is a pickup, an ending, a change of meter or key, a mark
            of the form.
        repeat_begun: A repeat begins before it.
        repeat_ended: A repeat ends after it.
        key: Number of its key among those of the chart, from 0.
        marks: Who is played or could be played here.
    """

    number: int
    chords: tuple[Beat, ...]
    notes: tuple[Sign, ...]
    repeat_begun: bool
    repeat_ended: bool
    key: int
    marks: tuple[Mark, ...] = ()


Marks = Mapping[BarKey, tuple[Mark, ...]]
_NO_MARKS: Marks = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class SectionView:
    """A section of a chart.

    Attributes:
        name: As the author calls it.
        anchor: Its id on the page.
        times: The bars of the performance that it fills, one text each time round.
        bars: In order.
    """

    name: str
    anchor: str
    times: tuple[str, ...]
    bars: tuple[BarView, ...]


def section_views(song: Song, marks: Marks = _NO_MARKS) -> tuple[SectionView, ...]:
    """Shows the chart of a song, section by section.

    Args:
        song: The song.
        marks: Signs by section and number of the bar within it.
    """
    numerals = _numerals(song)
    # A key that goes on from the section above is said there.
    above = (None, *(section.bars[-1] for section in song.sections[:-1]))
    return tuple(
        _section(song, section, last, numerals, marks)
        for section, last in zip(song.sections, above, strict=True)
    )


def _numerals(song: Song) -> dict[BarKey, tuple[str, ...]]:
    """Counts the chords of each bar as they are the first time that it is played."""
    found: dict[BarKey, tuple[str, ...]] = {}
    for played, row in zip(song.played, harmonies(song), strict=True):
        words = tuple("" if one is None else pretty_numeral(one.numeral) for one in row)
        found.setdefault((played.section, played.within), words)
    return found


def section_anchor(name: str) -> str:
    """Gives the id of a section on its page."""
    return f"section-{slug_of(name) or '-'.join(str(ord(c)) for c in name)}"


def _section(
    song: Song,
    section: Section,
    above: ChartBar | None,
    numerals: Mapping[BarKey, tuple[str, ...]],
    marks: Marks,
) -> SectionView:
    rounds = [list(bars) for key, bars in groupby(song.played, key=_round) if key[0] == section.name]
    pickup = [bar.bar for bar in song.played[:1] if bar.within == 0 and bar.section == section.name]
    bars = (*pickup, *section.bars)
    before: tuple[ChartBar | None, ...] = (above, *bars[:-1])
    return SectionView(
        name=section.name,
        anchor=section_anchor(section.name),
        times=tuple(_span(played) for played in rounds),
        bars=tuple(
            replace(
                _bar(song, number, bar, last, numerals.get((section.name, number))),
                marks=marks.get((section.name, number), ()),
            )
            for number, (bar, last) in enumerate(zip(bars, before, strict=True), 1 - len(pickup))
        ),
    )


def _bar(
    song: Song, number: int, bar: ChartBar, last: ChartBar | None, numerals: tuple[str, ...] | None
) -> BarView:
    ending = (Sign(f"{bar.ending}."),) if bar.ending else ()
    pickup = () if number else (Sign("pickup"),)
    marks = (Sign(_SIGNS[mark]) for mark in bar.marks)
    notes = (*pickup, *ending, *_changes(song, bar, last), *marks)
    key = keys_of_chart(song).index(bar.key)
    return BarView(number, tuple(_beats(bar, numerals)), notes, bar.repeat_begun, bar.repeat_ended, key)


def _round(bar: PlayedBar) -> tuple[str, int]:
    return (bar.section, bar.time)


def _span(bars: list[PlayedBar]) -> str:
    return bars_words(BarRange(bars[0].number, bars[-1].number))


def _beats(bar: ChartBar, numerals: tuple[str, ...] | None) -> Iterator[Beat]:
    """Lists the chords of a bar; one that the form never plays is counted by itself."""
    alone = tuple(
        "" if one.chord is None else pretty_numeral(numeral_of(one.chord, bar.key)) for one in bar.chords
    )
    for held, numeral in zip(bar.chords, numerals or alone, strict=True):
        beats = _number(held.length / bar.meter.beat)
        yield Beat(chord_words(held.chord), numeral, beats, *_places(held.chord))


def _places(chord: Chord | None) -> tuple[int | None, int | None]:
    if chord is None:
        return None, None
    return chord.root.fifths, None if chord.bass is None else chord.bass.fifths


def _number(count: Fraction) -> str:
    return str(count) if count.denominator == 1 else f"{float(count):g}"


def _changes(song: Song, bar: ChartBar, last: ChartBar | None) -> tuple[Sign, ...]:
    meter = song.meter if last is None else last.meter
    key = song.key if last is None else last.key
    said = [Sign(str(bar.meter))] if bar.meter != meter else []
    said += [Sign(pretty_key(bar.key), bar.key.tonic.fifths)] if bar.key != key else []
    return tuple(said)
