"""Verovio's SVG made small: one flat drawing that takes its colour from the page.

What is left of the groups are those that other rooms point at: `data-bar` (number of the bar),
`data-note` (index among `notes.notes`, the same on every part of a divided note) and
`data-symbol` (index of the chord symbol). Glyphs are taken out, to stand once a page. Nothing
carries an id or a class, there is no style sheet and no font: accidentals in chord symbols
are ordinary characters. A glyph's id names its SMuFL code point.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from html import escape
from xml.etree.ElementTree import Element, fromstring

from transposary.engraving.harmony import ROOM
from transposary.engraving.notation import ABOVE, HERE
from transposary.engraving.placing import (
    GROUP,
    LINE,
    PATH,
    SVG,
    TEXT,
    centre,
    column,
    give_words_to_first,
    lift_fingers,
    lower_number,
)
from transposary.passage import Passage, Symbol
from transposary.pitch import pretty

_USE = f"{SVG}use"
# A key without sharps or flats has an empty signature, which counts where numbers of bars are set.
_EMPTY = re.compile(r'<g [^>]*(?<!"keySig")/>')
_GLYPH = re.compile(r'<g id="([0-9A-F]+)-\w+"><path transform="scale\(1,-1\)" d="([^"]*)"')
_OF_FONT = re.compile("[\ue000-\uf8ff]")
_LINES = re.compile(r'<path d="M-?\d+ -?\d+[HV]-?\d+"([^>]*)/>(?:<path d="M-?\d+ -?\d+[HV]-?\d+"\1/>)+')
_LINK = re.compile(r"#([0-9A-F]{4,5})-\w+")
_PLACED = re.compile(r"translate\((-?[\d.]+), (-?[\d.]+)\) scale\((-?[\d.]+), (-?[\d.]+)\)")
_TRANSLATED = re.compile(r"translate\((\d+), (\d+)\)")
_NOTE = re.compile(rf"({HERE}|{ABOVE})(\d+)(?:-\d+)?")
_TOP_LINE = re.compile(r'class="staff"><path d="M(\d+) \d+ L(\d+) ')
_SCALE = 0.72
"""Verovio draws a full-size glyph of its font at this scale; `glyph` definitions contain it."""

_BRACE_ROOM = 350
"""Units of the left margin that only a brace needs."""

_EM = 356
"""SVG units to an em: a staff is two ems high."""

_KEPT = {
    "ellipse": ("cx", "cy", "rx", "ry"),
    "polygon": ("points",),
    "polyline": ("points",),
    "rect": ("x", "y", "width", "height", "rx"),
}
_PAINT = ("fill", "fill-opacity", "stroke-width", "stroke-linecap", "stroke-linejoin", "stroke-dasharray")


@dataclass(frozen=True, slots=True)
class Drawing:
    """An engraved figure.

    Attributes:
        svg: Inline SVG; it begins with `<svg role="img"`, so that the page can name it.
        glyphs: The glyphs that it uses as (id, definition), sorted by id.
    """

    svg: str
    glyphs: tuple[tuple[str, str], ...]


@dataclass(slots=True)
class _Walk:
    """What is counted and written while walking through one SVG, and where the words of the chord begin."""

    passage: Passage
    expected: tuple[tuple[int | None, Symbol], ...]
    numbered: bool
    bars: int = 0
    symbols: int = 0
    column: int | None = None
    used: set[str] = field(default_factory=set)
    written: list[str] = field(default_factory=list)


def drawn_bars(raw: str) -> list[int]:
    """Gives the width of each bar of a single system, in the units of verovio's drawing."""
    lines = sorted({(int(start), int(end)) for start, end in _TOP_LINE.findall(raw)})
    return [end - start for start, end in lines]


def indentation(raw: str) -> int:
    """Gives what stands before the first bar: the names of parts, in the units of verovio's drawing."""
    return min(int(start) for start, _ in _TOP_LINE.findall(raw))


