"""What the site reads out of rendered HTML: headings for the contents, anchors, words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from html.parser import HTMLParser

_HEADINGS = {f"h{level}": level for level in range(1, 7)}
# The theme sets these signs into headings that can be linked to.
_PERMALINK = "headerlink"
VOID = frozenset(
    {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
)


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


class _Outline(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.headings: list[Heading] = []
        self.anchors: list[str] = []
        self.words: list[str] = []
        self._open: _Open | None = None
        self._muted = 0

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        anchor = given.get("id")
        if anchor:
            self.anchors.append(anchor)
        if tag in _HEADINGS and anchor:
            self._open = _Open(_HEADINGS[tag], anchor)
        if tag == "a" and (self._muted or _PERMALINK in (given.get("class") or "").split()):
            self._muted += 1

    def handle_endtag(self, tag: str) -> None:
        if tag == "a" and self._muted:
            self._muted -= 1
        if self._open is not None and tag == f"h{self._open.level}":
            text = " ".join("".join(self._open.words).split())
            self.headings.append(Heading(self._open.level, self._open.anchor, text))
            self._open = None

    def handle_data(self, data: str) -> None:
        if self._muted:
            return
        self.words.append(data)
        if self._open is not None:
            self._open.words.append(data)


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
    parser = _Outline()
    parser.feed(html)
    parser.close()
    return Outline(tuple(parser.headings), tuple(parser.anchors), " ".join(parser.words))
