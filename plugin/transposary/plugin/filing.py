"""The files of a site as MkDocs is to see them."""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Iterator
from pathlib import Path, PurePath

from mkdocs.config.config_options import ExtraScriptValue
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel, set_exclusions
from mkdocs.structure.pages import Page

from transposary.build import Site
from transposary.glossary import Kind
from transposary.practice import RECORD
from transposary.problems import Problem
from transposary.site.feed import FEED, Publisher, feed
from transposary.site.filed import Filed, Filing
from transposary.site.linked import check_links_out, links_out
from transposary.site.links import relative
from transposary.site.moved import moved_page
from transposary.site.static import MOVED, assets, wanted

ASSETS = "assets/transposary"
"""Where our style sheets and scripts lie in a site."""


class SiteFiles(Files):
    """All files of MkDocs; it can link to those that we write, and neither lists nor writes them.

    There are a hundred a device. MkDocs would hold them all, and write all of them at each edit.

    Args:
        files: Those of MkDocs, in whose place ours come where they have the same address.
        ours: Those that we write.
        config: The configuration.
    """

    def __init__(self, files: Iterable[File], ours: Filing, config: MkDocsConfig) -> None:
        super().__init__(file for file in files if file.src_uri not in ours)
        self._ours = ours
        self._config = config
        self._linked: dict[str, File] = {}

    def get_file_from_path(self, path: str) -> File | None:
        """Gives a file by its address; one of ours is made for whoever asks."""
        address = PurePath(path).as_posix()
        known = super().get_file_from_path(path) or self._linked.get(address)
        if known is None and address in self._ours:
            content = self._ours[address].read()
            known = self._linked[address] = File.generated(self._config, address, content=content)
            set_exclusions([known], self._config)
        return known

    def __contains__(self, path: str) -> bool:
        return super().__contains__(path) or PurePath(path).as_posix() in self._ours


class SmallPage(Page):
    """A page whose content takes little room until it is written: all are composed before the first is."""

    _packed: bytes | None = None

    @property
    def content(self) -> str | None:
        """The content, once it is rendered."""
        return None if self._packed is None else zlib.decompress(self._packed).decode()

    @content.setter
    def content(self, content: str | None) -> None:
        self._packed = None if content is None else zlib.compress(content.encode(), 1)


def files_to_write(site: Site, config: MkDocsConfig, *, serving: bool) -> Filing:
    """Gives the files of a site that we write: all but those that the author leaves out of it."""
    patterns = [one for one in (config.exclude_docs, None if serving else config.draft_docs) if one]
    if not patterns:
        return site.files
    return site.files.where(lambda address: not any(one.match_file(address) for one in patterns))


def write_files(files: Iterable[tuple[str, Filed]], root: Path) -> None:
    """Writes files into the site, one after another."""
    folders: set[Path] = set()
    for address, filed in files:
        path = root / address
        if path.parent not in folders:
            path.parent.mkdir(parents=True, exist_ok=True)
            folders.add(path.parent)
        path.write_bytes(filed.read())


def leave_out(files: Files, site: Site) -> None:
    """Takes out what stands among the entries and cannot be one: MkDocs would print its YAML.

    So does the author's record of practice, which is nobody else's.
    """
    for file in tuple(files):
        among = file.src_uri.partition("/")[0] in tuple(Kind) and file.is_documentation_page()
        known = file.src_uri in site.pages or file.src_uri in site.withheld
        lost = among and not known and file.name.lower() not in ("index", "readme")
        if lost or file.src_uri == RECORD:
            files.remove(file)


def leave_out_linked(files: Files, site: Site, docs_dir: str) -> tuple[Problem, ...]:
    """Takes out what MkDocs would copy from elsewhere; gives what is wrong with it."""
    own = (one.src_uri for one in files if one.src_dir == docs_dir and one.inclusion.is_included())
    found = links_out(Path(docs_dir), tuple(own))
    for source in found:
        files.remove(files.src_uris[source])
    return check_links_out(Path(docs_dir), found.values(), site.problems)


def put(
    files: Files,
    config: MkDocsConfig,
    source: str,
    content: bytes,
    inclusion: InclusionLevel = InclusionLevel.UNDEFINED,
) -> File:
    """Adds a generated file, in place of one of that name."""
    written = files.get_file_from_path(source)
    if written is not None:
        files.remove(written)
    file = File.generated(config, source, content=content, inclusion=inclusion)
    files.append(file)
    return file


def put_others(files: Files, config: MkDocsConfig, site: Site) -> None:
    """Adds what a site has besides its pages: style sheets and scripts, pages under old names, the feed."""
    for name, content in (assets() | wanted()).items():
        put(files, config, f"{ASSETS}/{name}", content)
    for source in site.withheld:
        # MkDocs knows the address, so that links to it can be found, and never builds it.
        put(files, config, source, b"", InclusionLevel.EXCLUDED)
    for source, page in site.moved.items():
        old = File.generated(config, source, content=b"")
        href = relative(files.src_uris[page.source].url, old.url)
        script = relative(f"{ASSETS}/{MOVED}", old.url)
        put(files, config, old.dest_uri, moved_page(page.title, href, script).encode())
    publisher = Publisher(config.site_name, config.site_author or "", config.site_url or "")
    news = feed(site.edition.glossary.devices, {file.src_uri: file.url for file in files}, publisher)
    if news is not None:
        put(files, config, FEED, news.encode())


def navigation(files: Files, site: Site) -> list[dict[str, str] | str]:
    """Lists our index pages, then what else the author has written."""
    ours: list[dict[str, str] | str] = [{page.title: s} for s, page in site.pages.items() if page.listed]
    others = (file for file in files.documentation_pages() if file.inclusion.is_in_nav())
    return ours + [file.src_uri for file in others if file.src_uri not in site.pages]


def named_in(nav: object) -> Iterator[str]:
    """Lists what the author's navigation names: pages, and addresses elsewhere."""
    if isinstance(nav, str):
        yield nav.lstrip("/")
    elif isinstance(nav, list | dict):
        for one in nav.values() if isinstance(nav, dict) else nav:
            yield from named_in(one)


def add_script(config: MkDocsConfig, address: str) -> None:
    """Has every page load a script when it has been read."""
    script = ExtraScriptValue(address)
    script.defer = True
    config.extra_javascript.append(script)
