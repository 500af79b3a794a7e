"""What `mkdocs serve` leaves standing from one build to the next.

At every edit MkDocs empties the folder of the site, renders all prose, and makes and writes all
pages and files again. Here the folder is put aside before MkDocs empties it, and put back. What is
the same in all that it was made from is then left out of what MkDocs makes, in the way in which
MkDocs itself leaves files out: its inclusion says so. The search index, which is written from the
pages that were made, gets the entries of the others from the time before.

Plugins that nobody here knows may make a page from anything. With one of them all is made again.
"""

from __future__ import annotations

import json
import logging
import shutil
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, TableOfContents
from mkdocs.utils import get_build_date
from mkdocs.utils.templates import TemplateContext

from transposary.plugin.filing import write_files
from transposary.site.filed import Filed, Filing

# Clearing a folder, MkDocs passes over names that begin with a point.
_ASIDE = ".before"
_INDEX = Path("search") / "search_index.json"
# These make a page, and its entries for the search, from the page and the configuration alone.
_KNOWN = ("transposary.", "material.plugins.search.", "material.plugins.offline.")
# Those of Python-Markdown make the same of the same text.
PURE = frozenset(
    {"abbr", "admonition", "attr_list", "codehilite", "def_list", "extra", "fenced_code", "footnotes"}
    | {"legacy_attrs", "legacy_em", "md_in_html", "meta", "nl2br", "sane_lists", "smarty", "tables", "toc"}
)
"""Extensions of Markdown that make a page from its text and their options alone."""

Docs = list[dict[str, object]]
"""Entries of the search index."""


@dataclass(frozen=True, slots=True)
class _Rendered:
    """Prose after Markdown, and what it was made from."""

    markdown: str
    places: frozenset[Hashable]
    content: str
    toc: TableOfContents
    anchors: frozenset[str]
    links: Mapping[str, dict[str, str]]


@dataclass(frozen=True, slots=True)
class _Standing:
    """What stands in the folder of the site after a build.

    Attributes:
        shared: What all pages depend on.
        made_from: What each page and file was made from, by its address.
        ours: The files that MkDocs does not know.
        found: Entries of the search index, by address of the page.
    """

    shared: object
    made_from: Mapping[str, object]
    ours: Filing
    found: Mapping[str, Docs]


@dataclass(slots=True)
class _Build:
    """A build from the time at which it knows all pages."""

    shared: object
    made_from: Mapping[str, object]
    ours: Filing
    pages: Sequence[File]
    included: Sequence[File]
    kept: Sequence[File]
    files: Files
    before: Mapping[str, Docs]


@dataclass(slots=True)
class _Prose:
    """All prose that was rendered, as long as Markdown is told the same."""

    told: str = ""
    places: frozenset[Hashable] = frozenset()
    heads: dict[str, tuple[str, str, dict[str, Any]]] = field(default_factory=dict)
    rendered: dict[str, _Rendered] = field(default_factory=dict)


