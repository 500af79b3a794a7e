"""Reads the folder of a glossary: every entry, the names they go by, and what they refer to."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from transposary.glossary import (
    Collection,
    Concept,
    Device,
    Entry,
    Glossary,
    Kind,
    kind_of,
    matching_name,
    slug_of,
)
from transposary.problems import Place, Problem, errors, in_order
from transposary.reading.devices import read_device
from transposary.reading.frontmatter import read_front_matter
from transposary.reading.names import Named, Resolver, index_names
from transposary.reading.pages import Page
from transposary.reading.schema import CollectionFields, ConceptFields, DeviceFields, EntryFields, SongFields
from transposary.reading.schema_check import fields_of
from transposary.reading.songs import read_collection, read_concept, read_song
from transposary.reading.source import LONGEST_FILE, split_entry, too_large
from transposary.reading.tree import Table
from transposary.song import Song

MOST_ENTRIES = 10_000
"""Entries that are read; a working player's glossary has some fifty."""

_REST = "this entry and those behind it are not read"
_NOTHING = Glossary()
_NEVER: Mapping[str, Read] = {}
_SLUG = re.compile(r"[a-z0-9-]+")
_ORDINARY = ("index.md", "readme.md")
_MARKDOWN = (".md", ".markdown", ".mdown", ".mkdn", ".mkd")


@dataclass(frozen=True, slots=True)
class BrokenEntry:
    """An entry that was left out of the glossary.

    Attributes:
        kind: What kind of entry it is.
        slug: The name of its file.
        title: Its title, or its slug where that cannot be read.
        path: Its file, as messages call it.
        entry: What could be read of it, good for checks and not for readers; or None.
    """

    kind: Kind
    slug: str
    title: str
    path: str
    entry: Entry | None = None


@dataclass(frozen=True, slots=True)
class Read:
    """One file, read by itself.

    Attributes:
        page: Where it stands, and its prose.
        names: What it goes by.
        entry: The entry, its references not yet resolved, or None where it cannot be read.
        problems: What is wrong with it.
        data: What the file held, where all of this follows from it; else None.
    """

    page: Page
    names: tuple[Named, ...]
    entry: Entry | None
    problems: tuple[Problem, ...]
    data: bytes | None = None

    @property
    def sound(self) -> bool:
        """Whether the entry can be published."""
        return self.entry is not None and not errors(self.problems)


@dataclass(frozen=True, slots=True)
class Reading:
    """What a folder holds.

    Attributes:
        glossary: The entries without errors.
        problems: What is wrong with the files and their references, in order.
        broken: The entries that were left out.
        read: The files by themselves, by name, for whoever reads the folder again.
    """

    glossary: Glossary
    problems: tuple[Problem, ...]
    broken: tuple[BrokenEntry, ...]
    read: Mapping[str, Read] = field(default_factory=dict, repr=False, compare=False)


def read_glossary(
    root: Path, *, source: str = "", beside: Glossary = _NOTHING, before: Mapping[str, Read] = _NEVER
) -> Reading:
    """Reads all entries of a folder. Nothing in them raises: what is wrong is returned.

    Args:
        root: The folder that holds `devices`, `songs`, `concepts` and `collections`.
        source: What messages call the folder where it is another glossary; else empty.
        beside: Imported entries, which references may name by their slugs.
        before: What an earlier reading has found: a file that holds the same is not read again.
    """
    pages, problems = _pages(root, source)
    read = [_read_page(page, before.get(page.file)) for page in pages]
    problems += [problem for one in read for problem in one.problems]
    names = {}
    for kind in Kind:
        # Every file name counts before any title does, and every title before any alias.
        mine = [name for one in read if one.page.kind is kind for name in one.names]
        mine.sort(key=lambda name: ("file name", "title", "alias").index(name.what))
        mine += [
            Named(entry.slug, "file name", entry.place, entry.slug)
            for entry in beside.entries()
            if kind_of(entry) is kind
        ]
        names[kind], clashes = index_names(mine)
        problems += clashes
    readable = {
        kind: frozenset(
            (
                *(one.page.slug for one in read if one.page.kind is kind and one.sound),
                *(entry.slug for entry in beside.entries() if kind_of(entry) is kind),
            )
        )
        for kind in Kind
    }
    terms = {
        matching_name(name): concept.slug
        for concept in reversed(beside.concepts)
        if concept.defined
        for name in (*concept.aliases, concept.title)
    }
    resolver = Resolver(names, readable, terms)
    resolved = [resolver.resolve(one.entry) if one.entry else None for one in read]
    problems += resolver.problems
    sound = [entry for one, entry in zip(read, resolved, strict=True) if entry and one.sound]
    broken = tuple(
        BrokenEntry(one.page.kind, one.page.slug, _title(one), one.page.file, entry)
        for one, entry in zip(read, resolved, strict=True)
        if not one.sound
    )
    glossary = Glossary(
        devices=tuple(entry for entry in sound if isinstance(entry, Device)),
        songs=tuple(entry for entry in sound if isinstance(entry, Song)),
        concepts=_by_slug([*(entry for entry in sound if isinstance(entry, Concept)), *resolver.undefined()]),
        collections=tuple(entry for entry in sound if isinstance(entry, Collection)),
    )
    return Reading(glossary, in_order(problems), broken, {one.page.file: one for one in read})


def _by_slug(concepts: Sequence[Concept]) -> tuple[Concept, ...]:
    return tuple(sorted(concepts, key=lambda concept: concept.slug))


