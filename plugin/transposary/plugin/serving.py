"""What `mkdocs serve` leaves standing from one build to the next.

At every edit MkDocs empties the folder of the site, renders all prose, and makes and writes all
pages and files again. Here the folder is put aside before MkDocs empties it, and put back. What is
the same in all that it was made from is then left out of what MkDocs makes (`leftout.py`), and prose
that says the same is rendered once (`prose.py`).

Plugins that nobody here knows may make a page from anything. With one of them all is made again.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.utils import get_build_date

from transposary.plugin.filing import write_files
from transposary.plugin.known import is_known
from transposary.plugin.leftout import Docs, LeftOut, contested, made_from, shown
from transposary.plugin.prose import PageAgain, Prose
from transposary.site.filed import Filed, Filing

# Clearing a folder, MkDocs passes over names that begin with a point.
_ASIDE = ".before"


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


class Serving:
    """Keeps what has not changed; one for all builds of a server.

    Args:
        active: Whether anything is kept; a build that is none of a server keeps nothing.
    """

    def __init__(self, *, active: bool) -> None:
        self.active = active
        self._standing: _Standing | None = None
        self._next: _Standing | None = None
        self._nav: Navigation | None = None
        self._prose = Prose()

    def put_aside(self, config: MkDocsConfig) -> None:
        """Saves the folder of the site from being emptied."""
        if not self.active:
            return
        root, aside = Path(config.site_dir), Path(config.site_dir) / _ASIDE
        if self._standing is None:
            shutil.rmtree(aside, ignore_errors=True)
        elif not aside.is_dir() and root.is_dir():
            _move(root, aside)

    def page(self, file: File, config: MkDocsConfig) -> None:
        """Gives a file a page whose prose is rendered only when it has changed."""
        PageAgain(file, config, self._prose)

    def navigation(self, nav: Navigation, config: MkDocsConfig) -> None:
        """Notes what all pages show."""
        self._nav = nav
        self._prose.begin(config)

    def keep(
        self, files: Files, config: MkDocsConfig, ours: Filing, drawn: Callable[[str], object]
    ) -> LeftOut:
        """Puts the folder back, and leaves out of this build what stands there as it would be made.

        Files that MkDocs does not know are written.

        Args:
            files: All files, with the contents of their pages.
            config: The configuration.
            ours: The files that MkDocs does not know.
            drawn: Tells what is put into a page after it is finished.
        """
        root = Path(config.site_dir)
        known = is_known(config)
        shared = (_told(config), shown(self._nav)) if known else ()
        served = [file for file in files if file.inclusion.is_in_serve()]
        made = {file.dest_uri: made_from(file, drawn) for file in served} if known else {}
        before, self._standing = self._standing, None
        aside = root / _ASIDE
        kept: list[File] = []
        fresh: Iterable[tuple[str, Filed]] = ours.items()
        if known and before is not None and before.shared == shared:
            _move(aside, root)
            for address in (*(before.made_from.keys() - made.keys()), *ours.gone(before.ours)):
                _remove(root, address)
            fresh = ours.since(before.ours)
            same = {one for one, parts in before.made_from.items() if made.get(one) == parts}
            same -= contested(files, config)
            kept = [file for file in served if file.dest_uri in same]
        shutil.rmtree(aside, ignore_errors=True)
        write_files(fresh, root)
        found = before.found if before is not None and kept else {}
        self._next = _Standing(shared, made, ours, found) if known else None
        return LeftOut.of(files, kept, found, InclusionLevel.is_in_serve)

    def finish(self, found: Mapping[str, Docs]) -> None:
        """Notes what stands now.

        Args:
            found: Entries of the search index, by address of the page.
        """
        self._standing, self._next = None if self._next is None else replace(self._next, found=found), None


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
