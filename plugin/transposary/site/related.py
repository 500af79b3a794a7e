"""Which devices belong together, and why.

Every relation states its reasons, so that a page can say them and link what they name.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import nsmallest
from itertools import combinations
from typing import TypeAlias

from transposary.glossary import Device, Glossary, Kind, Ref
from transposary.notes import remembered
from transposary.passage import Passage
from transposary.pitch import pretty
from transposary.theory.degrees import degree_text
from transposary.theory.harmony import harmony
from transposary.theory.numerals import pretty_numeral

# How much a reason counts. What the author says outweighs what we find; notes outweigh labels.
_SAID, _DEGREES, _HARMONY, _SONG, _CONCEPT = 16, 5, 4, 3, 2
_LONGEST = 8
_FEWEST_DEGREES, _FEWEST_DIFFERENT, _FEWEST_NUMERALS = 4, 3, 2
_TOKEN = re.compile(r"\([^)]*\)|\S+")


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing that two devices share.

    Attributes:
        phrase: What kind of thing, in words: `the concept`, `the harmony`.
        name: Which one, for readers; empty where the phrase says all.
        entry: The entry that `name` names, or None.
        weight: How much it counts.
    """

    phrase: str
    name: str
    entry: tuple[Kind, str] | None
    weight: int

    def __str__(self) -> str:
        return f"{self.phrase} {self.name}".rstrip()


@dataclass(frozen=True, slots=True)
class Relation:
    """A related device, with all the reasons, the weightiest first."""

    device: Device
    reasons: tuple[Reason, ...]

    @property
    def why(self) -> str:
        """The reasons in one line."""
        return "; ".join(str(reason) for reason in self.reasons)


@dataclass(frozen=True, slots=True)
class _Line:
    """Words in a row, and the same as a text in which another row is found as fast as may be."""

    words: tuple[str, ...]
    text: str

    @classmethod
    def of(cls, words: Iterable[str]) -> _Line:
        row = tuple(words)
        return cls(row, "".join(f"\n{word}" for word in row) + "\n")


@dataclass(frozen=True, slots=True)
class _Traits:
    device: Device
    beside: frozenset[str]
    concepts: frozenset[str]
    songs: frozenset[str]
    numerals: _Line
    lines: tuple[_Line, ...]


@dataclass(frozen=True, slots=True)
class _Music:
    """The degrees and the numerals that two devices share."""

    degrees: tuple[str, ...]
    harmony: tuple[str, ...]

    @property
    def weight(self) -> int:
        return (_DEGREES if self.degrees else 0) + (_HARMONY if self.harmony else 0)


_Found: TypeAlias = tuple[int, str, str, _Traits, _Music | None]
"""A device beside another one: its weight, negative, its title and slug, itself, and the music shared."""


def relations(glossary: Glossary) -> Mapping[str, tuple[Relation, ...]]:
    """Finds for every device, by slug, the devices related to it.

    Those with more and weightier reasons come first, then by title; eight at most.
    """
    traits = [_traits(device) for device in glossary.devices]
    found: dict[str, list[_Found]] = {one.device.slug: [] for one in traits}
    # Every device meets every other, once: only what the nearest ones share is put into words.
    for mine, theirs in combinations(traits, 2):
        music = _music(mine, theirs)
        for one, other in ((mine, theirs), (theirs, mine)):
            if weight := _weight(one, other) + (0 if music is None else music.weight):
                device = other.device
                found[one.device.slug].append((-weight, device.title, device.slug, other, music))
    return {one.device.slug: _nearest(one, found[one.device.slug], glossary) for one in traits}


def _nearest(mine: _Traits, found: Sequence[_Found], glossary: Glossary) -> tuple[Relation, ...]:
    nearest = nsmallest(_LONGEST, found, key=lambda one: one[:3])
    return tuple(
        Relation(theirs.device, tuple(_reasons(mine, theirs, music, glossary)))
        for *_, theirs, music in nearest
    )


