"""Which devices belong together, and why.

Every relation states its reasons, so that a page can say them and link what they name.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import nsmallest

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
class _Shared:
    """What two devices share, before it is said."""

    said: tuple[str, ...]
    degrees: tuple[str, ...]
    harmony: tuple[str, ...]
    songs: frozenset[str]
    concepts: frozenset[str]

    @property
    def weight(self) -> int:
        return (
            _SAID * len(self.said)
            + (_DEGREES if self.degrees else 0)
            + (_HARMONY if self.harmony else 0)
            + _SONG * len(self.songs)
            + _CONCEPT * len(self.concepts)
        )

    def reasons(self, glossary: Glossary) -> Iterator[Reason]:
        for phrase in self.said:
            yield Reason(phrase, "", None, _SAID)
        if self.degrees:
            yield Reason("the degrees", pretty(" ".join(self.degrees)), None, _DEGREES)
        if self.harmony:
            yield Reason("the harmony", " ".join(self.harmony), None, _HARMONY)
        for slug in sorted(self.songs):
            yield Reason("the song", glossary.song[slug].title, (Kind.SONG, slug), _SONG)
        for slug in sorted(self.concepts):
            yield Reason("the concept", glossary.concept[slug].title, (Kind.CONCEPT, slug), _CONCEPT)


def relations(glossary: Glossary) -> Mapping[str, tuple[Relation, ...]]:
    """Finds for every device, by slug, the devices related to it.

    Those with more and weightier reasons come first, then by title; eight at most.
    """
    traits = [_traits(device) for device in glossary.devices]
    return {one.device.slug: _related(one, traits, glossary) for one in traits}


def _related(mine: _Traits, every: Sequence[_Traits], glossary: Glossary) -> tuple[Relation, ...]:
    # Every device meets every other: only what the nearest ones share is put into words.
    found = []
    for theirs in every:
        if theirs is not mine:
            shared = _shared(mine, theirs)
            if weight := shared.weight:
                found.append((-weight, theirs.device.title, theirs.device.slug, theirs.device, shared))
    nearest = nsmallest(_LONGEST, found, key=lambda one: one[:3])
    return tuple(Relation(device, tuple(shared.reasons(glossary))) for *_, device, shared in nearest)


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


def _shared(mine: _Traits, theirs: _Traits) -> _Shared:
    return _Shared(
        tuple(_said(mine, theirs)),
        _same_degrees(mine, theirs),
        _same_harmony(mine, theirs),
        mine.songs & theirs.songs,
        mine.concepts & theirs.concepts,
    )


def _said(mine: _Traits, theirs: _Traits) -> Iterator[str]:
    device, other = mine.device, theirs.device
    if device.variant_of is not None and device.variant_of.slug == other.slug:
        yield "this device is a variant of it"
    if other.variant_of is not None and other.variant_of.slug == device.slug:
        yield "a variant of this device"
    if other.slug in mine.beside or device.slug in theirs.beside:
        yield "worth seeing beside it"


def _same_degrees(mine: _Traits, theirs: _Traits) -> tuple[str, ...]:
    shared = {_within(one, other) for one in mine.lines for other in theirs.lines}
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
