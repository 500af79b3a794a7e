"""Mentions of entries in prose: found by name in the rendered HTML, and linked.

Concepts, devices and songs are found by title and alias, longest name first, once a page.
A name of several words and a term (the name of a concept) match however they are cased and
hyphenated; a song or device whose name is one word only matches as it is written, since
"Home" is a song and "home" is not.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from html import escape, unescape
from html.parser import HTMLParser

from transposary.glossary import Entry, Glossary, Kind, kind_of, matching_name, source_name
from transposary.site.links import Address, is_safe, resolve, source_of_entry
from transposary.site.markup import VOID

# Text in these is no running text, or is a link already.
_LEFT_ALONE = frozenset(
    {"a", "button", "code", "h1", "h2", "h3", "h4", "h5", "h6", "kbd", "math", "pre", "samp", "script"}
    | {"style", "svg", "template", "textarea"}
)
# A browser fetches these by itself; those of links only when the reader follows them.
_FETCHED = frozenset({"background", "data", "href", "poster", "src", "srcset", "xlink:href"})
_FOLLOWED = frozenset({"action", "formaction"})
_FOREIGN = re.compile(r"(?:^|[\s,])(?:https?:)?//", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Names:
    """The names by which entries are found.

    Attributes:
        pattern: Matches any name, or None where there is none.
        targets: Source of the page by folded name.
        exact: By folded name: how a name of one word is written, which counts only so.
    """

    pattern: re.Pattern[str] | None
    targets: Mapping[str, str]
    exact: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Linked:
    """Prose with its mentions linked.

    Attributes:
        html: The prose.
        mentioned: Sources that it mentions, in order, links of the author's own among them.
    """

    html: str
    mentioned: tuple[str, ...]


def collect_names(glossary: Glossary) -> Names:
    """Collects the names of all concepts, devices and songs that have a page.

    Where two entries share a name, the glossary's own wins; then the concept, then the device:
    the more general thing is meant.
    """
    targets: dict[str, str] = {}
    exact: dict[str, str] = {}
    spelled: list[str] = []
    entries: list[Entry] = [*glossary.concepts, *glossary.devices, *glossary.songs]
    entries.sort(key=lambda entry: bool(source_name(entry.slug)))
    for entry in entries:
        for name in (entry.title, *entry.aliases):
            folded = matching_name(name)
            if not folded or folded in targets:
                continue
            targets[folded] = source_of_entry(entry)
            spelled.append(name)
            if kind_of(entry) is not Kind.CONCEPT and len(_words(name)) == 1:
                exact[folded] = name.strip()
    if not spelled:
        return Names(None, targets, exact)
    ordered = sorted(spelled, key=lambda name: (-len(name), name))
    choices = "|".join(r"[\s-]+".join(re.escape(escape(w, quote=False)) for w in _words(n)) for n in ordered)
    return Names(re.compile(rf"(?<![\w&#])(?:{choices})(?!\w)", re.IGNORECASE), targets, exact)


def _words(name: str) -> list[str]:
    return re.split(r"[\s-]+", name.strip())


@dataclass(slots=True)
class _State:
    parts: list[str] = field(default_factory=list)
    text: list[str] = field(default_factory=list)
    mentioned: dict[str, None] = field(default_factory=dict)
    dropped: list[bool] = field(default_factory=list)
    alone: list[str] = field(default_factory=list)


class _Linker(HTMLParser):
    """Copies HTML as it stands, and links names on the way."""

    def __init__(self, names: Names, address: Address, places: Mapping[str, str | None]) -> None:
        super().__init__(convert_charrefs=False)
        self._names = names
        self._address = address
        self._places = places
        self._state = _State()

    def linked(self, html: str) -> Linked:
        self.feed(html)
        self.close()
        self._flush()
        return Linked("".join(self._state.parts), tuple(self._state.mentioned))

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        self._flush()
        raw = self.get_starttag_text() or ""
        if tag == "a":
            dropped = self._leads_nowhere(dict(attrs).get("href"))
            self._state.dropped.append(dropped)
            raw = "" if dropped else raw
        else:
            raw = _kept(tag, attrs, raw)
        if tag in _LEFT_ALONE and tag not in VOID:
            self._state.alone.append(tag)
        self._state.parts.append(raw)

    def handle_startendtag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        self._flush()
        self._state.parts.append(_kept(tag, attrs, self.get_starttag_text() or ""))

    def handle_endtag(self, tag: str) -> None:
        self._flush()
        if tag in self._state.alone:
            while self._state.alone.pop() != tag:
                pass
        if tag == "a" and self._state.dropped and self._state.dropped.pop():
            return
        self._state.parts.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        self._state.text.append(data)

    def handle_entityref(self, name: str) -> None:
        self._state.text.append(f"&{name};")

    def handle_charref(self, name: str) -> None:
        self._state.text.append(f"&#{name};")

    def handle_comment(self, data: str) -> None:
        self._flush()
        self._state.parts.append(f"<!--{data}-->")

    def handle_decl(self, decl: str) -> None:
        self._flush()
        self._state.parts.append(f"<!{decl}>")

    def handle_pi(self, data: str) -> None:
        self._flush()
        self._state.parts.append(f"<?{data}>")

    def _leads_nowhere(self, href: str | None) -> bool:
        """Notes what an author's own link mentions; true where it must not be a link."""
        if href is None:
            return False
        if not is_safe(href):
            return True
        where = resolve(href, self._address.urls[self._address.page])
        if where is None or where not in self._places:
            return False
        source = self._places[where]
        if source is None:
            return True
        if source != self._address.page:
            self._state.mentioned.setdefault(source)
        return False

    def _flush(self) -> None:
        text = "".join(self._state.text)
        self._state.text.clear()
        if text and not self._state.alone and self._names.pattern is not None:
            text = self._names.pattern.sub(self._link, text)
        self._state.parts.append(text)

    def _link(self, match: re.Match[str]) -> str:
        name = unescape(match[0])
        folded = matching_name(name)
        source = self._names.targets[folded]
        if source == self._address.page or source in self._state.mentioned:
            return match[0]
        if self._names.exact.get(folded, name) != name:
            return match[0]
        self._state.mentioned[source] = None
        href = escape(self._address.href(source))
        return f'<a class="tp-mention" href="{href}">{match[0]}</a>'


