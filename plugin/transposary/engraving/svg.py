"""Verovio's SVG made small: one flat drawing that takes its colour from the page.

What is left of the groups are those that other rooms point at: `data-bar` (number of the bar),
`data-note` (index among `notes.notes`, the same on every part of a divided note) and
`data-symbol` (index of the chord symbol). Glyphs are taken out, to stand once a page. Nothing
carries an id or a class, there is no style sheet and no font: accidentals in chord symbols
are ordinary characters. A glyph's id names its SMuFL code point.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from html import escape
from xml.etree.ElementTree import Element, fromstring

from transposary.engraving.harmony import ROOM
from transposary.engraving.notation import ABOVE, HERE
from transposary.passage import Passage, Symbol
from transposary.pitch import pretty

_SVG = "{http://www.w3.org/2000/svg}"
_LINK = re.compile(r"#([0-9A-F]{4,5})-\w+")
_PLACED = re.compile(r"translate\((-?[\d.]+), (-?[\d.]+)\) scale\((-?[\d.]+), (-?[\d.]+)\)")
_TRANSLATED = re.compile(r"translate\((\d+), (\d+)\)")
_LINE = re.compile(r"M(-?\d+) (-?\d+) L(-?\d+) (-?\d+)")
_NOTE = re.compile(rf"({HERE}|{ABOVE})(\d+)(?:-\d+)?")
_TOP_LINE = re.compile(r'class="staff"><path d="M(\d+) \d+ L(\d+) ')
_SCALE = 0.72
"""Verovio draws a full-size glyph of its font at this scale; `glyph` definitions contain it."""

_TO_MIDDLE = 203
"""Units from where verovio begins a word under a note to the middle of the head."""

_LOWER = 60
"""Units that a word under a note moves down, where verovio lets it touch low heads."""

_OVER_STAFF = 80
"""Units between a bar's number and the staff."""

_OVER_BARLINE = 40
"""Units by which it reaches over its barline."""

_OVER_STEM = 40
"""Units between a finger and the end of a stem that verovio lets it touch."""

_BESIDE_STEM, _FINGER = 150, 250
"""Units from a finger's middle, and from its foot upwards, in which it would touch a stem."""

_BRACE_ROOM = 350
"""Units of the left margin that only a brace needs."""

_EM = 356
"""SVG units to an em: a staff is two ems high."""

