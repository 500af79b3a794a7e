"""Pages of the old site that a build takes over, since it would make them again byte by byte.

After a build that wrote a whole site, a note is kept in the cache, under a name made from all besides
the entries that the site depends on (`known.py`). It says of each page: a digest of what it was made
from, when and how large its file was written, and what other pages ask of it. A build links the file
of a page that would be made from the same into its own folder. A page that anybody has touched since,
or of which MkDocs had something to say, is made again.

Whether the page of a device stands is tried twice. Before any page is made, a digest tells it
(`site/digests.py`), and such a page is neither set, rendered nor composed. Where it is mentioned, and
what the navigation shows, is known only when the prose of all others is rendered: a page that shows
something else there is made late. Other pages are rendered, and composed only where they would show
something else. Files beside the pages (`site/filed.py`) are taken over where they are made from the
same.

A cache may come from a stranger. Nothing of the note reaches a page but names of pages that exist,
and nothing a terminal but what can be printed. The old site is trusted as it lies, as it is by whoever
publishes it: do not keep a stranger's together with a stranger's cache.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from transposary.build import Site
from transposary.cache import Cache, key_of
from transposary.engraving.kept import UNSOUND, packed, require, unpacked
from transposary.plugin.filing import SmallPage, write_files
from transposary.plugin.leftout import INDEX, Docs, LeftOut, by_page, contested, head_of, made_from, shown
from transposary.plugin.oldsite import OldSite, Stamp, stamp_of, stamps_of
from transposary.plugin.prose import PageAgain, Prose, Rendered
from transposary.site.compose import Linking
from transposary.site.figures import placeholders
from transposary.site.filed import Filing, addresses_in
from transposary.site.links import HOME, Link
from transposary.site.prints import Prints

_NEVER: Stamp = (-1, -1)


@dataclass(frozen=True, slots=True)
class _Stand:
    """A page of a site.

    Attributes:
        digest: What it was made from; for the page of a device, all but where it is mentioned.
        around: A digest of where it is mentioned.
        address: Where its file lies.
        stamp: The file.
        mentions: The sources that its prose mentions.
        rendered: What else others ask of it.
    """

    digest: str
    around: str
    address: str
    stamp: Stamp
    mentions: tuple[str, ...]
    rendered: Rendered


class _SmallPageAgain(SmallPage, PageAgain):
    """A page that renders its prose once, and whose content takes little room."""


class Standing:
    """The pages of the old site; one for each build.

    Args:
        cache: Where the note is.
        site: The old site, and the folder of the new one.
        around: A digest of all besides the entries that the site depends on.
    """

    def __init__(self, cache: Cache, site: OldSite, around: str) -> None:
        self._cache, self._site = cache, site
        self._key = key_of("pages", str(site.old), around)
        self._old = _read(cache.get(self._key), site.old)
        self._digests: Mapping[str, str] = {}
        self._prose = Prose()
        self._nav: Navigation | None = None
        self._showing = ""
        self._contested: frozenset[str] = frozenset()
        self._standing: frozenset[str] = frozenset()
        self._others: dict[str, str] = {}
        self._around: Mapping[str, str] = {}
        self._mentions: Mapping[str, tuple[str, ...]] = {}
        self._made: dict[str, _Stand] = {}
        self._ours = Filing({}, {})
        self._stamps: dict[str, str] = {}
        self._packed = b""

    def stands(self, digests: Mapping[str, str]) -> frozenset[str]:
        """Tells which pages of devices stand, as far as that is known before any page is made.

        Args:
            digests: What they are made from, by source.
        """
        self._digests = digests
        found = frozenset(
            source
            for source, digest in digests.items()
            if (known := self._old.pages.get(source)) is not None
            and known.digest == digest
            and stamp_of(self._site.old / known.address) == known.stamp
        )
        self._prose.rendered.update((source, self._old.pages[source].rendered) for source in found)
        return found

    def page(self, file: File, config: MkDocsConfig) -> None:
        """Gives a file a page whose prose is rendered only when somebody needs it."""
        _SmallPageAgain(file, config, self._prose)

    def navigation(self, nav: Navigation) -> None:
        """Notes what all pages show."""
        self._nav = nav

    def settle(
        self, site: Site, files: Files, config: MkDocsConfig, urls: Mapping[str, str]
    ) -> tuple[Site, Linking, Mapping[str, tuple[Link, ...]]]:
        """Makes those pages late that do not stand after all.

        Args:
            site: The site, of which some pages are taken to stand.
            files: All files, with the prose of their pages.
            config: The configuration.
            urls: Address from the site's root by source.

        Returns:
            The site, the prose of all pages that are to be composed, and where each page is mentioned.
        """
        self._showing = _digest(shown(self._nav))
        self._contested = contested(files, config)
        pages = {file.src_uri: file.page for file in files if file.page is not None}
        prose = {s: pages[s].content or "" for s in site.pages if s in pages and s not in site.standing}
        linking = Linking()
        while True:
            linking = site.link(prose, urls, linking)
            unseen = {source: self._old.pages[source].mentions for source in site.standing}
            mentioned = site.mentioned_in({**linking.mentions, **unseen})
            stay = {one for one in site.standing if self._stays(pages[one], mentioned.get(one, ()))}
            late = sorted(site.standing - stay)
            if not late:
                break
            site = site.with_pages(late)
            for source in late:
                page = pages[source]
                self._site.leave(page.file.dest_uri)
                if isinstance(page, PageAgain) and page.unseen:
                    page.render_anew(config, files)
                prose[source] = page.content or ""
        self._around = {source: _digest(mentioned.get(source, ())) for source in self._digests}
        self._mentions = linking.mentions
        self._standing = site.standing | self._alike(site, pages, linking, mentioned)
        left = {source: read for source, read in linking.read.items() if source not in self._standing}
        return site, replace(linking, read=left), mentioned

    def _alike(
        self,
        site: Site,
        pages: Mapping[str, Page],
        linking: Linking,
        mentioned: Mapping[str, tuple[Link, ...]],
    ) -> frozenset[str]:
        """Finds the other pages that would show the same."""
        urls = _digest(sorted(linking.places.elsewhere.items() if linking.places else ()))
        for source, (_, linked) in linking.read.items():
            if source not in self._digests:
                head = head_of(pages[source].file, pages[source])
                parts = (head, site.pages[source], linked.html, mentioned.get(source, ()))
                self._others[source] = key_of(urls, *map(repr, parts))
        found = [
            source
            for source, digest in self._others.items()
            # Of the file that is made of all pages its packed form says when the newest was made.
            if source != HOME
            and (known := self._old.pages.get(source)) is not None
            and known.digest == digest
            and self._take(known, pages[source].file)
        ]
        for source in found:
            pages[source].present_anchor_ids = set(self._old.pages[source].rendered.anchors)
        return frozenset(found)

    def keep(self, files: Files, ours: Filing, prints: Prints) -> LeftOut:
        """Leaves out of this build the pages that stand.

        Files that MkDocs does not know are taken over, or written.

        Args:
            files: All files, with the contents of their pages.
            ours: The files that MkDocs does not know.
            prints: What is put into finished pages.
        """
        write_files(ours.since(self._take_files(ours)), self._site.fresh)
        self._ours = ours
        kept = []
        for file in files.documentation_pages():
            source = file.src_uri
            known = self._old.pages.get(source)
            if source in self._standing and known is not None:
                self._made[source] = known
                kept.append(file)
            elif source in self._digests:
                self._note_device(file, prints)
            elif source != HOME:
                made = self._made[source] = self._noted(file, prints)
                if known is not None and known.digest == made.digest and self._take(known, file):
                    kept.append(file)
        return LeftOut.of(files, kept, self._old.docs, InclusionLevel.is_included)

    def _noted(self, file: File, prints: Prints) -> _Stand:
        """Notes a page that is no device's: by what it shows, or by its content."""
        page, digest = file.page, self._others.get(file.src_uri)
        if digest is None or page is None or placeholders(page.content or ""):
            digest = _digest(made_from(file, prints.origins))
        anchors = sorted(page.present_anchor_ids or ()) if page is not None else ()
        return _Stand(digest, "", file.dest_uri, _NEVER, (), Rendered.unseen({}, anchors, {}))

    def _note_device(self, file: File, prints: Prints) -> None:
        """Notes the page of a device that was made, if nothing is to be tried or said again."""
        source, page = file.src_uri, file.page
        rendered = self._prose.rendered.get(source)
        if page is None or rendered is None or not all(map(_can_be_printed, rendered.links.values())):
            return
        if any(prints.made[slug].failed for slug, _ in placeholders(page.content or "")):
            return
        anchors = tuple(sorted(page.present_anchor_ids or ()))
        self._made[source] = _Stand(
            self._digests[source],
            self._around[source],
            file.dest_uri,
            _NEVER,
            self._mentions[source],
            Rendered.unseen(rendered.asked, anchors, rendered.links),
        )

    def note(self) -> None:
        """Writes down what stands now."""
        fresh = self._site.fresh
        pages = {
            source: [one.digest, one.around, one.address, stamp, one.mentions, *_asked(one.rendered)]
            for source, one in self._made.items()
            if (stamp := stamp_of(fresh / one.address)) is not None and one.stamp in (_NEVER, stamp)
        }
        bundles = {
            folder: [one.origin, self._stamps.get(folder) or stamps_of(fresh, addresses_in(folder, one))]
            for folder, one in self._ours.bundles.items()
        }
        single = {
            address: [one.origin, stamp]
            for address, one in self._ours.single.items()
            if (stamp := stamp_of(fresh / address)) is not None
        }
        self._packed = packed([self._showing, stamp_of(fresh / INDEX), pages, bundles, single])

    def put(self) -> None:
        """Keeps the note of a site that is in its place."""
        self._cache.put(self._key, self._packed)

    def _stays(self, page: Page, mentioned: tuple[Link, ...]) -> bool:
        """Tells whether the page of a device stands, and takes its file over."""
        known = self._old.pages[page.file.src_uri]
        unseen = isinstance(page, PageAgain) and page.unseen
        return unseen and known.around == _digest(mentioned) and self._take(known, page.file)

    def _take(self, known: _Stand, file: File) -> bool:
        """Takes the file of a page over, if it would show the same."""
        same = self._old.showing == self._showing and known.address == file.dest_uri
        return same and known.address not in self._contested and self._site.take(known.address, known.stamp)

    def _take_files(self, ours: Filing) -> Filing:
        """Takes files over that would be made from the same, and tells which."""
        bundles, single = {}, {}
        for folder, bundle in ours.bundles.items():
            origin, stamps = self._old.bundles.get(folder, ("", ""))
            if origin == bundle.origin and self._site.take_all(addresses_in(folder, bundle), stamps):
                bundles[folder] = bundle
                self._stamps[folder] = stamps
        for address, one in ours.single.items():
            origin, stamp = self._old.single.get(address, ("", _NEVER))
            if origin == one.origin and self._site.take(address, stamp):
                single[address] = one
        return Filing(bundles, single)