class Serving:
    """Keeps what has not changed; one for all builds of a server.

    Args:
        active: Whether anything is kept; a build that is none of a server keeps nothing.
    """

    def __init__(self, *, active: bool) -> None:
        self._active = active
        self._standing: _Standing | None = None
        self._build: _Build | None = None
        self._nav: Navigation | None = None
        self._prose = _Prose()

    def put_aside(self, config: MkDocsConfig) -> None:
        """Saves the folder of the site from being emptied."""
        if not self._active:
            return
        root, aside = Path(config.site_dir), Path(config.site_dir) / _ASIDE
        if self._standing is None:
            shutil.rmtree(aside, ignore_errors=True)
        elif not aside.is_dir() and root.is_dir():
            _move(root, aside)

    def page(self, file: File, config: MkDocsConfig) -> None:
        """Gives a file a page whose prose is rendered only when it has changed."""
        apart = self._active and file.inclusion is InclusionLevel.NOT_IN_NAV
        if apart and is_known(config) and all(name in PURE for name in config.markdown_extensions):
            _PageAgain(file, config, self._prose)

    def navigation(self, nav: Navigation, files: Files, ours: Filing, config: MkDocsConfig) -> None:
        """Notes what all pages show, and where links in prose may lead."""
        if not self._active:
            return
        self._nav = nav
        places = {(file.src_uri, f"{file.url} {file.inclusion}") for file in files}
        self._prose.places = frozenset(places | ours.addresses)
        told = repr((config.markdown_extensions, config.mdx_configs, config.validation))
        if told != self._prose.told:
            self._prose.told = told
            self._prose.rendered.clear()

    def keep(self, files: Files, config: MkDocsConfig, ours: Filing, drawn: Callable[[str], object]) -> None:
        """Puts the folder back, and leaves out of this build what stands there as it would be made.

        Files that MkDocs does not know are written.

        Args:
            files: All files, with the contents of their pages.
            config: The configuration.
            ours: The files that MkDocs does not know.
            drawn: Tells what is put into a page after it is finished.
        """
        root = Path(config.site_dir)
        if not self._active:
            write_files(ours.items(), root)
            return
        known = is_known(config)
        shared = (_told(config), _shown(self._nav)) if known else ()
        served = [file for file in files if file.inclusion.is_in_serve()]
        made_from = {file.dest_uri: _made_from(file, drawn) for file in served} if known else {}
        pages = files.documentation_pages(inclusion=InclusionLevel.is_in_serve)
        included = files.documentation_pages()
        before, self._standing = self._standing, None
        aside = root / _ASIDE
        kept: list[File] = []
        fresh: Iterable[tuple[str, Filed]] = ours.items()
        if known and before is not None and before.shared == shared:
            _move(aside, root)
            for address in (*(before.made_from.keys() - made_from.keys()), *ours.gone(before.ours)):
                _remove(root, address)
            fresh = ours.since(before.ours)
            same = {one for one, parts in before.made_from.items() if made_from.get(one) == parts}
            kept = [file for file in served if file.dest_uri in same]
        shutil.rmtree(aside, ignore_errors=True)
        write_files(fresh, root)
        for file in kept:
            file.inclusion = InclusionLevel.EXCLUDED
        found = before.found if before is not None and kept else {}
        self._build = _Build(shared, made_from, ours, pages, included, kept, files, found)

    def with_pages(self, context: TemplateContext) -> TemplateContext:
        """Lists for a template all pages, and not only those that are made again."""
        if self._build is not None:
            context["pages"] = self._build.pages if context.get("page") else self._build.included
        return context

    def finish(self, config: MkDocsConfig) -> None:
        """Completes the search index, and looks whether the anchors are there that kept pages link."""
        build, self._build = self._build, None
        if build is None:
            return
        for file in build.kept:
            if file.page is not None:
                file.page.validate_anchor_links(files=build.files, log_level=config.validation.links.anchors)
        kept = {file.page.url for file in build.kept if file.page is not None}
        urls = [file.page.url for file in build.pages if file.page is not None]
        found = _complete(Path(config.site_dir) / _INDEX, urls, kept, build.before)
        standing = _Standing(build.shared, build.made_from, build.ours, found)
        self._standing = standing if build.made_from else None


class _PageAgain(Page):
    """A page that renders its prose once, however often MkDocs asks for it."""

    def __init__(self, file: File, config: MkDocsConfig, prose: _Prose) -> None:
        super().__init__(None, file, config)
        self._prose = prose

    def read_source(self, config: MkDocsConfig) -> None:
        """Reads the head of the same text once."""
        text, name = self.file.content_string, self.file.src_uri
        known = self._prose.heads.get(name)
        if known is not None and known[0] == text:
            self.markdown, self.meta = known[1], dict(known[2])
            return
        super().read_source(config)
        self._prose.heads[name] = text, self.markdown or "", dict(self.meta)

    def render(self, config: MkDocsConfig, files: Files) -> None:
        """Takes the prose as it was rendered before, if its links would lead to the same places."""
        text, name = self.markdown or "", self.file.src_uri
        # Without these there is no link and no image.
        places = self._prose.places if set(text) & set("[<") else frozenset()
        known = self._prose.rendered.get(name)
        if known is not None and (known.markdown, known.places) == (text, places):
            self.content, self.toc = known.content, known.toc
            self.present_anchor_ids = set(known.anchors)
            linked = {files.get_file_from_path(source): dict(links) for source, links in known.links.items()}
            self.links_to_anchors = {file: links for file, links in linked.items() if file is not None}
            return
        self._prose.rendered.pop(name, None)
        counter = _Counter()
        logger = logging.getLogger(Page.__module__)
        logger.addHandler(counter)
        try:
            super().render(config, files)
        finally:
            logger.removeHandler(counter)
        # What was said of it is to be said again.
        if counter.records == 0:
            links = {file.src_uri: dict(links) for file, links in (self.links_to_anchors or {}).items()}
            anchors = frozenset(self.present_anchor_ids or ())
            self._prose.rendered[name] = _Rendered(text, places, self.content or "", self.toc, anchors, links)


