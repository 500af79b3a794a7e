"""The index pages: devices, concepts, genres, songs, collections, and the home page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeVar

from transposary.glossary import Collection, Concept, Device, Kind, Purpose, slug_of, source_name
from transposary.site.edition import Edition
from transposary.site.feed import FEED
from transposary.site.links import FIND, GENRES, HOME, KEYS, UNUSED, Link, index_of, source_of_entry
from transposary.site.page import Page, Remark
from transposary.site.pages.common import remark_in_full
from transposary.song import Song
from transposary.theory.hands import HANDS
from transposary.theory.keys import pretty_key

_UNUSED = Link("What is not yet used", UNUSED)
_E = TypeVar("_E", Device, Song, Concept, Collection)


@dataclass(frozen=True, slots=True)
class Item:
    """An entry in a list.

    Attributes:
        link: Its page.
        text: One sentence about it.
        tags: What else a reader looks for.
        data: By name: the values that a filter compares, parted by spaces.
        draft: Whether only its author may see it.
    """

    link: Link
    text: str = ""
    tags: tuple[Link, ...] = ()
    data: tuple[tuple[str, str], ...] = ()
    draft: bool = False

    @property
    def origin(self) -> str:
        """Name of the glossary from which the entry is imported, or nothing."""
        kind, _, rest = (self.link.target or "").partition("/")
        return source_name(rest) if kind in tuple(Kind) else ""


@dataclass(frozen=True, slots=True)
class Choice:
    """What a filter offers: a name, and values with their words."""

    name: str
    label: str
    values: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class ListView:
    """A list of entries, with a filter where it is long, and a page to go on to."""

    items: tuple[Item, ...]
    choices: tuple[Choice, ...] = ()
    onward: Link | None = None
    news: Link | None = None


@dataclass(frozen=True, slots=True)
class Group:
    """A part of a list with a heading."""

    title: str
    anchor: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class GroupsView:
    """A list of entries in groups."""

    groups: tuple[Group, ...]


@dataclass(frozen=True, slots=True)
class HomeView:
    """What the home page shows."""

    doors: tuple[Item, ...]
    problems: tuple[Remark, ...]


def device_item(edition: Edition, device: Device) -> Item:
    """Shows a device in a list."""
    concepts = [ref for ref in device.concepts if ref.slug is not None]
    tags = [Link(role) for role in device.roles]
    tags += [edition.directory.ref(Kind.CONCEPT, ref) for ref in concepts]
    tags += [Link(f"level {device.level}")] if device.level is not None else []
    data = {
        "role": " ".join(device.roles),
        "concept": " ".join(ref.slug or "" for ref in concepts),
        "genre": " ".join(map(slug_of, device.genres)),
        "level": str(device.level or ""),
        "hand": " ".join(device.passage.hands),
    }
    link = Link(device.title, source_of_entry(device))
    return Item(link, device.summary, tuple(tags), tuple(data.items()), device.draft)


def song_item(song: Song) -> Item:
    """Shows a song in a list."""
    tags = (Link(pretty_key(song.key)), Link(str(song.meter)), *(Link(genre) for genre in song.genres))
    return Item(Link(song.title, source_of_entry(song)), "", tags, (), song.draft)


def collection_item(collection: Collection) -> Item:
    """Shows a collection in a list."""
    count = len(collection.items)
    noun = "item" if count == 1 else "items"
    link = Link(collection.title, source_of_entry(collection))
    return Item(link, "", (Link(f"{count} {noun}"),), (), collection.draft)


def devices_index(edition: Edition) -> Page:
    """Makes the index of all devices, with what a filter needs."""
    items = tuple(device_item(edition, device) for device in by_title(edition.glossary.devices))
    concepts = {ref.slug or "" for device in edition.glossary.devices for ref in device.concepts}
    genres = {genre for device in edition.glossary.devices for genre in device.genres}
    choices = (
        _choice("role", "Role", _used(items, "role")),
        _choice("concept", "Concept", _titled(edition, concepts)),
        _choice("genre", "Genre", {slug_of(genre): genre for genre in genres}),
        _choice("level", "Level", _used(items, "level")),
        _choice("hand", "Hand", {hand: HANDS[hand] for hand in HANDS}),
    )
    summary = "Every device of the glossary."
    # In the head of the pages it would make the theme look for other languages of the site.
    dated = any(one.added and not source_name(one.slug) for one in edition.glossary.devices)
    news = Link("New and changed devices, as a feed", FEED) if dated else None
    view = ListView(items, tuple(choice for choice in choices if choice.values), _UNUSED, news)
    return Page(index_of(Kind.DEVICE), "Devices", "devices", view, summary, listed=True)


def _choice(name: str, label: str, values: dict[str, str]) -> Choice:
    return Choice(name, label, tuple(sorted(values.items(), key=lambda pair: pair[1].casefold())))


def _used(items: Iterable[Item], name: str) -> dict[str, str]:
    return {value: value for item in items for value in dict(item.data)[name].split()}


def _titled(edition: Edition, concepts: Iterable[str]) -> dict[str, str]:
    return {slug: edition.directory.entry(Kind.CONCEPT, slug).text for slug in concepts if slug}


def concepts_index(edition: Edition) -> Page:
    """Makes the index of concepts, each with the number of devices that use it."""
    used = [ref.slug for device in edition.glossary.devices for ref in device.concepts]
    items = tuple(
        Item(
            Link(concept.title, source_of_entry(concept)),
            "" if concept.defined else "Not defined yet.",
            (Link(count_words(used.count(concept.slug), "device")),) if concept.slug in used else (),
            (),
            concept.draft,
        )
        for concept in by_title(edition.glossary.concepts)
    )
    summary = "The terms of the trade used here."
    return Page(index_of(Kind.CONCEPT), "Concepts", "terms", ListView(items), summary, listed=True)


def songs_index(edition: Edition) -> Page:
    """Makes the index of songs."""
    items = tuple(song_item(song) for song in by_title(edition.glossary.songs))
    summary = "The repertoire."
    return Page(index_of(Kind.SONG), "Songs", "list", ListView(items, (), _UNUSED), summary, listed=True)


def collections_index(edition: Edition) -> Page:
    """Makes the index of lessons and sets."""
    groups = tuple(
        Group(title, purpose, tuple(collection_item(one) for one in by_title(found)))
        for purpose, title in ((Purpose.LESSON, "Lessons"), (Purpose.SET, "Sets"))
        if (found := [one for one in edition.glossary.collections if one.purpose is purpose])
    )
    summary = "Lessons, and sets to play."
    return Page(
        index_of(Kind.COLLECTION), "Lessons and sets", "groups", GroupsView(groups), summary, listed=True
    )


def genres_page(edition: Edition) -> Page:
    """Makes the page of genres: for each its devices and its songs."""
    devices, songs = edition.glossary.devices, edition.glossary.songs
    genres = _genres(edition)
    groups = tuple(
        Group(
            genre,
            anchor,
            (
                *(device_item(edition, d) for d in by_title(devices) if anchor in map(slug_of, d.genres)),
                *(song_item(song) for song in by_title(songs) if anchor in map(slug_of, song.genres)),
            ),
        )
        for anchor, genre in sorted(genres.items())
    )
    return Page(GENRES, "Genres", "groups", GroupsView(groups), "Devices and songs by genre.", listed=True)


def _genres(edition: Edition) -> dict[str, str]:
    devices = [genre for device in edition.glossary.devices for genre in device.genres]
    songs = [genre for song in edition.glossary.songs for genre in song.genres]
    return {slug_of(genre): genre for genre in (*songs, *devices)}


def home_page(edition: Edition) -> Page:
    """Makes the home page: the doors to everything, and for the author all problems."""
    shelf = edition.glossary
    doors = (
        Item(Link("Devices", index_of(Kind.DEVICE)), count_words(len(shelf.devices), "device")),
        Item(Link("Find", FIND), "a device by its degrees, notes, chords or rhythm"),
        Item(Link("Keys", KEYS), "every device in each of the twelve keys"),
        Item(Link("Songs", index_of(Kind.SONG)), count_words(len(shelf.songs), "song")),
        Item(Link("Concepts", index_of(Kind.CONCEPT)), count_words(len(shelf.concepts), "concept")),
        Item(Link("Genres", GENRES), count_words(len(_genres(edition)), "genre")),
        Item(
            Link("Lessons and sets", index_of(Kind.COLLECTION)),
            count_words(len(shelf.collections), "collection"),
        ),
    )
    problems = tuple(map(remark_in_full, edition.problems)) if edition.preview else ()
    return Page(HOME, "Home", "home", HomeView(doors, problems), listed=True)


def by_title(entries: Iterable[_E]) -> list[_E]:
    """Sorts entries as a reader looks for them."""
    return sorted(entries, key=lambda entry: (entry.title.casefold(), entry.slug))


def count_words(number: int, noun: str) -> str:
    """Counts things for readers: `1 song`, `2 songs`."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
