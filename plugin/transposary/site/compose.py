"""Composes pages: rendered prose, linked mentions and templates become the content of a page.

All prose is needed before the first page is composed, since a page says where it is mentioned.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

import jinja2
from markupsafe import Markup, escape

from transposary.glossary import Glossary
from transposary.site.figures import GLYPHS, placeholder
from transposary.site.foreign import foreign_html
from transposary.site.links import HOME, Address, Link
from transposary.site.markup import outline
from transposary.site.mentions import Linked, Names, collect_names, link_mentions, places_of
from transposary.site.page import Composed, Page
from transposary.site.text import other_spellings
from transposary.theory.parts import PARTS

# Longer ones may not fit a telephone.
_JOINED = re.compile(r"(?<![\w&#;-])(?=[\w–-]{1,20}(?![\w–-]))\w+(?:[–-]\w+)+")
# Where a template wants the page's words in their other spelling, for the search.
_SPELLINGS = Markup("<!--tp:spellings-->")


@dataclass(frozen=True, slots=True)
class Places:
    """What links of every page depend on.

    Attributes:
        names: The names by which entries are found.
        entries: Which entry an address belongs to.
        elsewhere: Address from the site's root by source, where it is another name.
        urls: The same of all sources. What lies at its own name is linked in the same way whether or
            not it is listed, and so is not compared.
    """

    names: Names
    entries: Mapping[str, str | None]
    elsewhere: Mapping[str, str]
    urls: Mapping[str, str] = field(compare=False)

    @classmethod
    def of(
        cls, glossary: Glossary, published: Sequence[str], withheld: Sequence[str], urls: Mapping[str, str]
    ) -> Places:
        """Lists the places of a site.

        Args:
            glossary: What is published.
            published: Sources of the pages.
            withheld: Sources of entries that have no page.
            urls: Address from the site's root by source, of all pages of the site.
        """
        elsewhere = {source: url for source, url in urls.items() if source != url}
        return cls(collect_names(glossary), places_of(urls, published, withheld), elsewhere, urls)

    def seen_from(self, source: str) -> Address:
        """Gives where all is, seen from a page."""
        return Address(self.urls, source)


@dataclass(frozen=True, slots=True)
class Linking:
    """The prose of pages with its mentions linked.

    Attributes:
        places: Where its links may lead.
        read: The prose of each page before its mentions were linked, and after.
    """

    places: Places | None = None
    read: Mapping[str, tuple[object, Linked]] = field(default_factory=dict)

    def again(self, pages: Iterable[Page], prose: Mapping[str, str], places: Places) -> Linking:
        """Links the mentions of pages, but for prose that is linked here already.

        Args:
            pages: The pages.
            prose: The rendered prose by source; a page without any may be missing.
            places: Where its links may lead.
        """
        known = self.read if places == self.places else {}
        read: dict[str, tuple[object, Linked]] = {}
        for page in pages:
            source = page.source
            told = prose.get(source, ""), page.foreign, page.credit
            old = known.get(source)
            if old is not None and old[0] == told:
                read[source] = old
            else:
                address = places.seen_from(source)
                html = _html(page, prose, address)
                read[source] = told, link_mentions(html, places.names, address, places.entries)
        return Linking(places, read)

    @property
    def mentions(self) -> Mapping[str, tuple[str, ...]]:
        """The sources that each prose mentions."""
        return {source: linked.mentioned for source, (_, linked) in self.read.items()}


_UNLINKED = Linking()


@dataclass(frozen=True, slots=True)
class Composition:
    """Pages of a site as they were composed, and what from.

    Attributes:
        pages: The contents by source, engravings still as placeholders.
        linking: Their prose.
        shown: What each page was composed from.
    """

    pages: Mapping[str, Composed]
    linking: Linking = _UNLINKED
    shown: Mapping[str, object] = field(default_factory=dict)

    def again(
        self,
        pages: Mapping[str, Page],
        linking: Linking,
        mentioned: Mapping[str, tuple[Link, ...]],
    ) -> Composition:
        """Composes the pages whose prose is linked, but for those that would come out the same as these.

        Args:
            pages: The pages by source.
            linking: The prose.
            mentioned: Where each page is mentioned, by source.
        """
        places = linking.places
        if places is None:
            return Composition({})
        before = self if places == self.linking.places else Composition({})
        shown = {
            source: (pages[source], linked.html, mentioned.get(source, ()))
            for source, (_, linked) in linking.read.items()
        }
        environment = _environment()
        composed = {
            source: before.pages[source]
            if before.shown.get(source) == parts
            else _composed(environment, *parts, places.seen_from(source))
            for source, parts in shown.items()
        }
        return Composition(composed, linking, shown)


def compose_once(
    pages: Mapping[str, Page], linking: Linking, mentioned: Mapping[str, tuple[Link, ...]]
) -> Iterator[tuple[str, Composed]]:
    """Composes the pages whose prose is linked, as `Composition.again` does, one after another.

    What a page was made from is let go of when it is composed.
    """
    if linking.places is None:
        return
    places, read, left = linking.places, dict(linking.read), dict(pages)
    del pages, linking
    environment = _environment()
    for source in tuple(read):
        html = read.pop(source)[1].html
        found = mentioned.get(source, ())
        yield source, _composed(environment, left.pop(source), html, found, places.seen_from(source))


def template(name: str) -> jinja2.Template:
    """Gives a template, for a file that is no page of the site."""
    return _environment().get_template(f"{name}.html.j2")


@cache
def _environment() -> jinja2.Environment:
    """Compiles templates once a process: a server composes at every edit."""
    environment = jinja2.Environment(
        loader=jinja2.PackageLoader("transposary.site", "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        auto_reload=False,
    )
    environment.filters["whole"] = _whole
    return environment


def _whole(text: str) -> Markup:
    """Keeps words like `back-door` on one line; the text itself stays as it is written and searched."""
    return Markup(_JOINED.sub(r'<span class="tp-whole">\g<0></span>', str(escape(text))))  # noqa: S704  (escaped here)


def _html(page: Page, prose: Mapping[str, str], address: Address) -> str:
    if page.credit is None:
        return prose.get(page.source, "")
    return foreign_html(page.foreign, page.credit.name, address)


def mentioned_in(
    pages: Mapping[str, Page], mentions: Mapping[str, Sequence[str]]
) -> dict[str, tuple[Link, ...]]:
    """Lists by source where a page is mentioned.

    Args:
        pages: The pages by source.
        mentions: The sources that the prose of each page mentions.
    """
    found: dict[str, tuple[Link, ...]] = {}
    for source, page in sorted(pages.items(), key=lambda one: (one[1].title.casefold(), one[0])):
        # The home page names what it leads to, and says nothing more about it.
        for target in mentions[source] if source != HOME else ():
            found[target] = (*found.get(target, ()), Link(page.title, source))
    return found


def _composed(
    environment: jinja2.Environment, page: Page, prose: str, mentioned_in: tuple[Link, ...], address: Address
) -> Composed:
    html = environment.get_template(f"{page.template}.html.j2").render(
        page=page,
        view=page.view,
        # What Markdown rendered is HTML already; the rest is escaped by the templates.
        prose=Markup(prose),  # noqa: S704  (the one text that is HTML on purpose)
        show_title="<h1" not in prose,
        mentioned_in=mentioned_in,
        href=address.href,
        engraving=placeholder,
        glyphs=GLYPHS,
        spellings=lambda: _SPELLINGS,
        parts=PARTS,
    )
    found = outline(html)
    words = " ".join(other_spellings(found.text))
    also = Markup('<p class="tp-find" hidden>{}</p>').format(words) if words else ""
    return Composed(html.replace(_SPELLINGS, also), found.headings, found.anchors)
