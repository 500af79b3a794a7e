"""Prose that others have written, rendered so that nothing in it is more than words.

The site's own Markdown may run what its author has chosen: extensions that take in files, that
run templates, that let HTML through. An imported text sees none of that: it is rendered here,
with tables and nothing else; HTML in it is shown as it is written, pictures become their words,
and links lead to entries of its own glossary or to the web.
"""

from __future__ import annotations

import posixpath
from html import escape
from xml.etree.ElementTree import Element

from markdown import Markdown
from markdown.treeprocessors import Treeprocessor

from transposary.site.links import Address, is_safe, resolve


def plain_html(prose: str) -> str:
    """Renders prose for a file that stands alone: its links lead to the web or nowhere."""
    return foreign_html(prose, "", Address({}, "sheet.md"))


def foreign_html(prose: str, source: str, address: Address) -> str:
    """Renders the prose of an imported entry.

    Args:
        prose: Its Markdown.
        source: Name of its glossary.
        address: The page on which it stands.
    """
    markdown = Markdown(extensions=["tables"], output_format="html")
    # Raw HTML is text like any other.
    markdown.preprocessors.deregister("html_block")
    markdown.inlinePatterns.deregister("html")
    markdown.treeprocessors.register(_Links(markdown, source, address), "links", 0)
    try:
        return markdown.convert(prose)
    except RecursionError:
        # So deep in lists or quotations as nobody reads: the text as it is written.
        return f"<pre>{escape(prose)}</pre>"


class _Links(Treeprocessor):
    """Lets links lead where they may, and puts words in the place of pictures."""

    def __init__(self, markdown: Markdown, source: str, address: Address) -> None:
        super().__init__(markdown)
        self._source = source
        self._address = address

    def run(self, root: Element) -> None:
        """Changes the tree of a text."""
        for element in root.iter():
            if element.tag == "img":
                words = element.get("alt") or ""
                element.attrib.clear()
                element.tag, element.text = "span", words
            elif element.tag == "a":
                href = self._href(element.get("href") or "")
                element.attrib.clear()
                if href is None:
                    element.tag = "span"
                else:
                    element.set("href", href)

    def _href(self, href: str) -> str | None:
        # An empty one would lead to the page itself.
        if not href or not is_safe(href):
            return None
        if href.lower().startswith(("http://", "https://", "mailto:")):
            return href
        if href.startswith("#"):
            return href
        # Its links are written from `devices/x.md`, and its page is `devices/SOURCE/x.md`.
        kind, _, rest = self._address.page.partition("/")
        path, mark, anchor = href.partition("#")
        way = resolve(path, posixpath.join(kind, rest.partition("/")[2]))
        if way is None or way.count("/") != 1:
            return None
        folder, _, name = way.partition("/")
        target = f"{folder}/{self._source}/{name}"
        return self._address.href(target + mark + anchor) if target in self._address.urls else None
