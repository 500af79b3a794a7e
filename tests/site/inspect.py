"""Reads finished HTML pages for the tests."""

from __future__ import annotations

import posixpath
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


@dataclass
class Element:
    """An element of a page."""

    tag: str
    attrs: dict[str, str]
    children: list[Element | str] = field(default_factory=list)

    def walk(self) -> Iterator[Element]:
        """Gives it and all elements below it."""
        yield self
        for child in self.children:
            if isinstance(child, Element):
                yield from child.walk()

    def all(self, tag: str = "", **attrs: str) -> list[Element]:
        """Finds the elements below it by tag and attributes; `class_` is one of the classes."""
        wanted = {name.rstrip("_").replace("_", "-"): value for name, value in attrs.items()}
        return [one for one in self.walk() if tag in ("", one.tag) and one.fits(wanted)]

    def one(self, tag: str = "", **attrs: str) -> Element:
        """Finds the only such element."""
        found = self.all(tag, **attrs)
        assert len(found) == 1, f"{len(found)} times {tag} {attrs}"
        return found[0]

    def fits(self, wanted: dict[str, str]) -> bool:
        """Tells whether it has certain attributes."""
        return all(
            value in self.attrs.get(name, "").split() if name == "class" else self.attrs.get(name) == value
            for name, value in wanted.items()
        )

    @property
    def text(self) -> str:
        """Its words, white space collapsed."""
        return " ".join("".join(self._texts()).split())

    def _texts(self) -> Iterator[str]:
        for child in self.children:
            if isinstance(child, str):
                yield child
            else:
                yield from child._texts()


class _Builder(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.root = Element("", {})
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        self.open[-1].children.append(Element(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        if any(one.tag == tag for one in self.open):
            while self.open.pop().tag != tag:
                pass

    def handle_data(self, data: str) -> None:
        self.open[-1].children.append(data)


def parse(html: str) -> Element:
    """Reads HTML into elements."""
    builder = _Builder()
    builder.feed(html)
    builder.close()
    return builder.root


def dead_links(site: Path) -> list[str]:
    """Lists links within a site that lead to no file or to no anchor."""
    pages = {
        path.relative_to(site).as_posix(): parse(path.read_text("utf-8")) for path in site.rglob("*.html")
    }
    anchors = {name: {one.attrs.get("id", "") for one in page.walk()} for name, page in pages.items()}
    dead = []
    for name, page in pages.items():
        for one in page.walk():
            href = one.attrs.get("href") or one.attrs.get("src") or ""
            parts = urlsplit(href)
            # The page for missing addresses is served anywhere, so its links begin at the root.
            if not href or parts.scheme or parts.netloc or name == "404.html":
                continue
            target = posixpath.normpath(posixpath.join(posixpath.dirname(name), unquote(parts.path)))
            target = name if not parts.path else target
            target = posixpath.join(target, "index.html") if (site / target).is_dir() else target
            target = posixpath.normpath(target)
            if not (site / target).is_file() or (
                parts.fragment and parts.fragment not in anchors.get(target, {parts.fragment})
            ):
                dead.append(f"{name}: {href}")
    return dead


def foreign_loads(site: Path) -> list[str]:
    """Lists what pages and style sheets would fetch from another host."""
    found = []
    for path in site.rglob("*.html"):
        for one in parse(path.read_text("utf-8")).walk():
            names = ("src", "srcset", "data", "poster", "xlink:href") + (() if one.tag == "a" else ("href",))
            urls = [one.attrs.get(name, "") for name in names]
            loads = [url for url in urls if url.startswith("//") or urlsplit(url).scheme in ("http", "https")]
            # These name an address without fetching it.
            if one.tag == "link" and one.attrs.get("rel") in ("canonical", "prev", "next", "alternate"):
                continue
            found += [f"{path.relative_to(site)}: {url}" for url in loads]
    return found
