"""Engravings in the cache: the figures of a device in one file.

A cache may have come with a glossary from a stranger, so what is read from it is held against
what `svg` writes: its elements, its attributes, and links to glyphs only.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from transposary.cache import Cache, code_of, key_of
from transposary.engraving.figures import Engraving, Job

_MOST = 50_000_000
"""Bytes that the figures of a device may take."""

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


def keep(cache: Cache, key: str, drawn: Sequence[Engraving]) -> None:
    """Puts the figures of a device into the cache."""
    cache.put(key, packed(as_json(drawn)))


def kept_figures(cache: Cache, key: str, slug: str, slots: Sequence[str]) -> tuple[Engraving, ...] | None:
    """Gives figures of a device from the cache; None where they are not there as we write them."""
    data = cache.get(key)
    if data is None:
        return None
    try:
        return from_json(slug, slots, unpacked(data))
    except UNSOUND:
        return None


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