def _kept(tag: str, attrs: Sequence[tuple[str, str | None]], raw: str) -> str:
    """Gives an element as it may stand on a page: nothing is run, nothing is fetched from elsewhere.

    A picture of another host becomes a link to it, anything else loses its attributes.
    """
    given = {name: value or "" for name, value in attrs}
    unsafe = any(name in _FETCHED | _FOLLOWED and not is_safe(value) for name, value in given.items())
    foreign = any(name in _FETCHED and _FOREIGN.search(value) for name, value in given.items())
    source = given.get("src", "")
    if tag == "img" and foreign and is_safe(source):
        return f'<a href="{escape(source)}">{escape(given.get("alt") or source)}</a>'
    return f"<{tag}>" if unsafe or (foreign and tag != "area") else raw


def link_mentions(html: str, names: Names, address: Address, places: Mapping[str, str | None]) -> Linked:
    """Links the first mention of each entry in rendered prose.

    Links of the author's own count as mentions. A link that may not be followed (another
    scheme than http, https or mailto) or that leads to an entry without a page becomes plain
    text; a picture of another host becomes a link, since no page fetches anything from elsewhere.

    Args:
        html: The prose, as Markdown rendered it.
        names: The names to find.
        address: The page on which the prose stands.
        places: By address (from `resolve`): the source of an entry's page, or None where the
            entry is not published.
    """
    return _Linker(names, address, places).linked(html)


def places_of(
    urls: Mapping[str, str], published: Sequence[str], withheld: Sequence[str]
) -> dict[str, str | None]:
    """Tells which address belongs to which entry, for `link_mentions`."""
    places: dict[str, str | None] = {}
    places.update((posixpath.normpath(urls[source]), source) for source in published if source in urls)
    places.update((posixpath.normpath(urls[source]), None) for source in withheld if source in urls)
    return places
