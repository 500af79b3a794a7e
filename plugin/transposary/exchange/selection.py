"""Which entries are handed on: those that were chosen, and what they cannot do without."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from transposary.glossary import Collection, Concept, Device, Entry, Glossary, Kind, Ref, kind_of, slug_of
from transposary.song import Song

Name = tuple[Kind, str]
"""Kind and slug of an entry."""


@dataclass(frozen=True, slots=True)
class Choice:
    """What somebody wants to hand on; nothing chosen means everything.

    Attributes:
        entries: Devices, songs, concepts and collections.
        genres: Genres.
    """

    entries: tuple[Entry, ...] = ()
    genres: tuple[str, ...] = ()


def select(glossary: Glossary, choice: Choice) -> tuple[Entry, ...]:
    """Selects entries, and whatever they need to be whole elsewhere.

    A concept brings the devices that show it, and those of its narrower concepts; a song the
    devices that are heard or played in it; a genre its devices and songs; a collection what it
    lists. A device needs its concepts with what is broader than they, its songs, and what it is
    a variant of. Other references become plain words where their entry is left behind.

    Args:
        glossary: The entries that may be handed on.
        choice: What is wanted of it.

    Returns:
        The entries in the order of the glossary.
    """
    entries = list(glossary.entries())
    if not choice.entries and not choice.genres:
        return tuple(entries)
    wanted: set[Name] = set()
    names = [*(_name(one) for one in choice.entries), *_of_genres(entries, choice.genres)]
    names += [name for one in choice.entries for name in _brought(one, glossary)]
    known = {_name(entry): entry for entry in entries}
    while names:
        name = names.pop()
        if name in known and name not in wanted:
            wanted.add(name)
            names += _needs(known[name])
    return tuple(entry for entry in entries if _name(entry) in wanted)


def _name(entry: Entry) -> Name:
    return kind_of(entry), entry.slug


def _of_genres(entries: Iterable[Entry], genres: Iterable[str]) -> Iterator[Name]:
    wanted = set(map(slug_of, genres))
    for entry in entries:
        if isinstance(entry, Device | Song) and wanted & set(map(slug_of, entry.genres)):
            yield _name(entry)


def _brought(entry: Entry, glossary: Glossary) -> Iterator[Name]:
    match entry:
        case Concept():
            narrow = _narrower(entry.slug, glossary)
            for device in glossary.devices:
                if narrow & {ref.slug for ref in device.concepts}:
                    yield _name(device)
        case Song():
            for device in glossary.devices:
                if entry.slug in {ref.slug for ref in _songs(device)}:
                    yield _name(device)


def _narrower(slug: str, glossary: Glossary) -> set[str]:
    found = {slug}
    for _ in glossary.concepts:
        found |= {one.slug for one in glossary.concepts if one.broader and one.broader.slug in found}
    return found


def _songs(device: Device) -> Iterator[Ref]:
    yield from (heard.song for heard in device.heard_in if heard.song)
    yield from (applied.song for applied in device.applied_in)


def _needs(entry: Entry) -> Iterator[Name]:
    for kind, ref in _needed(entry):
        if ref is not None and ref.slug is not None:
            yield kind, ref.slug


def _needed(entry: Entry) -> Iterator[tuple[Kind, Ref | None]]:
    match entry:
        case Device():
            yield from ((Kind.CONCEPT, ref) for ref in entry.concepts)
            yield from ((Kind.SONG, ref) for ref in _songs(entry))
            yield Kind.DEVICE, entry.variant_of
        case Concept():
            yield Kind.CONCEPT, entry.broader
        case Collection():
            for item in entry.items:
                yield Kind.DEVICE, item.device
                yield Kind.SONG, item.song