def compact(raw: str, passage: Passage, *, numbered: bool, above: Passage | None = None) -> Drawing:
    """Makes verovio's SVG of a passage small.

    Args:
        raw: What verovio drew of the passage's MusicXML with note ids.
        passage: The passage.
        numbered: Whether the numbers of bars are kept.
        above: What stands above it in the same score, whose notes have `data-above` in place of
            `data-note`, and whose chord symbols nobody asks for.

    Raises:
        ValueError: The drawing is not of this passage or holds something unknown.
    """
    glyphs, drawn = _apart(raw)
    root = fromstring(drawn)  # noqa: S314 - our own verovio wrote it
    inner = root.find(f"{SVG}svg")
    page = None if inner is None else inner.find(GROUP)
    if inner is None or page is None:
        raise ValueError("verovio drew nothing")
    walk = _Walk(passage, _symbols_drawn(passage, above), numbered)
    _children(page, walk)
    if walk.bars != len(passage.bars) or walk.symbols != len(walk.expected):
        raise ValueError(
            f"verovio drew {walk.bars} bars and {walk.symbols} chord symbols "
            f"of {len(passage.bars)} and {len(walk.expected)}"
        )
    left, top = _margin(page)
    _, _, width, height = map(int, inner.get("viewBox", "").split())
    # Names of parts have room of their own, in which a brace stands as well.
    if len(passage.hands) == 1 or above is not None:
        left, width = left - _BRACE_ROOM, width - _BRACE_ROOM
    head = (
        f'<svg role="img" viewBox="-{left} -{top} {width} {height}"'
        f' width="{_ems(width)}em" height="{_ems(height)}em" fill="currentColor" stroke="currentColor"'
        ' stroke-width="0" font-family="Times, serif">'
    )
    content = _LINES.sub(_joined, "".join(walk.written))
    return Drawing(f"{head}{content}</svg>", _glyphs(glyphs, walk.used))


def _apart(raw: str) -> tuple[str, str]:
    """Takes the definitions of the glyphs out, and groups with nothing in them, which need no parsing."""
    before, _, rest = raw.partition("<defs>")
    glyphs, _, after = rest.rpartition("</defs>")
    return glyphs, _EMPTY.sub("", before + (after or rest))


def _symbols_drawn(passage: Passage, above: Passage | None) -> tuple[tuple[int | None, Symbol], ...]:
    """Lists chord symbols as verovio draws them: in each bar those above first, which have no index."""
    own: list[tuple[int | None, Symbol]] = list(enumerate(passage.symbols))
    if above is None:
        return tuple(own)
    everything = [*((None, symbol) for symbol in above.symbols), *own]
    bars = passage.bars
    return tuple(one for bar in bars for one in everything if bar.onset <= one[1].onset < bar.end)


def _glyphs(definitions: str, used: set[str]) -> tuple[tuple[str, str], ...]:
    return tuple(
        sorted(
            (
                identity := f"glyph-{name}",
                f'<path id="{identity}" transform="scale({_SCALE} -{_SCALE})" d="{d}"/>',
            )
            for name, d in set(_GLYPH.findall(definitions))
            if name in used
        )
    )


def _margin(page: Element) -> tuple[int, int]:
    match = _TRANSLATED.fullmatch(page.get("transform", ""))
    if match is None:
        raise ValueError("the page of verovio's drawing has no margin")
    return int(match[1]), int(match[2])


def _ems(units: int) -> str:
    return f"{units / _EM:.2f}".rstrip("0").rstrip(".")


def _children(element: Iterable[Element], walk: _Walk) -> None:
    for child in element:
        tag = child.tag
        if tag == GROUP:
            _group(child, walk)
        elif tag == _USE:
            walk.written.append(_use(child, walk))
        elif tag == PATH:
            walk.written.append(_path(child))
        elif tag == TEXT:
            walk.written.append(_text(child, ""))
        elif (name := tag.removeprefix(SVG)) in _KEPT:
            walk.written.append(f"<{name}{_attributes(child, _KEPT[name] + _PAINT)}/>")
        else:
            raise ValueError(f"verovio drew an unknown element: {name}")


def _group(element: Element, walk: _Walk) -> None:
    kinds = element.get("class", "")
    written = _WRITERS.get(kinds.partition(" ")[0])
    if written is not None:
        written(element, walk)
    elif "placeholder" not in kinds:
        _children(element, walk)


def _measure(element: Element, walk: _Walk) -> None:
    number = walk.passage.bars[walk.bars].number
    walk.bars += 1
    if walk.numbered:
        lower_number(element)
    lift_fingers(element)
    _data("bar", number, element, walk)


