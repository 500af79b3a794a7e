"""The page of a device."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from transposary.glossary import AppliedIn, Device, Frame, HeardIn, Kind, Ref
from transposary.notes import notes
from transposary.repertoire.applied import other_key
from transposary.repertoire.differences import became
from transposary.site.edition import Edition
from transposary.site.links import Link, called, genre_link, source_of, source_of_entry
from transposary.site.page import Figure, Page, Remark
from transposary.site.pages.claims import proved
from transposary.site.pages.common import (
    bars_words,
    feel_words,
    figure_as_played,
    figure_compared,
    figure_in_key,
    remarks,
)
from transposary.site.pages.explained import ExplainedView, explained
from transposary.site.pages.fingering import FingeringView, fingering_view
from transposary.site.pages.fits import FitGroup, fit_groups
from transposary.site.pages.sounding import sounding, sounding_as_played
from transposary.site.pages.tables import Table, table_of
from transposary.site.related import Reason, Relation
from transposary.site.text import readable
from transposary.site.worked import Worked
from transposary.theory.hands import HANDS, check_reach, check_speed
from transposary.theory.keys import pretty_key, slot_of

_FRAME_WORDS = {
    Frame.KEY: "this place in the key",
    Frame.MOTION: "this movement of the roots, anywhere",
    Frame.CHORD: "one chord of this kind, anywhere",
}
HURTS = "Stop when it hurts, and ask a teacher or a clinician about pain that stays."
EARS = "Keep the volume safe for your ears."
WIDE = "The stretch is wider than the hand span set for this glossary: roll it, or leave a note out."
FAST = "This is fast: begin at half the tempo, and speed up only while the hands stay loose."
QUOTED = (
    "This was heard in a recording or a score. Playing it is yours; quoting a recording or a published "
    "score may need its owner’s permission, by the law of the place."
)


@dataclass(frozen=True, slots=True)
class Fact:
    """A line of what is to be known about an entry."""

    name: str
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class Heard:
    """Where a device was heard."""

    title: Link
    where: str
    address: str


@dataclass(frozen=True, slots=True)
class Applied:
    """Where a device was played.

    Attributes:
        song: The song.
        bars: Where in it.
        key: The key in which the band played.
        chart_key: Says that the chart is in another key, or nothing.
        date: When.
        changed: What the author says was changed.
        own: The device itself in that key, where the notes as played are known and do not stand
            with it in one figure.
        figure: The notes as played.
        sounding: What sounds in them, for the scripts; empty where they are not known.
        kept: What these notes kept of the device.
        differs: What they changed.
    """

    song: Link
    bars: str
    key: Link | None
    date: str
    changed: str
    own: Figure | None
    figure: Figure | None
    sounding: str
    chart_key: str
    kept: tuple[str, ...]
    differs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Related:
    """A device that is like another one, and why: what is shared, and its name."""

    link: Link
    reasons: tuple[tuple[str, Link], ...]


@dataclass(frozen=True, slots=True)
class Tools:
    """What the controls of a device offer.

    Attributes:
        bars: The bars from and to which it can be played: index and name.
        hands: The hands that play: `RH` or `LH`, and words.
        single: Whether it is a line of single notes over chords: something can be put under it.
    """

    bars: tuple[tuple[int, str], ...]
    hands: tuple[tuple[str, str], ...]
    single: bool


@dataclass(frozen=True, slots=True)
class DeviceView:
    """What the page of a device shows."""

    slug: str
    summary: str
    draft: bool
    facts: tuple[Fact, ...]
    home: str
    keys: tuple[Figure, ...]
    sounding: Markup
    tools: Tools
    table: Table
    fingering: FingeringView
    explained: ExplainedView
    proved: tuple[str, ...]
    cautions: tuple[str, ...]
    heard: tuple[Heard, ...]
    applied: tuple[Applied, ...]
    fits: tuple[FitGroup, ...]
    related: tuple[Related, ...]
    collections: tuple[Link, ...]
    remarks: tuple[Remark, ...]


def device_page(edition: Edition, device: Device) -> Page:
    """Makes the page of a device; what has not changed since it was made last is not said again.

    All that it asks for has to be in its digest (`site/digests.py`), too.
    """
    said = remarks(edition, (device.place.file, device.notation_place.file))
    if edition.around is None:
        return _page(edition, device, said)
    slug = device.slug
    parts = (edition.around, edition.fitted[slug], edition.related[slug], said)
    return edition.worked[slug].while_same(parts, lambda: _page(edition, device, said))


def _page(edition: Edition, device: Device, said: tuple[Remark, ...]) -> Page:
    worked = edition.worked[device.slug]
    view = DeviceView(
        slug=device.slug,
        summary=device.summary,
        draft=device.draft,
        facts=_facts(edition, device),
        home=worked.home.slot,
        keys=worked.once(_keys),
        sounding=worked.once(sounding),
        tools=worked.once(_tools),
        table=worked.once(_table),
        fingering=worked.once(fingering_view),
        explained=explained(device.passage, worked.explanation, edition.terms),
        proved=worked.once(_proved),
        cautions=_cautions(edition, device),
        heard=tuple(_heard(edition, heard) for heard in device.heard_in),
        applied=tuple(_applied(edition, worked, applied) for applied in worked.device.applied_in),
        fits=fit_groups(edition, device),
        related=tuple(_related(edition, relation) for relation in edition.related[device.slug]),
        collections=_collections(edition, device.slug),
        remarks=said,
    )
    return bare_page(device, view)


def bare_page(device: Device, view: DeviceView | None) -> Page:
    """Makes the page of a device around what it shows, or around nothing."""
    source = source_of_entry(device)
    return Page(source, device.title, "device", view, device.summary, device.prose, draft=device.draft)


def _keys(worked: Worked) -> tuple[Figure, ...]:
    return tuple(figure_in_key(worked, key, key.slot) for key in worked.keys)


def _tools(worked: Worked) -> Tools:
    passage = worked.device.passage
    struck = notes(passage)
    onsets = [note.onset for note in struck if not note.grace]
    playing = {note.hand for note in struck}
    return Tools(
        bars=tuple((place, str(bar.number)) for place, bar in enumerate(passage.bars)),
        hands=tuple((hand.value, words) for hand, words in HANDS.items() if hand in playing),
        single=bool(passage.symbols) and len(set(onsets)) == len(onsets),
    )


def _table(worked: Worked) -> Table:
    return table_of(worked.device.passage)


def _proved(worked: Worked) -> tuple[str, ...]:
    return proved(worked.device)


def _facts(edition: Edition, device: Device) -> tuple[Fact, ...]:
    passage = device.passage
    concepts = tuple(edition.directory.ref(Kind.CONCEPT, ref) for ref in device.concepts)
    found = [
        Fact("Also called", _texts(*device.aliases)),
        Fact("Role", _texts(*device.roles)),
        Fact("Concepts", concepts),
        Fact("Genres", tuple(genre_link(genre) for genre in device.genres)),
        Fact("Level", _texts(f"{device.level} of 5") if device.level is not None else ()),
        Fact("Played by", _texts(" and ".join(HANDS[hand] for hand in passage.hands))),
        Fact("Learnt in", (Link(pretty_key(passage.key), f"#{slot_of(passage.key.tonic)}"),)),
        Fact("Meter", _texts(str(passage.meter))),
        Fact("Feel", _texts(feel_words(device.feel))),
        Fact("Tempo", _texts(f"{device.tempo} beats a minute") if device.tempo is not None else ()),
        Fact("Hangs on", _texts(_FRAME_WORDS[device.frame])),
        Fact("Fits over", _texts(*(readable(over.value) for over in device.over))),
        Fact("Stays between", _texts("–".join(map(str, device.compass))) if device.compass else ()),
        Fact("Added", _texts(device.added.isoformat()) if device.added else ()),
        Fact("Revised", _texts(device.revised.isoformat()) if device.revised else ()),
        Fact("Variant of", _variant(edition, device.variant_of)),
    ]
    return tuple(fact for fact in found if fact.links)


def _texts(*texts: str) -> tuple[Link, ...]:
    return tuple(Link(text) for text in texts)


def _variant(edition: Edition, ref: Ref | None) -> tuple[Link, ...]:
    return () if ref is None else (edition.directory.ref(Kind.DEVICE, ref),)


def _heard(edition: Edition, heard: HeardIn) -> Heard:
    title = Link(heard.title or "") if heard.song is None else edition.directory.ref(Kind.SONG, heard.song)
    return Heard(title, heard.where or "", heard.link or "")


def _applied(edition: Edition, worked: Worked, applied: AppliedIn) -> Applied:
    song = edition.directory.ref(Kind.SONG, applied.song)
    key = applied.key
    written = edition.glossary.song.get(applied.song.slug or "")
    played = worked.version(applied)
    differs = became(worked.device, applied, written)
    return Applied(
        song=song,
        bars=bars_words(applied.bars),
        key=Link(pretty_key(key), f"#{slot_of(key.tonic)}") if key is not None else None,
        date=applied.date.isoformat() if applied.date is not None else "",
        changed=applied.changed or "",
        own=None if played is None or played.together else figure_compared(worked, played),
        figure=None if played is None else figure_as_played(worked, played),
        sounding="" if played is None else sounding_as_played(worked.device, played, written),
        chart_key="" if written is None else other_key(applied, written),
        kept=() if differs is None else differs.kept,
        differs=() if differs is None else differs.changed,
    )


def _related(edition: Edition, relation: Relation) -> Related:
    link = Link(called(relation.device), source_of_entry(relation.device))
    return Related(link, tuple((reason.phrase, _reason(edition, reason)) for reason in relation.reasons))


def _reason(edition: Edition, reason: Reason) -> Link:
    return Link(reason.name) if reason.entry is None else edition.directory.entry(*reason.entry)


def _collections(edition: Edition, slug: str) -> tuple[Link, ...]:
    return tuple(
        Link(called(collection), source_of(Kind.COLLECTION, collection.slug))
        for collection in edition.glossary.collections
        if any(item.device is not None and item.device.slug == slug for item in collection.items)
    )


def _cautions(edition: Edition, device: Device) -> tuple[str, ...]:
    said = []
    keys = [key.placement for key in edition.worked[device.slug].keys]
    if check_reach(device, keys, edition.settings.hand_span) is not None:
        said.append(WIDE)
    if check_speed(device) is not None:
        said.append(FAST)
    if said:
        said += [HURTS, EARS]
    if any(heard.song is None or heard.link for heard in device.heard_in):
        said.append(QUOTED)
    return tuple(said)
