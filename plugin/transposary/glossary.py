"""The domain model: a glossary of devices, songs, concepts and collections.

Frozen values only; nothing here reads a file or computes music.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum
from functools import cached_property
from itertools import zip_longest

from transposary.passage import STRAIGHT, Feel, Key, Passage
from transposary.pitch import Pitch
from transposary.problems import Place, SourceText
from transposary.song import Song


class Kind(StrEnum):
    """The kinds of entries; the value is the folder they live in."""

    DEVICE = "devices"
    SONG = "songs"
    CONCEPT = "concepts"
    COLLECTION = "collections"

    @property
    def noun(self) -> str:
        """The singular, for messages."""
        return self.value.removesuffix("s")


class Role(StrEnum):
    """What a device does in the music."""

    BASS = "bass"
    COMPING = "comping"
    VOICING = "voicing"
    MELODY = "melody"
    FILL = "fill"
    INTRO = "intro"
    ENDING = "ending"
    TURNAROUND = "turnaround"


class Frame(StrEnum):
    """What a device hangs on when it travels."""

    KEY = "key"
    MOTION = "motion"
    CHORD = "chord"


def matching_name(text: str) -> str:
    """Folds a name for matching: case, accents, spaces and hyphens do not count."""
    flat = unicodedata.normalize("NFKD", text.casefold())
    return re.sub(r"[\s_-]+", "", "".join(c for c in flat if not unicodedata.combining(c)))


def slug_of(text: str) -> str:
    """Makes a slug, `[a-z0-9-]+`, from a title; empty where nothing of it is left."""
    flat = unicodedata.normalize("NFKD", text.casefold().replace("♭", "b").replace("♯", "-sharp"))
    plain = "".join(c for c in flat if not unicodedata.combining(c))
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")


@dataclass(frozen=True, slots=True)
class Ref:
    """A mention of another entry.

    Attributes:
        name: As the author wrote it.
        place: Where.
        slug: The entry's slug once found, else None.
    """

    name: str
    place: Place
    slug: str | None = None


@dataclass(frozen=True, slots=True)
class Claim:
    """One statement of the author about the notes.

    Attributes:
        name: Name of the claim: `degrees`, `harmony`, `shapes`…
        scope: Voice or hand that it is about (`RH`, `LH`, `RH2`, `LH2`), or None for the
            claim's own default.
        texts: The author's words; more than one where the claim is a list (`shapes`).
        place: Where the claim's key stands.
    """

    name: str
    scope: str | None
    texts: tuple[SourceText, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class ScaleClaim:
    """The statement that the notes come from a scale.

    Attributes:
        name: `dorian`, `blues`…
        root: Degree of the key on which the scale stands, or None for the tonic.
        bars: Bars it covers as `1-2`, or None for all.
        outside: Degrees that are no part of it, as the author lists them, or None.
        scope: Voice or hand, or None for all.
        place: Where the claim stands.
    """

    name: SourceText
    root: SourceText | None
    bars: SourceText | None
    outside: SourceText | None
    scope: str | None
    place: Place


@dataclass(frozen=True, slots=True)
class BarRange:
    """Bars of a song.

    Attributes:
        first: First bar.
        last: Last bar, the same or later.
        section: Name of the section they are counted in, or None: counted through the form.
        place: Where the author wrote them.
    """

    first: int
    last: int
    section: str | None = None
    place: Place = field(default=Place(""), compare=False)

    def __str__(self) -> str:
        bars = str(self.first) if self.first == self.last else f"{self.first}–{self.last}"
        return bars if self.section is None else f"{self.section} {bars}"


@dataclass(frozen=True, slots=True)
class HeardIn:
    """Where the author met the device: a song of the glossary or a free title."""

    song: Ref | None
    title: str | None
    where: str | None
    link: str | None
    place: Place


@dataclass(frozen=True, slots=True)
class AppliedIn:
    """A place where the device was played, and what changed there."""

    song: Ref
    bars: BarRange
    key: Key | None
    date: date | None
    changed: str | None
    notation: Passage | None
    place: Place


@dataclass(frozen=True, slots=True)
class Device:
    """A musical device, in the key in which its author learnt it.

    Attributes:
        slug: Name of its file, unique among devices.
        notation_place: Where the notation (or `score:`) stands.
        compass: The lowest and highest pitch that no key may leave (`range:`), or None.
        line: The line that a single-line instrument reads: `top`, `bottom` or a voice; or None.
        over: What a chart says where it can be played; empty for its own harmony.
        added: The day on which it came into the glossary, for the feed; or None.
        revised: The day on which it was last changed so that readers should know; or None.
        accept: Last parts of the rules whose remarks the author has accepted.
        prose: The Markdown below the front matter.
        place: Where the entry begins.
    """

    slug: str
    title: str
    summary: str
    roles: tuple[Role, ...]
    passage: Passage
    place: Place
    notation_place: Place
    aliases: tuple[str, ...] = ()
    concepts: tuple[Ref, ...] = ()
    genres: tuple[str, ...] = ()
    level: int | None = None
    line: str | None = None
    compass: tuple[Pitch, Pitch] | None = None
    feel: Feel = STRAIGHT
    tempo: int | None = None
    frame: Frame = Frame.KEY
    over: tuple[SourceText, ...] = ()
    claims: tuple[Claim, ...] = ()
    scales: tuple[ScaleClaim, ...] = ()
    heard_in: tuple[HeardIn, ...] = ()
    applied_in: tuple[AppliedIn, ...] = ()
    variant_of: Ref | None = None
    see_also: tuple[Ref, ...] = ()
    added: date | None = None
    revised: date | None = None
    accept: tuple[str, ...] = ()
    draft: bool = False
    prose: str = ""


@dataclass(frozen=True, slots=True)
class Concept:
    """A term of the trade.

    Attributes:
        defined: False where a device names it and nobody wrote it.
    """

    slug: str
    title: str
    place: Place
    aliases: tuple[str, ...] = ()
    broader: Ref | None = None
    defined: bool = True
    draft: bool = False
    prose: str = ""


@dataclass(frozen=True, slots=True)
class CollectionItem:
    """One line of a collection: a device in certain keys, or a song.

    Attributes:
        device: The device, or None.
        song: The song, or None.
        keys: Tonics asked for, as slots; empty for the home key.
        note: What the teacher says about it, or None.
        tempo: The tempo to reach, in beats a minute, or None for that of the device.
        due: The day by which it is wanted, or None.
    """

    device: Ref | None
    song: Ref | None
    keys: tuple[str, ...]
    note: str | None
    place: Place
    tempo: int | None = None
    due: date | None = None


class Purpose(StrEnum):
    """What a collection is for."""

    LESSON = "lesson"
    SET = "set"


@dataclass(frozen=True, slots=True)
class Collection:
    """An ordered list for a lesson or a set.

    Attributes:
        due: The day by which its devices are wanted, where an item does not say its own; or None.
    """

    slug: str
    title: str
    purpose: Purpose
    items: tuple[CollectionItem, ...]
    place: Place
    aliases: tuple[str, ...] = ()
    due: date | None = None
    draft: bool = False
    prose: str = ""


Entry = Device | Song | Concept | Collection


def kind_of(entry: Entry) -> Kind:
    """Gives the kind of an entry."""
    match entry:
        case Device():
            return Kind.DEVICE
        case Song():
            return Kind.SONG
        case Concept():
            return Kind.CONCEPT
        case Collection():
            return Kind.COLLECTION


def source_name(slug: str) -> str:
    """Gives the name of the source of an imported entry (`horns` of `horns/walk-up`), else nothing."""
    return slug.partition("/")[0] if "/" in slug else ""


@dataclass(frozen=True, slots=True)
class Source:
    """A glossary from which entries were imported, and who is to be credited for them.

    Attributes:
        name: What this glossary calls it; the first part of the slugs of its entries.
        title: What it calls itself.
        author: Whose it is, or empty.
        address: Where it is published, `http` or `https`, or empty.
    """

    name: str
    title: str
    author: str = ""
    address: str = ""


@dataclass(frozen=True)
class Glossary:
    """All entries, each kind sorted by slug, with every reference resolved that can be.

    Entries of other glossaries stand among its own, under slugs of two parts: `horns/walk-up`.

    Attributes:
        sources: The glossaries from which entries were imported.
    """

    devices: tuple[Device, ...] = ()
    songs: tuple[Song, ...] = ()
    concepts: tuple[Concept, ...] = ()
    collections: tuple[Collection, ...] = ()
    sources: tuple[Source, ...] = ()

    def entries(self) -> Iterator[Entry]:
        """Walks through all entries, kind by kind."""
        yield from self.devices
        yield from self.songs
        yield from self.concepts
        yield from self.collections

    def only(self, kept: Callable[[Entry], bool]) -> Glossary:
        """Keeps some of the entries."""
        return replace(
            self,
            devices=tuple(filter(kept, self.devices)),
            songs=tuple(filter(kept, self.songs)),
            concepts=tuple(filter(kept, self.concepts)),
            collections=tuple(filter(kept, self.collections)),
        )

    def says_the_same(self, other: Glossary) -> bool:
        """Tells whether another one has the same entries, whatever their prose."""
        pairs = list(zip_longest(self.entries(), other.entries()))
        return all(
            one is two or (one and two and replace(one, prose="") == replace(two, prose=""))
            for one, two in pairs
        )

    @cached_property
    def device(self) -> Mapping[str, Device]:
        """The devices by slug."""
        return {entry.slug: entry for entry in self.devices}

    @cached_property
    def song(self) -> Mapping[str, Song]:
        """The songs by slug."""
        return {entry.slug: entry for entry in self.songs}

    @cached_property
    def concept(self) -> Mapping[str, Concept]:
        """The concepts by slug."""
        return {entry.slug: entry for entry in self.concepts}

    @cached_property
    def collection(self) -> Mapping[str, Collection]:
        """The collections by slug."""
        return {entry.slug: entry for entry in self.collections}
