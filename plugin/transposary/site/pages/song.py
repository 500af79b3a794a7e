"""The page of a song: its chart as bars, its form, and the devices played in it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from transposary.glossary import AppliedIn, BarRange, Device, Frame, Kind
from transposary.passage import Key
from transposary.pitch import NoteName
from transposary.repertoire import runs_of, runs_of_fit
from transposary.repertoire.places import Run
from transposary.site.edition import Edition
from transposary.site.links import Link, called, genre_link, source_of_entry
from transposary.site.page import Page, Remark
from transposary.site.pages.charts import BarKey, Mark, SectionView, section_anchor, section_views
from transposary.site.pages.common import again_words, bars_words, feel_words, key_words, remarks
from transposary.site.pages.device import Fact
from transposary.site.pages.fits import Offer, bar_name, offers
from transposary.site.pages.indexes import Choice, count_words
from transposary.site.pages.moving import MovingView, moving_view
from transposary.song import ChartBar, Song
from transposary.theory.keys import pretty_key, slot_of


@dataclass(frozen=True, slots=True)
class Use:
    """A device in this song.

    Attributes:
        device: The device, its figure in the key in which it sounds there where that is known.
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
    moving: MovingView
    sections: tuple[SectionView, ...]
    applied: tuple[Use, ...]
    offered: tuple[Offer, ...]
    choices: tuple[Choice, ...]
    heard: tuple[Use, ...]
    collections: tuple[Link, ...]
    remarks: tuple[Remark, ...]


def song_page(edition: Edition, song: Song) -> Page:
    """Makes the page of a song."""
    offered = offers(edition, song)
    view = SongView(
        draft=song.draft,
        facts=_facts(song),
        form=tuple(_form_link(song, name) for name in song.form),
        moving=moving_view(song, edition.settings.tonics),
        sections=section_views(song, _marks(edition, song)),
        applied=applied_uses(edition, song),
        offered=offered,
        choices=(*_choices(offered), *_bar_choices(song, offered)),
        heard=_heard_uses(edition, song),
        collections=tuple(
            Link(called(collection), source_of_entry(collection))
            for collection in edition.glossary.collections
            if any(item.song is not None and item.song.slug == song.slug for item in collection.items)
        ),
        remarks=remarks(edition, (song.place.file,)),
    )
    summary = f"A song in {pretty_key(song.key)}, with its chart and the devices played in it."
    return Page(source_of_entry(song), song.title, "song", view, summary, song.prose, draft=song.draft)


def _choices(offered: Sequence[Offer]) -> tuple[Choice, ...]:
    """What the offered devices can be narrowed by; nothing where there is nothing to choose."""
    found = []
    for name, label in (("role", "Role"), ("level", "Level")):
        values = sorted({value for one in offered for value in dict(one.data)[name].split()})
        if len(values) > 1:
            found.append(Choice(name, label, tuple((value, value) for value in values)))
    return tuple(found)


def _bar_choices(song: Song, offered: Sequence[Offer]) -> tuple[Choice, ...]:
    """The bars in which devices fit, in the order of the chart."""
    known = {name for one in offered for name in dict(one.data)["bar"].split()}
    bars = tuple(
        (name, bars_words(BarRange(number, number, section.name)))
        for section in song.sections
        for number in range(len(section.bars) + 1)
        for name in [bar_name(section.name, number)]
        if name in known
    )
    return (Choice("bar", "Bar", bars),) if bars else ()


def _marks(edition: Edition, song: Song) -> dict[BarKey, tuple[Mark, ...]]:
    """Says of each bar of the chart how many devices are played and how many fit there."""
    played: dict[BarKey, set[str]] = {}
    offered: dict[BarKey, set[str]] = {}
    for device in edition.glossary.devices:
        for applied in device.applied_in:
            if applied.song.slug == song.slug:
                _note(played, runs_of(song, applied.bars), device.slug)
        for fit in edition.fitted[device.slug].fits:
            if fit.song == song.slug:
                _note(offered, runs_of_fit(song, fit), device.slug)
    marks: dict[BarKey, tuple[Mark, ...]] = {}
    for key, slugs in played.items():
        text = f"{count_words(len(slugs), 'device')} played here"
        marks[key] = (Mark("played", text, "#tp-applied"),)
    for key, slugs in offered.items():
        verb = "fits" if len(slugs) == 1 else "fit"
        target = f"?bar={bar_name(*key)}#tp-offered"
        mark = Mark("offered", f"{count_words(len(slugs), 'device')} {verb} here", target)
        marks[key] = (*marks.get(key, ()), mark)
    return marks


def _note(found: dict[BarKey, set[str]], runs: Iterable[Run], slug: str) -> None:
    for run in runs:
        for bar in run:
            found.setdefault((bar.section, bar.within), set()).add(slug)


def _form_link(song: Song, name: str) -> Link:
    """Links a part of the form to its section; a direction such as D.C. leads nowhere."""
    known = any(section.name == name for section in song.sections)
    return Link(name, f"#{section_anchor(name)}" if known else None)


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
    first = next((run[0].bar for run in runs_of(song, applied.bars)), None)
    written = song.key if first is None else first.key
    key = applied.key or written
    return Use(
        device=edition.directory.entry(Kind.DEVICE, device.slug, slot_there(device, first, written, key)),
        where=where_words(song, applied.bars),
        key=key_words(edition.worked[device.slug], key),
        date=applied.date.isoformat() if applied.date is not None else "",
        changed=applied.changed or "",
    )


def slot_there(device: Device, first: ChartBar | None, written: Key, key: Key) -> str:
    """Gives the slot in which a device sounds, or nothing where the bar does not tell its chord."""
    if device.frame is not Frame.CHORD or first is None:
        return slot_of(key.tonic)
    roots = {one.chord.root.fifths for one in first.chords if one.chord is not None}
    if len(roots) != 1:
        return ""
    return slot_of(NoteName(roots.pop() + key.tonic.fifths - written.tonic.fifths))


def where_words(song: Song, bars: BarRange) -> str:
    """Says where bars are, both in the performance and in their section.

    `bars 5–6 (section B, bars 1–2)`; `section A, bars 3–4 (again as bars 7–8)`.
    """
    if bars.section is None:
        first = next((bar for bar in song.played if bar.number == bars.first), None)
        if first is None:
            return bars_words(bars)
        last = next((bar for bar in song.played if bar.number == bars.last), first)
        if (last.section, last.time) != (first.section, first.time):
            ends = (BarRange(one.within, one.within, one.section) for one in (first, last))
            return f"{bars_words(bars)} ({' to '.join(map(bars_words, ends))})"
        own = BarRange(first.within, last.within, first.section)
        same = own.first == bars.first
        return bars_words(own) if same else f"{bars_words(bars)} ({bars_words(own)})"
    shift = bars.last - bars.first
    starts = [b.number for b in song.played if b.section == bars.section and b.within == bars.first]
    again = again_words(bars, [BarRange(start, start + shift) for start in starts])
    return f"{bars_words(bars)} ({again})" if again else bars_words(bars)


def _heard_uses(edition: Edition, song: Song) -> tuple[Use, ...]:
    return tuple(
        Use(edition.directory.entry(Kind.DEVICE, device.slug), heard.where or "", "", "", "")
        for device in edition.glossary.devices
        for heard in device.heard_in
        if heard.song is not None and heard.song.slug == song.slug
    )
