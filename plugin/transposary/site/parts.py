"""What players of other instruments read of a device: figures to engrave, and files for its page.

A part is written once for each clef and written key, whoever reads it, and stands in a script file
of its own that the page loads when a reader asks for it: a page from the disk may load scripts, and
nothing else.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from html import escape

from transposary.engraving import Engraving, Job, Lettered
from transposary.engraving.kept import require
from transposary.glossary import Device, Kind
from transposary.notes import notes
from transposary.passage import Clef, Key, Passage
from transposary.pitch import NoteName, pretty
from transposary.theory.part_lines import SLASHES, PartLine, horn_lines, shared_line, slashes_of
from transposary.theory.parts import PART_CLEFS
from transposary.theory.words import in_words

GLYPHS = f"{Kind.DEVICE}/part-glyphs.js"
"""The signs of all parts, which a page loads once."""

_WIDEST = "Gb"
"""The slot whose chord symbols need most room: slashes are engraved there, once for all keys."""

_FIELDS = ("svg", "slashes", "words", "first", "folded", "horns")
_NOTE = re.compile(r'data-note="(\d+)"')
_SYMBOL = re.compile(r'(<g data-symbol="(\d+)"><text[^>]*>)[^<]*')


@dataclass(frozen=True, slots=True)
class WrittenPart:
    """What the instruments with a clef read of a device in one written key.

    Attributes:
        clef: The clef.
        slot: The slot that is written, not the one that sounds.
        line: A line, or the chords of a section of horns.
        symbols: The chord symbols of the written key.
        horns: For each horn the notes of the device that are its own; empty for a line.
        slashes: The rhythm of the chords as slashes, in whatever key, or None.
    """

    clef: Clef
    slot: str
    line: PartLine
    symbols: tuple[str, ...]
    horns: tuple[tuple[int, ...], ...]
    slashes: PartLine | None

    @property
    def name(self) -> str:
        """What its file is called: `treble-Eb`."""
        return f"{self.clef}-{self.slot}"


def written_parts(device: Device, keys: Mapping[str, Passage]) -> tuple[WrittenPart, ...]:
    """Takes the parts of a device in all clefs and written keys.

    Args:
        device: The device.
        keys: Its notes by slot.
    """
    return tuple(part for clef in PART_CLEFS for part in _in_clef(device, keys, clef))


def _in_clef(device: Device, keys: Mapping[str, Passage], clef: Clef) -> Iterator[WrittenPart]:
    slashes = slashes_of(device, keys[_WIDEST], clef)
    horns = tuple(line.sources for line in horn_lines(device, keys[_WIDEST], clef))
    for slot, passage in keys.items():
        symbols = tuple(pretty(str(symbol)) for symbol in passage.symbols)
        yield WrittenPart(clef, slot, shared_line(device, passage, clef), symbols, horns, slashes)


def part_jobs(slug: str, parts: Sequence[WrittenPart], labels: tuple[str, ...]) -> Iterator[Job]:
    """Lists what is to be engraved of the parts of a device.

    Args:
        slug: The device.
        parts: Its parts.
        labels: Words under its notes by note index.
    """
    widest: dict[Clef, Lettered] = {}
    for part in sorted(parts, key=lambda part: abs(part.line.passage.key.signature)):
        widest[part.clef] = (part.line.passage, _under(part, labels))
    for part in parts:
        under = _under(part, labels)
        yield Job(slug, part_figure(part.name), part.line.passage, under, like=widest[part.clef])
        if part.slashes is not None and part.slot == _WIDEST:
            name = _slashes_figure(part.clef)
            bare = _without_signature(part.slashes.passage)
            yield Job(slug, name, bare, ("",) * len(part.slashes.sources))


def _under(part: WrittenPart, labels: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(labels[source] for source in part.line.sources)


def part_figure(name: str) -> str:
    """Gives the name of the figure of a part."""
    return f"part-{name}"


def _slashes_figure(clef: Clef) -> str:
    return part_figure(f"{clef}-{SLASHES}")


def _without_signature(passage: Passage) -> Passage:
    """Takes the key from slashes, whose pitch says nothing: no accidental, no signature."""
    voices = tuple(
        replace(
            voice,
            events=tuple(
                replace(one, heads=tuple(replace(h, pitch=replace(h.pitch, alter=0)) for h in one.heads))
                for one in voice.events
            ),
        )
        for voice in passage.voices
    )
    return replace(passage, keys=((passage.keys[0][0], Key(NoteName(0))),), voices=voices)


def is_part_figure(name: str) -> bool:
    """Says whether a figure is of a part."""
    return name.startswith(part_figure(""))


def part_files(
    slug: str, parts: Iterable[WrittenPart], engravings: Mapping[str, Engraving]
) -> dict[str, bytes]:
    """Writes the script file of each part of a device, by address from the site's root.

    It calls `transposary.part(SLUG, NAME, …)` with

    - `svg`: the engraving, its notes numbered as those of the device
    - `slashes`: the engraving of the rhythm, or an empty text
    - `words`: the notes in words, a line each
    - `first`: of its first note the written MIDI number, and which note of the device it is; or null
    - `folded`: whether single notes were moved by octaves
    - `horns`: for each horn the notes of the device that are its own

    Args:
        slug: The device.
        parts: Its parts.
        engravings: By name of the figure; one that failed is missing.
    """
    files = {}
    for part in parts:
        engraving = engravings.get(part_figure(part.name))
        if engraving is None:
            continue
        first = next(iter(notes(part.line.passage)), None)
        content = {
            "svg": _numbered(engraving.svg, part.line.sources),
            "slashes": _slashes(part, engravings.get(_slashes_figure(part.clef))),
            "words": in_words(part.line.passage, hands=False).split("\n"),
            "first": None if first is None else [first.pitch.midi, part.line.sources[0]],
            "folded": part.line.folded,
            "horns": part.horns,
        }
        files[_address(slug, part.name)] = _call("part", slug, part.name, content)
    return files


def part_addresses(slug: str, slots: Iterable[str]) -> dict[str, str]:
    """Gives the names of all parts of a device in some written keys, by address of the file."""
    names = (f"{clef}-{slot}" for slot in slots for clef in PART_CLEFS)
    return {_address(slug, name): name for name in names}


def _address(slug: str, name: str) -> str:
    return f"{Kind.DEVICE}/{slug}/parts/{name}.js"


def drawings_of(slug: str, name: str, text: str) -> list[str]:
    """Gives the drawings in the file of a part, whose rest has nothing in it that we do not write.

    Args:
        slug: The device.
        name: The part.
        text: Whatever there is.

    Raises:
        One of `UNSOUND`: It is no such file.
    """
    head, tail = _call("part", slug, name, {}).decode().split("{}")
    content = json.loads(text.removeprefix(head).removesuffix(tail))
    require(text == f"{head}{_json(content)}{tail}" and tuple(content) == _FIELDS)
    require(all(isinstance(line, str) for line in content["words"]))
    return [content["svg"], *([content["slashes"]] if content["slashes"] else [])]


def glyphs_file(glyphs: Iterable[tuple[str, str]]) -> bytes:
    """Writes the script file with the signs of all parts; it calls `transposary.glyphs({ID: SVG})`."""
    return _call("glyphs", dict(sorted(set(glyphs))))


def _numbered(svg: str, sources: tuple[int, ...]) -> str:
    return _NOTE.sub(lambda match: f'data-note="{sources[int(match[1])]}"', svg)


def _slashes(part: WrittenPart, engraving: Engraving | None) -> str:
    """Gives slashes the chord symbols of the written key."""
    if part.slashes is None or engraving is None:
        return ""
    svg = _SYMBOL.sub(lambda match: f"{match[1]}{escape(part.symbols[int(match[2])])}", engraving.svg)
    return _numbered(svg, part.slashes.sources)


def _call(function: str, *values: object) -> bytes:
    return f"transposary.{function}({','.join(map(_json, values))});\n".encode()


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
