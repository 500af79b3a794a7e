"""The page of a song: its chart as bars, its form, and the devices played in it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from transposary.glossary import AppliedIn, BarRange, Device, Kind, slug_of
from transposary.site.edition import Edition
from transposary.site.links import Link, genre_link, source_of_entry
from transposary.site.page import Page, Remark
from transposary.site.pages.common import bars_words, chord_words, feel_words, remarks
from transposary.site.pages.device import Fact
from transposary.song import ChartBar, PlayedBar, Section, Song
from transposary.theory.keys import pretty_key, slot_of
from transposary.theory.numerals import numeral_of, pretty_numeral


@dataclass(frozen=True, slots=True)
class Beat:
    """A chord within a bar.

    Attributes:
        symbol: `B♭7`.
        numeral: `♭VII7`; empty where there is no chord.
        beats: How many beats it holds.
    """

    symbol: str
    numeral: str
    beats: str


@dataclass(frozen=True, slots=True)
class BarView:
    """A bar of a chart.

    Attributes:
        number: Counted within its section.
        chords: In order.
        note: A change of meter or key that begins here; empty for none.
    """

    number: int
    chords: tuple[Beat, ...]
    note: str


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


@dataclass(frozen=True, slots=True)
class Use:
    """A device in this song.

    Attributes:
        device: The device, its figure in the key of the song where that is known.
        where: Bars and section, or the author's words.
        key: The key, where it was said.
        date: When.
        changed: What was changed.
    """

    device: Link
    where: str
    key: str
    date: str
    changed: str


@dataclass(frozen=True, slots=True)
class SongView:
    """What the page of a song shows."""

    draft: bool
    facts: tuple[Fact, ...]
    form: tuple[Link, ...]
    sections: tuple[SectionView, ...]
    applied: tuple[Use, ...]
    heard: tuple[Use, ...]
    collections: tuple[Link, ...]
    remarks: tuple[Remark, ...]


def song_page(edition: Edition, song: Song) -> Page:
    """Makes the page of a song."""
    view = SongView(
        draft=song.draft,
        facts=_facts(song),
        form=tuple(Link(name, f"#{section_anchor(name)}") for name in song.form),
        sections=section_views(song),
        applied=applied_uses(edition, song),
        heard=_heard_uses(edition, song),
        collections=tuple(
            Link(collection.title, source_of_entry(collection))
            for collection in edition.glossary.collections
            if any(item.song is not None and item.song.slug == song.slug for item in collection.items)
        ),
        remarks=remarks(edition, (song.place.file,)),
    )
    summary = f"A song in {pretty_key(song.key)}, with its chart and the devices played in it."
    return Page(source_of_entry(song), song.title, "song", view, summary, song.prose, draft=song.draft)


def section_views(song: Song) -> tuple[SectionView, ...]:
    """Shows the chart of a song, section by section."""
    return tuple(_section(song, section) for section in song.sections)


def section_anchor(name: str) -> str:
    """Gives the id of a section on its page."""
    return f"section-{slug_of(name) or '-'.join(str(ord(c)) for c in name)}"


def _facts(song: Song) -> tuple[Fact, ...]:
    found = [
        Fact("Also called", tuple(Link(alias) for alias in song.aliases)),
        Fact("Key", (Link(pretty_key(song.key), f"keys/{slot_of(song.key.tonic)}.md"),)),
        Fact("Meter", (Link(str(song.meter)),)),
        Fact("Feel", (Link(feel_words(song.feel)),)),
        Fact("Tempo", (Link(f"{song.tempo} beats a minute"),) if song.tempo is not None else ()),
        Fact("Genres", tuple(genre_link(genre) for genre in song.genres)),
    ]
    return tuple(fact for fact in found if fact.links)


def _section(song: Song, section: Section) -> SectionView:
    rounds = [list(bars) for key, bars in groupby(song.played, key=_round) if key[0] == section.name]
    numbers = [bar.within for bar in rounds[0]] if rounds else list(range(1, len(section.bars) + 1))
    before: tuple[ChartBar | None, ...] = (None, *section.bars[:-1])
    return SectionView(
        name=section.name,
        anchor=section_anchor(section.name),
        times=tuple(_span(bars) for bars in rounds),
        bars=tuple(
            BarView(number, tuple(_beats(bar)), _change(song, bar, last))
            for number, bar, last in zip(numbers, section.bars, before, strict=True)
        ),
    )


def _round(bar: PlayedBar) -> tuple[str, int]:
    return (bar.section, bar.time)


def _span(bars: list[PlayedBar]) -> str:
    return bars_words(BarRange(bars[0].number, bars[-1].number))


def _beats(bar: ChartBar) -> list[Beat]:
    return [
        Beat(
            chord_words(held.chord),
            "" if held.chord is None else pretty_numeral(numeral_of(held.chord, bar.key)),
            _number(held.length / bar.meter.beat),
        )
        for held in bar.chords
    ]


def _number(count: Fraction) -> str:
    return str(count) if count.denominator == 1 else f"{float(count):g}"


def _change(song: Song, bar: ChartBar, last: ChartBar | None) -> str:
    meter = song.meter if last is None else last.meter
    key = song.key if last is None else last.key
    said = [str(bar.meter)] if bar.meter != meter else []
    said += [f"in {pretty_key(bar.key)}"] if bar.key != key else []
    return ", ".join(said)


def applied_uses(edition: Edition, song: Song) -> tuple[Use, ...]:
    """Lists where devices are played in a song, in the order of its bars."""
    found = [
        (place, device, applied)
        for device in edition.glossary.devices
        for applied in device.applied_in
        if applied.song.slug == song.slug
        for place in [_first_bar(song, applied.bars)]
    ]
    found.sort(key=lambda one: (one[0], one[1].slug))
    return tuple(_applied_use(edition, song, device, applied) for _, device, applied in found)


def _first_bar(song: Song, bars: BarRange) -> int:
    if bars.section is None:
        return bars.first
    numbers = [b.number for b in song.played if b.section == bars.section and b.within == bars.first]
    return min(numbers, default=0)


def _applied_use(edition: Edition, song: Song, device: Device, applied: AppliedIn) -> Use:
    key = applied.key or song.key
    return Use(
        device=edition.directory.entry(Kind.DEVICE, device.slug, slot_of(key.tonic)),
        where=where_words(song, applied.bars),
        key=pretty_key(key),
        date=applied.date.isoformat() if applied.date is not None else "",
        changed=applied.changed or "",
    )


def where_words(song: Song, bars: BarRange) -> str:
    """Says where bars are, both in the performance and in their section.

    `bars 5–6 (section B, bars 1–2)`; `section A, bars 3–4 (bars 3–4, 7–8)`.
    """
    if bars.section is None:
        first = next((bar for bar in song.played if bar.number == bars.first), None)
        if first is None:
            return bars_words(bars)
        last = first.within + bars.last - bars.first
        return f"{bars_words(bars)} ({bars_words(BarRange(first.within, last, first.section))})"
    shift = bars.last - bars.first
    starts = [b.number for b in song.played if b.section == bars.section and b.within == bars.first]
    spans = ", ".join(str(BarRange(start, start + shift)) for start in starts)
    noun = "bar" if shift == 0 and len(starts) == 1 else "bars"
    return f"{bars_words(bars)} ({noun} {spans})" if spans else bars_words(bars)


def _heard_uses(edition: Edition, song: Song) -> tuple[Use, ...]:
    return tuple(
        Use(edition.directory.entry(Kind.DEVICE, device.slug), heard.where or "", "", "", "")
        for device in edition.glossary.devices
        for heard in device.heard_in
        if heard.song is not None and heard.song.slug == song.slug
    )
