"""Old addresses of entries that have been renamed.

An alias that is written as a file name is one: whoever kept a link to it is sent on.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping

from markupsafe import Markup

from transposary.glossary import Glossary, kind_of, source_name
from transposary.site.links import source_of, source_of_entry
from transposary.site.page import Page
from transposary.site.policy import SITE_SCRIPTS, policy_tag

_FILE_NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_PAGE = Markup(
    '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n{policy}\n<title>{title}</title>\n'
    # Without an icon of its own a browser asks for one at the root of the host.
    '<link rel="icon" href="data:,">\n<link rel="canonical" href="{href}">\n'
    # The script carries the key on that an address may name; the refresh of a page would lose it.
    '<script src="{script}" data-to="{href}"></script>\n'
    '<noscript><meta http-equiv="refresh" content="0; url={href}"></noscript>\n'
    '</head>\n<body>\n<p>This page is now <a href="{href}">{title}</a>.</p>\n</body>\n</html>\n'
)


def moved(glossary: Glossary, pages: Mapping[str, Page], withheld: Collection[str]) -> dict[str, Page]:
    """Tells which pages had another name, by that name; names that somebody has now are left out."""
    return {
        old: pages[source_of_entry(entry)]
        for entry in glossary.entries()
        for alias in entry.aliases
        if _FILE_NAME.fullmatch(alias)
        for old in [source_of(kind_of(entry), _beside(entry.slug, alias))]
        if old not in pages and old not in withheld
    }


def _beside(slug: str, alias: str) -> str:
    """Gives the slug that an entry had under another name: an imported one stays with its source."""
    source = source_name(slug)
    return f"{source}/{alias}" if source else alias


def moved_page(title: str, href: str, script: str) -> str:
    """Writes the page at an old address, which sends the reader on.

    Args:
        title: Title of the page.
        href: Its address, from the old one.
        script: The address of `moved.js` from there.
    """
    # A tag of ours, which is HTML.
    policy = Markup(policy_tag(SITE_SCRIPTS))  # noqa: S704
    return _PAGE.format(policy=policy, title=title, href=href, script=script)