_BOLD = ("ending", "fing")
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
    """What is counted while walking through one SVG, and where the words of the chord at hand begin."""

    passage: Passage
    expected: tuple[tuple[int | None, Symbol], ...]
    numbered: bool
    bars: int = 0
    symbols: int = 0
    column: int | None = None
    used: set[str] = field(default_factory=set)


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
        above: What stands above it in the same score, whose notes and chord symbols nobody asks for.

    Raises:
        ValueError: The drawing is not of this passage or holds something unknown.
    """
    root = fromstring(raw)  # noqa: S314 - our own verovio wrote it
    inner = root.find(f"{_SVG}svg")
    page = None if inner is None else inner.find(f"{_SVG}g")
    if inner is None or page is None:
        raise ValueError("verovio drew nothing")
    walk = _Walk(passage, _symbols_drawn(passage, above), numbered)
    content = "".join(_merged(_children(page, walk)))
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
    return Drawing(f"{head}{content}</svg>", _glyphs(root, walk.used))


def _symbols_drawn(passage: Passage, above: Passage | None) -> tuple[tuple[int | None, Symbol], ...]:
    """Lists chord symbols as verovio draws them: in each bar those above first, which have no index."""
    own: list[tuple[int | None, Symbol]] = list(enumerate(passage.symbols))
    if above is None:
        return tuple(own)
    everything = [*((None, symbol) for symbol in above.symbols), *own]
    bars = passage.bars
    return tuple(one for bar in bars for one in everything if bar.onset <= one[1].onset < bar.end)


def _glyphs(root: Element, used: set[str]) -> tuple[tuple[str, str], ...]:
    found: dict[str, str] = {}
    for group in root.iter(f"{_SVG}g"):
        name = group.get("id", "").partition("-")[0]
        path = group.find(f"{_SVG}path")
        if name in used and path is not None and path.get("transform") == "scale(1,-1)":
            identity = f"glyph-{name}"
            found[identity] = (
                f'<path id="{identity}" transform="scale({_SCALE} -{_SCALE})" d="{path.get("d", "")}"/>'
            )
    return tuple(sorted(found.items()))


def _margin(page: Element) -> tuple[int, int]:
    match = _TRANSLATED.fullmatch(page.get("transform", ""))
    if match is None:
        raise ValueError("the page of verovio's drawing has no margin")
    return int(match[1]), int(match[2])


def _ems(units: int) -> str:
    return f"{units / _EM:.2f}".rstrip("0").rstrip(".")


def _children(element: Element, walk: _Walk) -> Iterator[str]:
    for child in element:
        yield from _element(child, walk)


def _element(element: Element, walk: _Walk) -> Iterator[str]:
    match element.tag.removeprefix(_SVG):
        case "g":
            yield from _group(element, walk)
        case "use":
            yield _use(element, walk)
        case "path":
            yield _path(element)
        case "text":
            yield _text(element, "")
        case name if name in _KEPT:
            yield f"<{name}{_attributes(element, _KEPT[name] + _PAINT)}/>"
        case name:
            raise ValueError(f"verovio drew an unknown element: {name}")


def _group(element: Element, walk: _Walk) -> Iterator[str]:
    kinds = element.get("class", "").split()
    kind = kinds[0] if kinds else ""
    if kind == "measure":
        number = walk.passage.bars[walk.bars].number
        walk.bars += 1
        _lower_number(element)
        _lift_fingers(element)
        yield _data("bar", number, _children(element, walk))
    elif kind == "note":
        yield from _note(element, walk)
    elif kind == "harm":
        yield _harmony(element, walk)
    elif kind == "chord":
        _give_words_to_first(element)
        walk.column = _column(element)
        yield from _children(element, walk)
        walk.column = None
    elif kind == "verse":
        _centre(element, walk)
        yield from _texts(element, "")
    elif kind == "mNum":
        yield from _texts(element, ' font-style="italic"') if walk.numbered else ()
    elif kind in _BOLD:
        yield from _shapes_and_texts(element, walk)
    elif "placeholder" not in kinds:
        yield from _children(element, walk)


def _data(name: str, value: int, content: Iterator[str]) -> str:
    return f'<g data-{name}="{value}">{"".join(_merged(content))}</g>'


def _note(element: Element, walk: _Walk) -> Iterator[str]:
    match = _NOTE.fullmatch(element.get("id", ""))
    if match is None:
        raise ValueError("verovio drew a note without our id")
    if match[1] == ABOVE:
        yield from _children(element, walk)
    else:
        yield _data("note", int(match[2]), _children(element, walk))


def _harmony(element: Element, walk: _Walk) -> str:
    index, expected = next(iter(walk.expected[walk.symbols :]), (None, ""))
    walk.symbols += 1
    text = _symbol(element, str(expected))
    return text if index is None else _data("symbol", index, iter((text,)))


def _symbol(element: Element, expected: str) -> str:
    """Writes a chord symbol with ♭ and ♯ of the text's font, once sure that it is the next one."""
    text = next(_texts(element, ""))
    plain = f">{escape(expected)}{ROOM}</text>"
    if not text.endswith(plain):
        raise ValueError(f"verovio drew another chord symbol where {expected} was expected")
    return f"{text.removesuffix(plain)}>{escape(pretty(expected))}</text>"


def _give_words_to_first(chord: Element) -> None:
    """Moves the words that verovio gives to a chord as a whole: they are its first note's."""
    first = next(child for child in chord if child.get("class") == "note")
    for verse in [child for child in chord if child.get("class") == "verse"]:
        chord.remove(verse)
        first.append(verse)


def _column(chord: Element) -> int | None:
    """Finds where the words under a chord begin: with most of its heads, not with one pushed aside."""
    verses = (group for group in chord.iter(f"{_SVG}g") if group.get("class") == "verse")
    lefts = Counter(_units(text, "x") for verse in verses for text in verse.iter(f"{_SVG}text"))
    return min(lefts, key=lambda left: (-lefts[left], left), default=None)


def _centre(verse: Element, walk: _Walk) -> None:
    """Sets a word under the middle of its notehead; verovio begins it left of the head."""
    for text in verse.iter(f"{_SVG}text"):
        left = _units(text, "x") if walk.column is None else walk.column
        text.set("x", str(left + _TO_MIDDLE))
        text.set("y", str(_units(text, "y") + _LOWER))
        text.set("text-anchor", "middle")


