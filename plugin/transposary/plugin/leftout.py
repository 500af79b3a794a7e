"""What MkDocs leaves out of a build, since it stands as it would be made.

It is left out in the way in which MkDocs itself leaves files out: its inclusion says so. Templates
are told of it all the same. The search index, which is written from the pages that were made, gets
the entries of the others from the time before.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink
from mkdocs.utils.templates import TemplateContext

INDEX = Path("search") / "search_index.json"
"""Where the search index lies in a site."""

Docs = list[dict[str, object]]
"""Entries of the search index."""


@dataclass(slots=True)
class LeftOut:
    """A build of which something is left out, from the time at which it knows all pages."""

    pages: Sequence[File]
    included: Sequence[File]
    kept: Sequence[File]
    files: Files
    before: Mapping[str, Docs]

    @classmethod
    def of(
        cls,
        files: Files,
        kept: Sequence[File],
        before: Mapping[str, Docs],
        inclusion: Callable[[InclusionLevel], bool],
    ) -> LeftOut:
        """Leaves out some files.

        Args:
            files: All files.
            kept: Those that stand.
            before: Entries of the search index, by address of the page.
            inclusion: Tells what this build has.
        """
        pages, included = files.documentation_pages(inclusion=inclusion), files.documentation_pages()
        for file in kept:
            file.inclusion = InclusionLevel.EXCLUDED
        return cls(pages, included, kept, files, before)

    def with_pages(self, context: TemplateContext) -> TemplateContext:
        """Lists for a template all pages, and not only those that are made again."""
        context["pages"] = self.pages if context.get("page") else self.included
        return context

    def finish(self, config: MkDocsConfig) -> dict[str, Docs]:
        """Completes the search index, and looks whether the anchors are there that kept pages link.

        Returns:
            All entries of the index by page; none where there is no index.
        """
        for file in self.kept:
            if file.page is not None:
                file.page.validate_anchor_links(files=self.files, log_level=config.validation.links.anchors)
        kept = {file.page.url for file in self.kept if file.page is not None}
        urls = [file.page.url for file in self.pages if file.page is not None]
        return _complete(Path(config.site_dir) / INDEX, urls, kept, self.before)


def _complete(path: Path, urls: Sequence[str], kept: set[str], before: Mapping[str, Docs]) -> dict[str, Docs]:
    """Gives the search index the entries of kept pages, in the order of the pages."""
    if not path.is_file():
        return {}
    index = json.loads(path.read_text(encoding="utf-8"))
    found = by_page(index["docs"])
    found |= {url: before[url] for url in kept if url in before}
    if kept:
        index["docs"] = [doc for url in urls for doc in found.get(url, ())]
        path.write_text(json.dumps(index, separators=(",", ":")), encoding="utf-8")
    return found


def contested(files: Files, config: MkDocsConfig) -> frozenset[str]:
    """Gives the addresses at which several files would be written, of which the last one holds.

    Left out, a page would leave its address to the others.
    """
    counted = Counter(file.dest_uri for file in files if not file.inclusion.is_excluded())
    twice = {address for address, count in counted.items() if count > 1}
    return frozenset(twice | config.theme.static_templates)


def by_page(docs: Docs) -> dict[str, Docs]:
    """Sorts entries of the search index by the address of their page."""
    groups = groupby(docs, key=lambda doc: str(doc["location"]).partition("#")[0])
    return {url: list(found) for url, found in groups}


def shown(nav: Navigation | None) -> object:
    """Gives the navigation as every page shows it."""
    pages = nav.pages if nav is not None else []
    return str(nav), [(page.title, page.url, repr(page.meta)) for page in pages]


def made_from(file: File, drawn: Callable[[str], object]) -> object:
    """Gives what a page or another file is made from, to be compared."""
    page = file.page
    if page is not None:
        html = page.content or ""
        return head_of(file, page), html, tuple(_contents(page.toc)), drawn(html)
    if file.abs_src_path is None:
        return file.content_bytes
    found = Path(file.abs_src_path).stat()
    return file.abs_src_path, found.st_mtime_ns, found.st_size


def head_of(file: File, page: Page) -> object:
    """Gives what the theme asks of a page beside its content."""
    return page.title, repr(page.meta), page.url, page.canonical_url, page.edit_url, file.inclusion


def _contents(toc: Iterable[AnchorLink]) -> Iterator[tuple[int, str, str]]:
    for link in toc:
        yield link.level, link.title, link.url
        yield from _contents(link.children)