def _title(read: Read) -> str:
    return next((name.name for name in read.names if name.what == "title"), read.page.slug)


def _pages(root: Path, source: str) -> tuple[list[Page], list[Problem]]:
    """Finds the files of entries, sorted by slug, and those that stand where none can be read."""
    pages: list[Page] = []
    problems: list[Problem] = []
    for kind in Kind:
        for path in sorted(_markdown_files(root / kind.value), key=lambda path: (path.stem, path)):
            name = path.relative_to(root).as_posix()
            if path.name.lower() in _ORDINARY:
                continue
            problem = _misplaced(path, name, kind)
            page = Page(root, name, kind, path.stem, source=source)
            if problem:
                problems.append(replace(problem, place=page.place))
            else:
                pages.append(page)
    if len(pages) > MOST_ENTRIES:
        text = f"expected at most {MOST_ENTRIES:,} entries, found {len(pages):,}"
        problems.append(Problem(pages[MOST_ENTRIES].place, "glossary.size", text, _REST))
    return pages[:MOST_ENTRIES], problems


def _markdown_files(folder: Path) -> Iterator[Path]:
    for path in folder.rglob("*"):
        hidden = any(part.startswith(".") for part in path.relative_to(folder).parts)
        if path.suffix.lower() in _MARKDOWN and not hidden and path.is_file():
            yield path


def _misplaced(path: Path, name: str, kind: Kind) -> Problem | None:
    if path.parent.name != kind.value or path.parent.parent != path.parents[name.count("/")]:
        text = f"a {kind.noun} stands directly in the folder {kind.value}, found it in {path.parent.name}"
        return Problem(Place(name), "entry.folder", text, f"move it to {kind.value}/{path.name}")
    if not _SLUG.fullmatch(path.stem) or path.suffix != ".md":
        text = f"a file name has only a to z, 0 to 9, `-` and the ending .md, found `{path.name}`"
        return Problem(Place(name), "entry.slug", text, f"rename it to {slug_of(path.stem) or kind.noun}.md")
    return None


def _read_page(page: Page, before: Read | None) -> Read:
    own_name = Named(page.slug, "file name", page.place, page.slug)
    path = page.root / page.path
    try:
        size = path.stat().st_size
        if size > LONGEST_FILE:
            return Read(page, (own_name,), None, (too_large(size, page.file),))
        if not path.resolve().is_relative_to(page.root.resolve()):
            text = "the file is a link that leads out of the folder of the glossary"
            hint = "put a copy of the file here in place of the link"
            return Read(page, (own_name,), None, (Problem(page.place, "entry.file", text, hint),))
        data = path.read_bytes()
        if before is not None and before.data == data and replace(before.page, prose="") == page:
            return before
    except OSError as error:
        text = f"the file cannot be read: {error.strerror}"
        return Read(page, (own_name,), None, (Problem(page.place, "entry.file", text),))
    return _read_data(page, data)


def read_entry(root: Path, path: str, data: bytes) -> tuple[Entry | None, tuple[Problem, ...]]:
    """Reads what a file of the glossary would hold, without its references.

    Args:
        root: The folder of the entries.
        path: The file, relative to it, such as `devices/one.md`.
        data: Its content.
    """
    kind, _, name = path.partition("/")
    read = _read_data(Page(root, path, Kind(kind), name.removesuffix(".md")), data)
    return read.entry, read.problems


def _read_data(page: Page, data: bytes) -> Read:
    own_name = Named(page.slug, "file name", page.place, page.slug)
    parts, problems = split_entry(data, page.file)
    if parts is None:
        return Read(page, (own_name,), None, problems)
    table, more = read_front_matter(parts)
    page = replace(page, prose=parts.prose)
    fields, entry, yet_more = _read_fields(table, page)
    names = (own_name, *_names(fields, page)) if fields else (own_name,)
    # What stands in a score besides may change by itself.
    alone = not isinstance(fields, DeviceFields | SongFields) or fields.score is None
    return Read(page, names, entry, (*problems, *more, *yet_more), data if alone else None)


def _read_fields(table: Table, page: Page) -> tuple[EntryFields | None, Entry | None, tuple[Problem, ...]]:
    """Reads the fields of an entry by its kind, the one place that pairs kinds with readers."""
    noun = page.kind.noun
    match page.kind:
        case Kind.DEVICE:
            device, problems = fields_of(table, DeviceFields, noun)
            entry, more = read_device(device, page) if device else (None, ())
            return device, entry, (*problems, *more)
        case Kind.SONG:
            song, problems = fields_of(table, SongFields, noun)
            played, more = read_song(song, page) if song else (None, ())
            return song, played, (*problems, *more)
        case Kind.CONCEPT:
            concept, problems = fields_of(table, ConceptFields, noun)
            term, more = read_concept(concept, page) if concept else (None, ())
            return concept, term, (*problems, *more)
        case Kind.COLLECTION:
            collection, problems = fields_of(table, CollectionFields, noun)
            listed, more = read_collection(collection, page) if collection else (None, ())
            return collection, listed, (*problems, *more)


def _names(fields: EntryFields, page: Page) -> Iterator[Named]:
    if fields.has("title"):
        yield Named(fields.title.value, "title", fields.title.start, page.slug)
    for alias in fields.aliases:
        yield Named(alias.value, "alias", alias.start, page.slug)
