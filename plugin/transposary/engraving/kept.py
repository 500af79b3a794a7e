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
    "|x|y|cx|cy|rx|ry|href|data-bar|data-note|data-symbol"
)
_GLYPH = re.compile(
    r'<path id="(glyph-[0-9A-F]+)" transform="scale\(-?[\d.]+ -?[\d.]+\)" d="[MmLlHhVvCcSsQqTtZz\d ,.eE-]*"/>'
)


def key_of_jobs(jobs: Sequence[Job]) -> str:
    """Makes the key of figures that are like the same passage."""
    code = code_of("engraving", "passage.py", "pitch.py", "notes.py", libraries=("verovio",))
    alone = [replace(job, like=None) for job in jobs]
    return key_of("engravings", code, _PLACE.sub("", repr((jobs[0].like, alone))))


def keep(cache: Cache, key: str, drawn: Sequence[Engraving]) -> None:
    """Puts the figures of a device into the cache."""
    glyphs = {identity: definition for one in drawn for identity, definition in one.glyphs}
    figures = [(one.svg, [identity for identity, _ in one.glyphs]) for one in drawn]
    text = json.dumps([glyphs, figures], ensure_ascii=False)
    cache.put(key, zlib.compress(text.encode(), 1))


def kept(cache: Cache, key: str, jobs: Sequence[Job]) -> tuple[Engraving, ...] | None:
    """Gives the figures of a device from the cache; None where they are not there as we write them."""
    data = cache.get(key)
    if data is None:
        return None
    try:
        glyphs, figures = json.loads(zlib.decompressobj().decompress(data, _MOST))
        drawn = tuple(
            Engraving(job.slug, job.slot, svg, tuple((name, glyphs[name]) for name in names))
            for job, (svg, names) in zip(jobs, figures, strict=True)
        )
        sound = _are_ours([one.svg for one in drawn]) and all(map(_is_glyph, glyphs.items()))
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError, zlib.error):
        return None
    return drawn if sound else None


def _are_ours(drawings: Sequence[str]) -> bool:
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


def _is_glyph(glyph: tuple[str, str]) -> bool:
    match = _GLYPH.fullmatch(glyph[1])
    return match is not None and match[1] == glyph[0]