def _digest(value: object) -> str:
    return key_of(repr(value))


@dataclass(frozen=True, slots=True)
class _Note:
    """What a note says of the old site.

    Attributes:
        showing: A digest of what every page shows.
        docs: Its search index.
        pages: The pages by source.
        bundles: By folder: what its files were made from, and a digest of the files.
        single: The same of other files, by address.
    """

    showing: str = ""
    docs: Mapping[str, Docs] = field(default_factory=dict)
    pages: Mapping[str, _Stand] = field(default_factory=dict)
    bundles: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    single: Mapping[str, tuple[str, Stamp]] = field(default_factory=dict)


def _read(data: bytes | None, site: Path) -> _Note:
    """Reads a note of a site; an empty one where it is not what we write."""
    if data is None:
        return _Note()
    try:
        showing, index, pages, bundles, single = unpacked(data)
        return _Note(
            showing,
            _docs(site / INDEX, index),
            {source: _stand(one) for source, one in pages.items()},
            {folder: (origin, stamps) for folder, (origin, stamps) in bundles.items()},
            {address: (origin, (size, time)) for address, (origin, (size, time)) in single.items()},
        )
    except (*UNSOUND, OSError):
        return _Note()


def _docs(path: Path, stamp: Any) -> Mapping[str, Docs]:  # noqa: ANN401  (whatever a stranger wrote)
    """Reads the search index, if nobody has touched it."""
    if stamp is None:
        return {}
    require(stamp_of(path) == tuple(stamp))
    return by_page(json.loads(path.read_text(encoding="utf-8"))["docs"])


def _asked(rendered: Rendered) -> tuple[object, ...]:
    return rendered.asked, sorted(rendered.anchors), rendered.links


def _stand(record: Any) -> _Stand:  # noqa: ANN401  (whatever a stranger wrote)
    """Reads what a note says of a page; raises one of `UNSOUND` where it is not what we write."""
    digest, around, address, (size, time), mentions, asked, anchors, links = record
    said = (digest, around, address, *mentions, *asked, *asked.values(), *anchors, *links)
    require(all(isinstance(one, str) for one in said) and type(size) is type(time) is int)
    require(all(map(_can_be_printed, links.values())))
    rendered = Rendered.unseen(asked, anchors, links)
    return _Stand(digest, around, address, (size, time), tuple(mentions), rendered)


def _can_be_printed(links: Mapping[str, str]) -> bool:
    """Tells whether links do nothing in a terminal, where they are named when they lead nowhere."""
    return all(one.isprintable() for pair in links.items() for one in pair)
