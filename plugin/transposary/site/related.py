"""Which devices belong together, and why.

Every relation states its reasons, so that a page can say them and link what they name.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from transposary.glossary import Device, Glossary, Kind, Ref
from transposary.pitch import pretty
from transposary.theory.degrees import degree_text
from transposary.theory.harmony import harmony
from transposary.theory.numerals import pretty_numeral

# How much a reason counts. What the author says outweighs what we find; notes outweigh labels.
_SAID, _DEGREES, _HARMONY, _SONG, _CONCEPT = 16, 5, 4, 3, 2
_LONGEST = 8
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
class _Traits:
    concepts: frozenset[str]
    songs: frozenset[str]
    numerals: tuple[str, ...]
    lines: tuple[tuple[str, ...], ...]


def relations(glossary: Glossary) -> Mapping[str, tuple[Relation, ...]]:
    """Finds for every device, by slug, the devices related to it.

    Those with more and weightier reasons come first, then by title; eight at most.
    """
    traits = {device.slug: _traits(device) for device in glossary.devices}
    return {device.slug: _related(device, glossary, traits) for device in glossary.devices}


def _related(device: Device, glossary: Glossary, traits: Mapping[str, _Traits]) -> tuple[Relation, ...]:
    found = []
    for other in glossary.devices:
        if other.slug == device.slug:
            continue
        mine, theirs = traits[device.slug], traits[other.slug]
        reasons = (
            *_said(device, other),
            *_same_degrees(mine, theirs),
            *_same_harmony(mine, theirs),
            *_same_songs(mine, theirs, glossary),
            *_same_concepts(mine, theirs, glossary),
        )
        if reasons:
            found.append(Relation(other, reasons))
    found.sort(key=lambda one: (-sum(r.weight for r in one.reasons), one.device.title, one.device.slug))
    return tuple(found[:_LONGEST])


def _traits(device: Device) -> _Traits:
    songs = (
        *(heard.song for heard in device.heard_in if heard.song is not None),
        *(applied.song for applied in device.applied_in),
    )
    passage = device.passage
    numerals = [pretty_numeral(numeral) for _, numeral in harmony(passage) if numeral is not None]
    lines = (_TOKEN.findall(degree_text(passage, voice.name)) for voice in passage.voices)
    return _Traits(
        concepts=_slugs(device.concepts),
        songs=_slugs(songs),
        numerals=tuple(now for before, now in zip(["", *numerals], numerals, strict=False) if now != before),
        lines=tuple(tuple(t for t in line if t != "|" and not t.startswith("{")) for line in lines),
    )


def _slugs(refs: Sequence[Ref]) -> frozenset[str]:
    return frozenset(ref.slug for ref in refs if ref.slug is not None)


def _said(device: Device, other: Device) -> Iterator[Reason]:
    if device.variant_of is not None and device.variant_of.slug == other.slug:
        yield Reason("this device is a variant of it", "", None, _SAID)
    if other.variant_of is not None and other.variant_of.slug == device.slug:
        yield Reason("a variant of this device", "", None, _SAID)
    if other.slug in _slugs(device.see_also) or device.slug in _slugs(other.see_also):
        yield Reason("worth seeing beside it", "", None, _SAID)


def _same_degrees(mine: _Traits, theirs: _Traits) -> Iterator[Reason]:
    shared = {_within(one, other) for one in mine.lines for other in theirs.lines}
    longest = max(shared, key=lambda line: (len(line), line), default=())
    # Three degrees in a row, or two that alternate, are shared by chance too often to be a reason.
    if len(longest) >= 4 and len(set(longest)) >= 3:
        yield Reason("the degrees", pretty(" ".join(longest)), None, _DEGREES)


def _same_harmony(mine: _Traits, theirs: _Traits) -> Iterator[Reason]:
    shared = _within(mine.numerals, theirs.numerals)
    if len(shared) >= 2:
        yield Reason("the harmony", " ".join(shared), None, _HARMONY)


def _same_songs(mine: _Traits, theirs: _Traits, glossary: Glossary) -> Iterator[Reason]:
    for slug in sorted(mine.songs & theirs.songs):
        yield Reason("the song", glossary.song[slug].title, (Kind.SONG, slug), _SONG)


def _same_concepts(mine: _Traits, theirs: _Traits, glossary: Glossary) -> Iterator[Reason]:
    for slug in sorted(mine.concepts & theirs.concepts):
        yield Reason("the concept", glossary.concept[slug].title, (Kind.CONCEPT, slug), _CONCEPT)


def _within(one: tuple[str, ...], other: tuple[str, ...]) -> tuple[str, ...]:
    """Gives the shorter sequence if it runs unbroken through the longer one, else nothing."""
    short, long = sorted((one, other), key=len)
    starts = range(len(long) - len(short) + 1)
    return short if any(long[at : at + len(short)] == short for at in starts) else ()