class _Counter(logging.Handler):
    """Counts what is said."""

    def __init__(self) -> None:
        super().__init__()
        self.records = 0

    def emit(self, record: logging.LogRecord) -> None:  # noqa: ARG002  (a number is enough)
        self.records += 1


def is_known(config: MkDocsConfig) -> bool:
    """Tells whether everything that takes part in making a page is known here."""
    modules = [type(plugin).__module__ for plugin in config.plugins.values()]
    return not config.hooks and all(module.startswith(_KNOWN) for module in modules)


def _told(config: MkDocsConfig) -> object:
    """Gives what the author told MkDocs, the day, and the author's own templates."""
    own = Path(config.theme.custom_dir) if config.theme.custom_dir else None
    stamps = [
        (str(path), path.stat().st_mtime_ns, path.stat().st_size)
        for path in sorted(own.rglob("*") if own else ())
        if path.is_file()
    ]
    plugins = [(name, repr(plugin.config)) for name, plugin in config.plugins.items()]
    said = {name: repr(value) for name, value in config.items() if name != "plugins"}
    return said, plugins, get_build_date(), stamps


def _shown(nav: Navigation | None) -> object:
    """Gives the navigation as every page shows it."""
    pages = nav.pages if nav is not None else []
    return str(nav), [(page.title, page.url, repr(page.meta)) for page in pages]


def _made_from(file: File, drawn: Callable[[str], object]) -> object:
    """Gives what a page or another file is made from, to be compared."""
    page = file.page
    if page is not None:
        html = page.content or ""
        head = (page.title, repr(page.meta), page.url, page.canonical_url, page.edit_url, file.inclusion)
        return head, html, tuple(_contents(page.toc)), drawn(html)
    if file.abs_src_path is None:
        return file.content_bytes
    found = Path(file.abs_src_path).stat()
    return file.abs_src_path, found.st_mtime_ns, found.st_size


def _contents(toc: Iterable[AnchorLink]) -> Iterator[tuple[int, str, str]]:
    for link in toc:
        yield link.level, link.title, link.url
        yield from _contents(link.children)


def _complete(path: Path, urls: Sequence[str], kept: set[str], before: Mapping[str, Docs]) -> dict[str, Docs]:
    """Gives the search index the entries of kept pages, in the order of the pages.

    Returns:
        All its entries by page; none where there is no index.
    """
    if not path.is_file():
        return {}
    index = json.loads(path.read_text(encoding="utf-8"))
    groups = groupby(index["docs"], key=lambda doc: str(doc["location"]).partition("#")[0])
    found = {url: list(docs) for url, docs in groups}
    found |= {url: before[url] for url in kept if url in before}
    if kept:
        index["docs"] = [doc for url in urls for doc in found.get(url, ())]
        path.write_text(json.dumps(index, separators=(",", ":")), encoding="utf-8")
    return found


def _move(source: Path, target: Path) -> None:
    """Moves what lies in a folder, but for names that begin with a point."""
    target.mkdir(exist_ok=True)
    for path in sorted(source.iterdir()):
        if not path.name.startswith("."):
            path.rename(target / path.name)


def _remove(root: Path, address: str) -> None:
    """Takes away a file, and the folders that it leaves empty."""
    path = root / address
    path.unlink(missing_ok=True)
    for folder in path.parents:
        if folder == root or any(folder.iterdir()):
            return
        folder.rmdir()
