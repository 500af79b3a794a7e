"""Engravings as they are kept: the figures of a device in one file.

A cache may have come with a glossary from a stranger, so what is read from it is held against
what `svg` writes: its elements, its attributes, and links to glyphs only.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from transposary.cache import code_of, key_of
from transposary.engraving.figures import Engraving, Job
from transposary.engraving.works import Result

_MOST = 50_000_000
"""Bytes that the figures of a device may take."""

_LENGTH = 4
"""Bytes that hold the length of a part of a pack."""

# Where the notes came from changes nothing in their drawing.
_PLACE = re.compile(r"place=Place\([^()]*\)")
_TAG = re.compile(r"<([^\s>]*)")
_OUR_TAG = re.compile("/?(?:svg|g|use|path|ellipse|polygon|polyline|rect|text)")
_ATTRIBUTE = re.compile(r'([^\s"<>]*)=')
_OUR_ATTRIBUTE = re.compile(
    "role|viewBox|width|height|fill|fill-opacity|stroke|stroke-width|stroke-linecap|stroke-linejoin"
    "|stroke-dasharray|font-family|font-size|font-style|font-weight|text-anchor|transform|points|d"
    "|x|y|cx|cy|rx|ry|href|data-above|data-bar|data-note|data-symbol"
)
_GLYPH = re.compile(
    r'<path id="(glyph-[0-9A-F]+)" transform="scale\(-?[\d.]+ -?[\d.]+\)" d="[MmLlHhVvCcSsQqTtZz\d ,.eE-]*"/>'
)


def key_of_jobs(jobs: Sequence[Job]) -> str:
    """Makes the key of figures that are like the same passage."""
    code = code_of("engraving", "passage.py", "pitch.py", "notes.py", libraries=("verovio",))
    alone = [replace(job, like=None) for job in jobs]
    return key_of("engravings", code, without_places((jobs[0].like, alone)))


def without_places(value: object) -> str:
    """Writes a value out, but for where its author wrote it."""
    return _PLACE.sub("", repr(value))


@dataclass(frozen=True, slots=True)
class Figures:
    """The work of engraving figures that are kept together; see `works.Work`.

    Attributes:
        wanted: Those that share their systems, or one alone.
    """

    wanted: tuple[Job, ...]

    @classmethod
    def of(cls, jobs: Sequence[Job]) -> list[Figures]:
        """Parts figures into those that share their systems."""
        alike: dict[int, list[Job]] = {}
        for job in jobs:
            alike.setdefault(id(job.like[0] if job.like else job), []).append(job)
        return [cls(tuple(together)) for together in alike.values()]

    @property
    def slug(self) -> str:
        """The device."""
        return self.wanted[0].slug

    def key(self) -> str:
        """Makes the key from all that the figures depend on."""
        return key_of_jobs(self.wanted)

    def ready(self) -> Figures:
        """Gives it as it is."""
        return self

    def jobs(self) -> Sequence[Job]:
        """Lists the figures."""
        return self.wanted

    def packed(self, results: Sequence[Result]) -> bytes:
        """Packs the figures."""
        return packed(as_json([one for one in results if isinstance(one, Engraving)]))

    def signs(self, data: bytes) -> tuple[tuple[str, str], ...]:  # noqa: ARG002  (see `works.Work`)
        """Gives none: figures have their own signs."""
        return ()


def figures_in(data: bytes, slug: str, slots: Sequence[str]) -> tuple[Engraving, ...] | None:
    """Reads figures of a device from a pack of `Figures`; None where they are not there as we write them."""
    try:
        return from_json(slug, slots, unpacked(data))
    except UNSOUND:
        return None


def joined(parts: Sequence[bytes]) -> bytes:
    """Puts parts into one pack, each of which can be read by itself."""
    return b"".join([*(len(part).to_bytes(_LENGTH) for part in parts), *parts])


def part_of(data: bytes, number: int, count: int) -> bytes:
    """Gives a part of a pack by its number, from 0, and the number of all parts.

    Of what has another form than ours it gives something, which is to be looked at in any case.
    """
    ends = range(_LENGTH, _LENGTH * (count + 1), _LENGTH)
    lengths = [int.from_bytes(data[end - _LENGTH : end]) for end in ends]
    start = _LENGTH * count + sum(lengths[:number])
    return data[start : start + lengths[number]]


UNSOUND = (ValueError, TypeError, KeyError, AttributeError, RecursionError, zlib.error)
"""What reading something raises that has another form than ours."""


def packed(value: object) -> bytes:
    """Writes a value of JSON for the cache."""
    return zlib.compress(json.dumps(value, ensure_ascii=False).encode(), 1)


def unpacked(data: bytes) -> Any:  # noqa: ANN401  (whatever a stranger wrote; the caller looks at it)
    """Reads what `packed` wrote, or anything else; raises one of `UNSOUND` where it cannot be read."""
    return json.loads(zlib.decompressobj().decompress(data, _MOST))


def as_json(drawn: Sequence[Engraving]) -> object:
    """Gives figures as a value of JSON, each glyph once."""
    glyphs = {identity: definition for one in drawn for identity, definition in one.glyphs}
    return [glyphs, [(one.svg, [identity for identity, _ in one.glyphs]) for one in drawn]]


def from_json(slug: str, slots: Sequence[str], value: Any) -> tuple[Engraving, ...]:  # noqa: ANN401  (see `unpacked`)
    """Gives figures of a device from a value of JSON.

    Raises:
        One of `UNSOUND`: It is not what `as_json` gives of such figures.
    """
    glyphs, figures = value
    drawn = tuple(
        Engraving(slug, slot, svg, tuple((name, glyphs[name]) for name in names))
        for slot, (svg, names) in zip(slots, figures, strict=True)
    )
    require(are_ours([one.svg for one in drawn]) and all(map(is_glyph, glyphs.items())))
    return drawn


def require(sound: object) -> None:
    """Refuses what a stranger may have put into the cache.

    Raises:
        ValueError: It is not sound.
    """
    if not sound:
        raise ValueError("this is not what we write")


def are_ours(drawings: Sequence[str]) -> bool:
    """Says whether drawings have nothing but what we write.

    Quotation marks part values from all else: each stands behind `=`, no value holds a tag.
    """
    between: set[str] = set()
    for svg in drawings:
        *pieces, last = svg.split('"')
        values = "".join(pieces[1::2])
        if "<" in values or ">" in values or "url(" in values or "=" in last or len(pieces) % 2:
            return False
        if not svg.startswith('<svg role="') or svg.count("href=") != svg.count('href="#glyph-'):
            return False
        between.update(pieces[::2])
        between.add(f"{last} d=")
    return all(
        "=" not in piece[:-1]
        and len(names := _ATTRIBUTE.findall(piece)) == 1
        and _OUR_ATTRIBUTE.fullmatch(names[0])
        and all(map(_OUR_TAG.fullmatch, _TAG.findall(piece)))
        for piece in between
    )


def is_glyph(glyph: tuple[str, str]) -> bool:
    """Says whether (id, definition) is a glyph under its own name."""
    match = _GLYPH.fullmatch(glyph[1])
    return match is not None and match[1] == glyph[0]