def _chord(element: Element, walk: _Walk) -> None:
    give_words_to_first(element)
    walk.column = column(element)
    _children(element, walk)
    walk.column = None


def _verse(element: Element, walk: _Walk) -> None:
    centre(element, walk.column)
    walk.written += _texts(element, "")


def _number(element: Element, walk: _Walk) -> None:
    if walk.numbered:
        walk.written += _texts(element, ' font-style="italic"')


def _data(name: str, value: int, element: Element, walk: _Walk) -> None:
    walk.written.append(f'<g data-{name}="{value}">')
    _children(element, walk)
    walk.written.append("</g>")


def _note(element: Element, walk: _Walk) -> None:
    match = _NOTE.fullmatch(element.get("id", ""))
    if match is None:
        raise ValueError("verovio drew a note without our id")
    _data("above" if match[1] == ABOVE else "note", int(match[2]), element, walk)


def _harmony(element: Element, walk: _Walk) -> None:
    index, expected = next(iter(walk.expected[walk.symbols :]), (None, ""))
    walk.symbols += 1
    text = _symbol(element, str(expected))
    walk.written.append(text if index is None else f'<g data-symbol="{index}">{text}</g>')


def _symbol(element: Element, expected: str) -> str:
    """Writes a chord symbol with ♭ and ♯ of the text's font, once sure that it is the next one."""
    text = next(_texts(element, ""))
    plain = f">{escape(expected)}{ROOM}</text>"
    if not text.endswith(plain):
        raise ValueError(f"verovio drew another chord symbol where {expected} was expected")
    return f"{text.removesuffix(plain)}>{escape(pretty(expected))}</text>"


def _texts(element: Element, style: str) -> Iterator[str]:
    return (text for text in (_text(one, style) for one in element.iter(TEXT)) if text)


def _shapes_and_texts(element: Element, walk: _Walk) -> None:
    for child in element:
        if child.tag == TEXT:
            walk.written.append(_text(child, ' font-weight="bold"'))
        else:
            _children((child,), walk)


_WRITERS = {
    "measure": _measure,
    "note": _note,
    "harm": _harmony,
    "chord": _chord,
    "verse": _verse,
    "mNum": _number,
    "ending": _shapes_and_texts,
    "fing": _shapes_and_texts,
}
"""What writes a group, by the first word of its class; all others are no more than their content."""


def _text(element: Element, style: str) -> str:
    """Flattens nested spans to one text in one size."""
    words = "".join(element.itertext())
    if not words.strip():
        return ""
    size = next(span.get("font-size", "") for span in element.iter() if span.get("font-size", "0px") != "0px")
    if _OF_FONT.search(words):
        raise ValueError(f"verovio wrote a character of its music font: {words!r}")
    place = _attributes(element, ("x", "y", "text-anchor"))
    return f'<text{place} font-size="{size.removesuffix("px")}"{style}>{escape(words)}</text>'


def _attributes(element: Element, names: tuple[str, ...]) -> str:
    known = element.attrib
    return "".join([f' {name}="{known[name]}"' for name in names if name in known])


def _use(element: Element, walk: _Walk) -> str:
    link = _LINK.fullmatch(element.get("href", ""))
    placed = _PLACED.fullmatch(element.get("transform", ""))
    if link is None or placed is None:
        raise ValueError("verovio placed a glyph in an unknown way")
    walk.used.add(link[1])
    x, y, scale = placed[1], placed[2], float(placed[3])
    if scale == _SCALE:
        return f'<use href="#glyph-{link[1]}" x="{x}" y="{y}"/>'
    return f'<use href="#glyph-{link[1]}" transform="translate({x} {y}) scale({scale / _SCALE:.4g})"/>'


def _path(element: Element) -> str:
    line = LINE.fullmatch(element.get("d", ""))
    if line is None:
        return f"<path{_attributes(element, ('d', *_PAINT))}/>"
    x, y, to_x, to_y = line.groups()
    to = f"H{to_x}" if y == to_y else (f"V{to_y}" if x == to_x else f"L{to_x} {to_y}")
    return f'<path d="M{x} {y}{to}"{_attributes(element, _PAINT)}/>'


def _joined(run: re.Match[str]) -> str:
    """Joins straight lines of one width that follow each other into one path."""
    return run[0].replace(f'"{run[1]}/><path d="', "")
