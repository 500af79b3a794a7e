"""Composes pages: rendered prose, linked mentions and templates become the content of a page.

All prose is needed before the first page is composed, since a page says where it is mentioned.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import jinja2
from markupsafe import Markup, escape

from transposary.glossary import Glossary
from transposary.site.figures import GLYPHS, placeholder
from transposary.site.foreign import foreign_html
from transposary.site.links import HOME, Address, Link
from transposary.site.markup import outline
from transposary.site.mentions import Linked, collect_names, link_mentions, places_of
from transposary.site.page import Composed, Page
from transposary.site.text import other_spellings
from transposary.theory.parts import PARTS

# Longer ones may not fit a telephone.
_JOINED = re.compile(r"(?<![\w&#;-])(?=[\w–-]{1,20}(?![\w–-]))\w+(?:[–-]\w+)+")
# Where a template wants the page's words in their other spelling, for the search.
_SPELLINGS = Markup("<!--tp:spellings-->")


@dataclass(frozen=True, slots=True)
class Composition:
    """All pages of a site as they were composed, and what from.

    Attributes:
        pages: The contents by source, engravings still as placeholders.
        around: What links of every page depend on.
        read: The prose of each page before its mentions were linked, and after.
        shown: What each page was composed from.
    """

    pages: Mapping[str, Composed]
    around: object = None
    read: Mapping[str, tuple[object, Linked]] = field(default_factory=dict)
    shown: Mapping[str, object] = field(default_factory=dict)

    def again(
        self,
        pages: Mapping[str, Page],
        prose: Mapping[str, str],
        urls: Mapping[str, str],
        glossary: Glossary,
        withheld: Sequence[str],
    ) -> Composition:
        """Composes all pages of a site, but for those that would come out the same as these.

        Args:
            pages: The pages by source.
            prose: The rendered prose by source; a page without any may be missing.
            urls: Address from the site's root by source, of all pages of the site.
            glossary: What is published.
            withheld: Sources of entries that have no page.
        """
        names = collect_names(glossary)
        places = places_of(urls, tuple(pages), withheld)
        # A file that lies at its own name is linked in the same way whether or not it is listed.
        around = names, places, {source: url for source, url in urls.items() if source != url}
        before = self if around == self.around else Composition({})
        read: dict[str, tuple[object, Linked]] = {}
        for source, page in pages.items():
            told = prose.get(source, ""), page.foreign, page.credit
            old = before.read.get(source)
            if old is not None and old[0] == told:
                read[source] = old
            else:
                html = _html(page, prose, urls)
                read[source] = told, link_mentions(html, names, Address(urls, source), places)
        mentioned = _mentioned_in(pages, {source: linked for source, (_, linked) in read.items()})
        shown = {
            source: (page, read[source][1].html, mentioned.get(source, ())) for source, page in pages.items()
        }
        environment = _environment()
        composed = {
            source: before.pages[source]
            if before.shown.get(source) == parts
            else _composed(environment, *parts, Address(urls, source))
            for source, parts in shown.items()
        }
        return Composition(composed, around, read, shown)


def template(name: str) -> jinja2.Template:
    """Gives a template, for a file that is no page of the site."""
    return _environment().get_template(f"{name}.html.j2")


def _environment() -> jinja2.Environment:
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


def _html(page: Page, prose: Mapping[str, str], urls: Mapping[str, str]) -> str:
    if page.credit is None:
        return prose.get(page.source, "")
    return foreign_html(page.foreign, page.credit.name, Address(urls, page.source))


def _mentioned_in(pages: Mapping[str, Page], linked: Mapping[str, Linked]) -> dict[str, tuple[Link, ...]]:
    found: dict[str, tuple[Link, ...]] = {}
    for source, page in sorted(pages.items(), key=lambda one: (one[1].title.casefold(), one[0])):
        # The home page names what it leads to, and says nothing more about it.
        for target in linked[source].mentioned if source != HOME else ():
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