def _traits(device: Device) -> _Traits:
    songs = (
        *(heard.song for heard in device.heard_in if heard.song is not None),
        *(applied.song for applied in device.applied_in),
    )
    numerals, lines = _counted(device.passage)
    return _Traits(device, _slugs(device.see_also), _slugs(device.concepts), _slugs(songs), numerals, lines)


@remembered
def _counted(passage: Passage) -> tuple[_Line, tuple[_Line, ...]]:
    """Gives the numerals of a passage, and the degrees of those of its voices that are long enough."""
    numerals = [pretty_numeral(numeral) for _, numeral in harmony(passage) if numeral is not None]
    lines = (_TOKEN.findall(degree_text(passage, voice.name)) for voice in passage.voices)
    lines = ([one for one in line if one != "|" and not one.startswith("{")] for line in lines)
    return (
        _Line.of(now for before, now in zip(["", *numerals], numerals, strict=False) if now != before),
        tuple(_Line.of(line) for line in lines if len(line) >= _FEWEST_DEGREES),
    )


def _slugs(refs: Sequence[Ref]) -> frozenset[str]:
    return frozenset(ref.slug for ref in refs if ref.slug is not None)


def _music(mine: _Traits, theirs: _Traits) -> _Music | None:
    degrees, numerals = _same_degrees(mine, theirs), _same_harmony(mine, theirs)
    return _Music(degrees, numerals) if degrees or numerals else None


def _weight(mine: _Traits, theirs: _Traits) -> int:
    """Weighs all that they share but music."""
    return (
        _SAID * sum(1 for _ in _said(mine, theirs))
        + _SONG * len(mine.songs & theirs.songs)
        + _CONCEPT * len(mine.concepts & theirs.concepts)
    )


def _reasons(mine: _Traits, theirs: _Traits, music: _Music | None, glossary: Glossary) -> Iterator[Reason]:
    for phrase in _said(mine, theirs):
        yield Reason(phrase, "", None, _SAID)
    if music is not None and music.degrees:
        yield Reason("the degrees", pretty(" ".join(music.degrees)), None, _DEGREES)
    if music is not None and music.harmony:
        yield Reason("the harmony", " ".join(music.harmony), None, _HARMONY)
    for slug in sorted(mine.songs & theirs.songs):
        yield Reason("the song", glossary.song[slug].title, (Kind.SONG, slug), _SONG)
    for slug in sorted(mine.concepts & theirs.concepts):
        yield Reason("the concept", glossary.concept[slug].title, (Kind.CONCEPT, slug), _CONCEPT)


def _said(mine: _Traits, theirs: _Traits) -> Iterator[str]:
    device, other = mine.device, theirs.device
    if device.variant_of is not None and device.variant_of.slug == other.slug:
        yield "this device is a variant of it"
    if other.variant_of is not None and other.variant_of.slug == device.slug:
        yield "a variant of this device"
    if other.slug in mine.beside or device.slug in theirs.beside:
        yield "worth seeing beside it"


def _same_degrees(mine: _Traits, theirs: _Traits) -> tuple[str, ...]:
    shared = [line for one in mine.lines for other in theirs.lines if (line := _within(one, other))]
    longest = max(shared, key=lambda line: (len(line), line), default=())
    # Three degrees in a row, or two that alternate, are shared by chance too often to be a reason.
    return longest if len(set(longest)) >= _FEWEST_DIFFERENT else ()


def _same_harmony(mine: _Traits, theirs: _Traits) -> tuple[str, ...]:
    shared = _within(mine.numerals, theirs.numerals)
    return shared if len(shared) >= _FEWEST_NUMERALS else ()


def _within(one: _Line, other: _Line) -> tuple[str, ...]:
    """Gives the shorter row if it runs unbroken through the longer one, else nothing."""
    short, long = (one, other) if len(one.words) <= len(other.words) else (other, one)
    return short.words if short.text in long.text else ()
