"""The page of a collection: one hand-out, engraved."""

from __future__ import annotations

from dataclasses import dataclass, replace

from transposary.glossary import Collection, CollectionItem, Kind, Purpose, Ref
from transposary.site.edition import Edition
from transposary.site.links import Link, source_of_entry
from transposary.site.page import Figure, Page, Remark
from transposary.site.pages.charts import SectionView, section_views
from transposary.site.pages.common import day_words, figure_in_key, remarks
from transposary.site.pages.moving import moving_view
from transposary.site.pages.practice import practice_data
from transposary.site.worked import Worked


@dataclass(frozen=True, slots=True)
class ItemView:
    """One line of a collection.

    Attributes:
        link: The device or song.
        text: What it is.
        note: What the teacher says about it.
        device: Slug of the device, empty for a song.
        keys: The engravings asked for.
        form: The form of a song, empty for a device.
        sections: The chart of a song.
        tonics: The tonics of a device in the order of the slots.
        moves: What a part adds to names in the keys of a chart (`MovingView.shifts`).
        key: The key of a song.
        tonic: Place of its tonic on the line of fifths.
        wanted: The tempo to reach and the day, where the teacher says so.
        practice: What a plan has to know about a device; empty where none is made.
    """

    link: Link
    text: str
    note: str
    device: str
    keys: tuple[Figure, ...]
    form: str
    sections: tuple[SectionView, ...]
    tonics: tuple[str, ...] = ()
    moves: tuple[tuple[int, ...], ...] = ()
    key: str = ""
    tonic: int = 0
    wanted: str = ""
    practice: str = ""


@dataclass(frozen=True, slots=True)
class CollectionView:
    """What the page of a collection shows."""

    draft: bool
    purpose: str
    aliases: tuple[str, ...]
    items: tuple[ItemView, ...]
    remarks: tuple[Remark, ...]

    @property
    def practised(self) -> bool:
        """Whether there is anything to make a plan of."""
        return any(item.practice for item in self.items)


def collection_page(edition: Edition, collection: Collection) -> Page:
    """Makes the page of a collection."""
    shown: set[tuple[str, str]] = set()
    view = CollectionView(
        draft=collection.draft,
        purpose=str(collection.purpose),
        aliases=collection.aliases,
        items=tuple(_item(edition, collection, item, shown) for item in collection.items),
        remarks=remarks(edition, (collection.place.file,)),
    )
    summary = f"A {collection.purpose}, ready to print."
    return Page(
        source_of_entry(collection),
        collection.title,
        "collection",
        view,
        summary,
        collection.prose,
        draft=collection.draft,
    )


def _item(
    edition: Edition, collection: Collection, item: CollectionItem, shown: set[tuple[str, str]]
) -> ItemView:
    if item.song is not None:
        return _song_item(edition, item, item.song)
    if item.device is not None:
        view = _device_item(edition, item, item.device, shown)
        worked = edition.worked.get(item.device.slug or "")
        return view if worked is None else _practised(view, worked, collection, item)
    raise ValueError(f"{item.place}: an item names a device or a song")


def _practised(view: ItemView, worked: Worked, collection: Collection, item: CollectionItem) -> ItemView:
    """Adds what the teacher wants, and in a lesson what a plan has to know."""
    due = item.due or collection.due
    wanted = (
        f"at {item.tempo} beats a minute" if item.tempo else "",
        f"by {day_words(due)}" if due else "",
    )
    keys = item.keys or (worked.home.slot,)
    lesson = collection.purpose is Purpose.LESSON
    return replace(
        view,
        wanted=" ".join(filter(None, wanted)),
        practice=practice_data(worked, keys, item.tempo, due) if lesson else "",
    )


def _song_item(edition: Edition, item: CollectionItem, ref: Ref) -> ItemView:
    link = edition.directory.ref(Kind.SONG, ref)
    song = edition.glossary.song.get(ref.slug or "")
    if song is None:
        return ItemView(link, "", item.note or "", "", (), "", ())
    moving = moving_view(song, edition.settings.tonics)
    return ItemView(
        link,
        str(song.meter),
        item.note or "",
        "",
        (),
        " ".join(song.form),
        section_views(song),
        moves=moving.shifts,
        key=moving.key,
        tonic=moving.tonic,
    )


def _device_item(edition: Edition, item: CollectionItem, ref: Ref, shown: set[tuple[str, str]]) -> ItemView:
    link = edition.directory.ref(Kind.DEVICE, ref)
    worked = edition.worked.get(ref.slug or "")
    if worked is None:
        return ItemView(link, "", item.note or "", "", (), "", ())
    slug = worked.device.slug
    # One engraving may stand on a page once only, since its ids must be unique.
    fresh = [slot for slot in dict.fromkeys(item.keys or (worked.home.slot,)) if (slug, slot) not in shown]
    shown.update((slug, slot) for slot in fresh)
    keys = tuple(figure_in_key(worked, worked.in_slot(slot), f"{slug}-{slot}") for slot in fresh)
    tonics = tuple(key.tonic for key in worked.keys)
    return ItemView(link, worked.device.summary, item.note or "", slug, keys, "", (), tonics)