def _lower_number(measure: Element) -> None:
    """Sets the number of a bar close above its staff, where no chord symbol runs into it.

    It stands right of the barline, away from flags, or left of it where a signature follows.
    """
    groups = list(measure.iter(f"{_SVG}g"))
    top = next((int(y) for line in measure.iter(f"{_SVG}path") if (y := _level(line)) is not None), 0)
    signed = any(group.get("class") == "keySig" for group in groups)
    for group in groups:
        if group.get("class", "").startswith("mNum"):
            for text in group.iter(f"{_SVG}text"):
                text.set("y", str(top - _OVER_STAFF))
                if (barline := text.get("x", "0")) != "0":
                    over = _OVER_BARLINE if signed else -_OVER_BARLINE
                    text.set("x", str(int(barline) + over))
                    text.set("text-anchor", "end" if signed else "start")


def _lift_fingers(measure: Element) -> None:
    """Sets fingers above the ends of the stems that they would touch."""
    drawn = [path.get("d", "") for stem in _of_class(measure, "stem") for path in stem]
    lines = [tuple(map(int, line.groups())) for one in drawn if (line := _LINE.fullmatch(one)) is not None]
    for text in (text for finger in _of_class(measure, "fing") for text in finger):
        x, y = _units(text, "x"), _units(text, "y")
        ends = [min(one[1], one[3]) - _OVER_STEM for one in lines if abs(one[0] - x) < _BESIDE_STEM]
        text.set("y", str(min([y, *(end for end in ends if 0 < y - end < _FINGER)])))


def _of_class(element: Element, kind: str) -> Iterator[Element]:
    return (group for group in element.iter(f"{_SVG}g") if group.get("class") == kind)


def _level(line: Element) -> str | None:
    match = _LINE.fullmatch(line.get("d", ""))
    return None if match is None else match[2]


def _units(text: Element, name: str) -> int:
    try:
        return int(text.get(name, ""))
    except ValueError as error:
        raise ValueError("verovio placed a text in an unknown way") from error


def _texts(element: Element, style: str) -> Iterator[str]:
    return (text for text in (_text(one, style) for one in element.iter(f"{_SVG}text")) if text)


def _shapes_and_texts(element: Element, walk: _Walk) -> Iterator[str]:
    for child in element:
        if child.tag == f"{_SVG}text":
            yield _text(child, ' font-weight="bold"')
        else:
            yield from _element(child, walk)


def _text(element: Element, style: str) -> str:
    """Flattens nested spans to one text in one size."""
    words = "".join(element.itertext())
    if not words.strip():
        return ""
    size = next(span.get("font-size", "") for span in element.iter() if span.get("font-size", "0px") != "0px")
    if re.search("[\ue000-\uf8ff]", words):
        raise ValueError(f"verovio wrote a character of its music font: {words!r}")
    place = _attributes(element, ("x", "y", "text-anchor"))
    return f'<text{place} font-size="{size.removesuffix("px")}"{style}>{escape(words)}</text>'


def _attributes(element: Element, names: tuple[str, ...]) -> str:
    return "".join(f' {name}="{value}"' for name in names if (value := element.get(name)) is not None)


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
    line = _LINE.fullmatch(element.get("d", ""))
    if line is None:
        return f"<path{_attributes(element, ('d', *_PAINT))}/>"
    x, y, to_x, to_y = line.groups()
    to = f"H{to_x}" if y == to_y else (f"V{to_y}" if x == to_x else f"L{to_x} {to_y}")
    return f'<path d="M{x} {y}{to}"{_attributes(element, _PAINT)}/>'


_MERGEABLE = re.compile(r'<path d="(M-?\d+ -?\d+[HV]-?\d+)"([^>]*)/>')


def _merged(content: Iterator[str]) -> Iterator[str]:
    """Joins straight lines of one width that follow each other into one path."""
    joined, paint = "", ""
    for piece in content:
        match = _MERGEABLE.fullmatch(piece)
        if match is not None and joined and match[2] == paint:
            joined += match[1]
            continue
        if joined:
            yield f'<path d="{joined}"{paint}/>'
            joined = ""
        if match is not None:
            joined, paint = match[1], match[2]
        else:
            yield piece
    if joined:
        yield f'<path d="{joined}"{paint}/>'
