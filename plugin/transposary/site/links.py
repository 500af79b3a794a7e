"""Links between the pages of the site.

Pages are named by their source (`devices/walk-up.md`), as MkDocs names them; which address a
source gets is told from outside, so that the site works with and without directory addresses
and from the disk.
"""

from __future__ import annotations

import posixpath
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlsplit

from transposary.glossary import Entry, Glossary, Kind, Ref, kind_of, slug_of, source_name

HOME = "index.md"
GENRES = "genres/index.md"
KEYS = "keys/index.md"
UNUSED = "unused/index.md"
FIND = "find.md"
NOTE_DOWN = "note-down.md"
TODAY = "today.md"
COVERAGE = "coverage.md"
PRACTISED = "practised.md"

_SAFE_SCHEMES = frozenset({"http", "https", "mailto"})


def source_of(kind: Kind, slug: str) -> str:
    """Names the page of an entry."""
    return f"{kind}/{slug}.md"


def index_of(kind: Kind) -> str:
    """Names the index page of a kind."""
    return f"{kind}/index.md"


def source_of_entry(entry: Entry) -> str:
    """Names the page of an entry."""
    return source_of(kind_of(entry), entry.slug)


def key_page(slot: str) -> str:
    """Names the page of a key."""
    return f"keys/{slot}.md"


def relative(target: str, page: str) -> str:
    """Gives an address relative to the page on which it stands.

    Args:
        target: Address from the site's root, such as `devices/walk-up.html#Eb`; a folder ends
            with a slash.
        page: Address of the page from the site's root.
    """
    path, mark, anchor = target.partition("#")
    here = posixpath.dirname(page)
    way = posixpath.relpath(path or ".", here or ".")
    if path.endswith("/"):
        way += "/"
    return way + mark + anchor


def resolve(href: str, page: str) -> str | None:
    """Gives the address from the site's root to which a relative link leads.

    Without anchor and without a final slash: to be compared with `posixpath.normpath`.

    Returns:
        None where the link leaves the site.
    """
    parts = urlsplit(href)
    if parts.scheme or parts.netloc or parts.path.startswith("/"):
        return None
    way = posixpath.join(posixpath.dirname(page), parts.path) if parts.path else page
    return posixpath.normpath(way)


def is_safe(href: str) -> bool:
    """Tells whether a link may stand on a page: within the site, `http`, `https`, `mailto`.

    So may an image that is written out in the page itself.

    Browsers skip control characters and spaces within a scheme, so they are left out first.
    """
    plain = "".join(c for c in href if c > " ")
    try:
        scheme = urlsplit(plain).scheme.lower()
    except ValueError:
        return False
    if plain.lower().startswith("data:image/"):
        return True
    return scheme in _SAFE_SCHEMES or (scheme == "" and ":" not in plain.split("/", maxsplit=1)[0])


@dataclass(frozen=True, slots=True)
class Address:
    """Where the pages of a site are, seen from one of them.

    Attributes:
        urls: Address from the site's root by source.
        page: Source of the page on which the links stand.
    """

    urls: Mapping[str, str]
    page: str

    def href(self, target: str) -> str:
        """Gives the relative address of a source or of another file, anchor included."""
        source, mark, anchor = target.partition("#")
        if mark and source in ("", self.page):
            return mark + anchor
        return relative(self.urls.get(source, source) + mark + anchor, self.urls[self.page])


@dataclass(frozen=True, slots=True)
class Link:
    """A mention that a template turns into a link.

    Attributes:
        text: What is read.
        target: Source of the page, with an anchor where wanted, or None: plain text.
    """

    text: str
    target: str | None = None


def called(entry: Entry) -> str:
    """Gives the title by which links name an entry: one of others says whose it is."""
    source = source_name(entry.slug)
    return f"{entry.title} ({source})" if source else entry.title


@dataclass(frozen=True, slots=True)
class Directory:
    """Who has a page, and what everybody is called.

    Attributes:
        published: The entries that have pages.
        titles: Titles by source, those of entries without a page among them.
    """

    published: frozenset[str]
    titles: Mapping[str, str]

    @classmethod
    def of(cls, glossary: Glossary, published: Glossary) -> Directory:
        """Lists the entries of a glossary, of which some are published."""
        return cls(
            frozenset(source_of_entry(entry) for entry in published.entries()),
            {source_of_entry(entry): called(entry) for entry in glossary.entries()},
        )

    def entry(self, kind: Kind, slug: str, anchor: str = "") -> Link:
        """Links an entry of the glossary."""
        source = source_of(kind, slug)
        mark = f"#{anchor}" if anchor else ""
        return Link(self.titles[source], source + mark if source in self.published else None)

    def ref(self, kind: Kind, ref: Ref, anchor: str = "") -> Link:
        """Links what an author has named; a name that nobody has stays as written."""
        return Link(ref.name) if ref.slug is None else self.entry(kind, ref.slug, anchor)


def genre_link(genre: str) -> Link:
    """Links a genre to its place on the page of genres."""
    return Link(genre, f"{GENRES}#{slug_of(genre)}")
