"""What the site reads out of rendered HTML: headings for the contents, anchors, words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from html import unescape
from html.parser import HTMLParser

_HEADINGS = {f"h{level}": level for level in range(1, 7)}
# The theme sets these signs into headings that can be linked to.
_PERMALINK = "headerlink"
VOID = frozenset(
    {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
)

_NAME, _VALUE = r"[a-zA-Z_:][\w.:-]*", r"\"[^\"]*\"|'[^']*'"
# Parsers of different years read differently what stands in these.
_UNSURE = "(?!(?i:title|textarea|iframe|noembed|noframes|xmp|plaintext))"
# Text, a tag as we and Markdown write it, a comment, or the beginning of something else.
_PIECE = re.compile(
    r"(?P<text>[^<]+)|</(?P<ended>[a-zA-Z][a-zA-Z0-9-]*)\s*>"
    rf"|<{_UNSURE}(?P<begun>[a-zA-Z][a-zA-Z0-9-]*)(?P<given>(?:\s+{_NAME}(?:=(?:{_VALUE}))?)*)\s*(?P<closed>/?)>"
    r"|<!--(?!-?>)(?:[^-]|-(?!-))*-->|(?P<other><)"
)
_GIVEN = re.compile(rf"\s({_NAME})=({_VALUE})")
# What stands in these is not read as markup.
_RAW = re.compile(r"([^<]*)</(script|style)>")
_RAW_TAGS = frozenset({"script", "style"})


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading that can be linked to."""

    level: int
    anchor: str
    text: str


@dataclass(slots=True)
class _Open:
    level: int
    anchor: str
    words: list[str] = field(default_factory=list)


class _Words:
    """Collects what is told of the pieces of a text."""

    def __init__(self) -> None:
        self.headings: list[Heading] = []
        self.anchors: list[str] = []
        self.words: list[str] = []
        self._open: _Open | None = None
        self._muted = 0

    def begin(self, tag: str, anchor: str | None, classes: str | None) -> None:
        if anchor:
            self.anchors.append(anchor)
        if tag in _HEADINGS and anchor:
            self._open = _Open(_HEADINGS[tag], anchor)
        if tag == "a" and (self._muted or _PERMALINK in (classes or "").split()):
            self._muted += 1

    def end(self, tag: str) -> None:
        if tag == "a" and self._muted:
            self._muted -= 1
        if self._open is not None and tag == f"h{self._open.level}":
            text = " ".join("".join(self._open.words).split())
            self.headings.append(Heading(self._open.level, self._open.anchor, text))
            self._open = None

    def say(self, data: str) -> None:
        if self._muted:
            return
        self.words.append(data)
        if self._open is not None:
            self._open.words.append(data)


class _Parser(HTMLParser):
    """Reads whatever an author may have written."""

    def __init__(self) -> None:
        super().__init__()
        self.found = _Words()

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.found.begin(tag, given.get("id"), given.get("class"))

    def handle_endtag(self, tag: str) -> None:
        self.found.end(tag)

    def handle_data(self, data: str) -> None:
        self.found.say(data)


@dataclass(frozen=True, slots=True)
class Outline:
    """What a piece of HTML holds.

    Attributes:
        headings: Those with an id, in order.
        anchors: All ids, in order.
        text: The words.
    """

    headings: tuple[Heading, ...]
    anchors: tuple[str, ...]
    text: str


def outline(html: str) -> Outline:
    """Reads headings, anchors and words out of HTML."""
    found = _plain(html)
    if found is None:
        parser = _Parser()
        parser.feed(html)
        parser.close()
        found = parser.found
    return Outline(tuple(found.headings), tuple(found.anchors), " ".join(found.words))


def _plain(html: str) -> _Words | None:
    """Reads HTML that has nothing but text, comments and well-formed tags, as nearly all has.

    The parser takes ten times as long, and the contents of all pages pass through here.

    Returns:
        What a parser would have found; None where there is anything else.
    """
    found = _Words()
    at = 0
    while at < len(html):
        for piece in _PIECE.finditer(html, at):
            text, ended, begun, given, closed, other = piece.groups()
            if text is not None:
                found.say(unescape(text) if "&" in text else text)
            elif ended is not None:
                found.end(ended.lower())
            elif begun is not None:
                name = begun.lower()
                _begin(found, name, given)
                if closed:
                    found.end(name)
                elif name in _RAW_TAGS:
                    break
            elif other is not None:
                return None
        else:
            return found
        at = _passed(found, name, html, piece.end())
    return found if at == len(html) else None


def _begin(found: _Words, name: str, given: str) -> None:
    told: dict[str, str] = {}
    if "id" in given.lower() or name == "a":
        told = {one.lower(): unescape(value[1:-1]) for one, value in _GIVEN.findall(given)}
    found.begin(name, told.get("id"), told.get("class"))


def _passed(found: _Words, name: str, html: str, at: int) -> int:
    """Passes over what is not read as markup; beyond the end where it does not end as it ought to."""
    raw = _RAW.match(html, at)
    if raw is None or raw[2] != name:
        return len(html) + 1
    if raw[1]:
        found.say(raw[1])
    found.end(name)
    return raw.end()
