"""Prose that is rendered once, as long as it says the same and its links lead to the same places."""

from __future__ import annotations

import logging
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import TableOfContents, get_toc


@dataclass(frozen=True, slots=True)
class Rendered:
    """Prose after Markdown, and what it was made from.

    Attributes:
        markdown: Its text; None where it is known to be the same.
        asked: What each file was that its links name, by name: an address, or nothing.
        content: The prose; None where nobody needs it.
        toc: Its headings.
        anchors: The places in it that can be linked to.
        links: The anchors that it links, with the links as written, by source of the page.
    """

    markdown: str | None
    asked: Mapping[str, str]
    content: str | None
    toc: TableOfContents
    anchors: frozenset[str]
    links: Mapping[str, Mapping[str, str]]

    @classmethod
    def unseen(
        cls, asked: Mapping[str, str], anchors: Iterable[str], links: Mapping[str, Mapping[str, str]]
    ) -> Rendered:
        """Gives prose of a page that stands: what others ask of it, without a text."""
        return cls(None, asked, None, get_toc([]), frozenset(anchors), links)


@dataclass(slots=True)
class Prose:
    """All prose that was rendered without a word of MkDocs, by source, while its options are the same."""

    told: str = ""
    heads: dict[str, tuple[str, str, dict[str, Any]]] = field(default_factory=dict)
    rendered: dict[str, Rendered] = field(default_factory=dict)

    def begin(self, config: MkDocsConfig) -> None:
        """Forgets what was rendered with other options."""
        told = repr((config.markdown_extensions, config.mdx_configs, config.validation))
        if told != self.told:
            self.told = told
            self.rendered.clear()


class PageAgain(Page):
    """A page that renders its prose once, however often MkDocs asks for it."""

    def __init__(self, file: File, config: MkDocsConfig, prose: Prose) -> None:
        super().__init__(None, file, config)
        self._prose = prose

    @property
    def unseen(self) -> bool:
        """Whether it has been left without its prose."""
        known = self._prose.rendered.get(self.file.src_uri)
        return known is not None and known.content is None

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
        known = self._prose.rendered.get(name)
        if known is not None and known.markdown in (None, text) and _lead_there(files, known.asked):
            self.content, self.toc = known.content or "", known.toc
            self.present_anchor_ids = set(known.anchors)
            linked = {files.get_file_from_path(source): dict(links) for source, links in known.links.items()}
            self.links_to_anchors = {file: links for file, links in linked.items() if file is not None}
            return
        self.render_anew(config, files)

    def render_anew(self, config: MkDocsConfig, files: Files) -> None:
        """Renders the prose."""
        name = self.file.src_uri
        self._prose.rendered.pop(name, None)
        counter, asked = _Counter(), _Asked(files)
        # Links are relative to where it is itself.
        asked.get_file_from_path(name)
        logger = logging.getLogger(Page.__module__)
        logger.addHandler(counter)
        try:
            super().render(config, asked)
        finally:
            logger.removeHandler(counter)
        # What was said of it is to be said again.
        if counter.records == 0:
            links = {file.src_uri: dict(links) for file, links in (self.links_to_anchors or {}).items()}
            anchors = frozenset(self.present_anchor_ids or ())
            self._prose.rendered[name] = Rendered(
                self.markdown or "", asked.found, self.content or "", self.toc, anchors, links
            )


class _Asked(Files):
    """Files that remember which of them were asked for."""

    def __init__(self, files: Files) -> None:
        super().__init__(())
        self._files_asked = files
        self.found: dict[str, str] = {}

    def get_file_from_path(self, path: str) -> File | None:
        """Gives a file, and writes down what it was."""
        file = self._files_asked.get_file_from_path(path)
        self.found[path] = _place(file)
        return file

    def __iter__(self) -> Iterator[File]:
        return iter(self._files_asked)


def _lead_there(files: Files, asked: Mapping[str, str]) -> bool:
    return all(_place(files.get_file_from_path(path)) == place for path, place in asked.items())


def _place(file: File | None) -> str:
    return "" if file is None else f"{file.src_uri} {file.url} {file.inclusion.name}"


class _Counter(logging.Handler):
    """Counts what is said."""

    def __init__(self) -> None:
        super().__init__()
        self.records = 0

    def emit(self, record: logging.LogRecord) -> None:  # noqa: ARG002  (a number is enough)
        self.records += 1
