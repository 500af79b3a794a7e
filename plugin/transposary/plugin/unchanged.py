"""A site that a build would write as it stands already, and that is left as it is.

After a build that wrote a whole site, and of which nobody warned but this package, a note is kept in
the cache. Its name is made from everything that the site was made from: the entries, the options, the
day, the code of this package and the versions of all others. It says when and how large each file of
the site was written, and what the author was told, who is told it again. A site that anybody has
touched since is written anew.

Where something takes part that nobody here knows, all is made again, as in serve. Where entries are
imported, which may change elsewhere, pages are made or taken over one by one (`standing.py`).
"""

from __future__ import annotations

import logging
import os
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files
from mkdocs.utils import get_build_date

from transposary.cache import Cache, key_of
from transposary.engraving.kept import UNSOUND, packed, require, unpacked
from transposary.plugin.known import UnknownError, digest_of_folder, files_in
from transposary.problems import Problem
from transposary.recall import problem_of, record_of

_OWN = "mkdocs.plugins.transposary"
# Who remarks on pages of the site.
_PAGES = "mkdocs.structure"


@dataclass(slots=True)
class Unchanged:
    """The note of a site; made when the files are known, and kept when the site is in its place.

    Attributes:
        cache: Where the note is.
        site: The folder of the site.
        entries: The folder of the entries.
    """

    cache: Cache
    site: Path
    entries: Path
    _around: str
    _read: str
    _said: _Listener

    @classmethod
    def of(cls, cache: Cache, site: Path, entries: Path, around: str) -> Unchanged | None:
        """Begins with the note of a site; None where it may depend on what nobody here knows.

        Args:
            cache: Where the note is.
            site: The folder of the site.
            entries: The folder of the entries.
            around: A digest of all else that the site depends on.
        """
        try:
            # The site map tells the day.
            today = key_of(around, get_build_date())
            made = cls(cache, site, entries, today, digest_of_folder(entries), _Listener())
        except (UnknownError, OSError):
            return None
        logging.getLogger("mkdocs").addHandler(made._said)
        return made

    def told(self) -> tuple[Problem, ...] | None:
        """Gives what an author has to be told of a site that stands as it would be written.

        What MkDocs remarked on pages is said again.

        Returns:
            The problems; None where the site has to be written.
        """
        data = self.cache.get(self._key())
        if data is None:
            return None
        try:
            written, records, said = unpacked(data)
            require(written == _written(self.site))
            require(all(_is_said(*one) for one in said))
            problems = tuple(map(problem_of, records))
        except (*UNSOUND, OSError):
            return None
        for name, text in said:
            logging.getLogger(name).info("%s", text)
        return problems

    def keep(self, problems: Iterable[Problem]) -> None:
        """Keeps the note of a site that has been written, if nothing was said that has to be said again."""
        self.drop()
        with suppress(UnknownError, OSError):
            if not self._said.warned and digest_of_folder(self.entries) == self._read:
                records = [record_of(one) for one in problems]
                self.cache.put(self._key(), packed([_written(self.site), records, self._said.remarks]))

    def drop(self) -> None:
        """Listens no longer."""
        logging.getLogger("mkdocs").removeHandler(self._said)

    def _key(self) -> str:
        return key_of("site", str(self.site), self._around, self._read)


class _Listener(logging.Handler):
    """Writes down what MkDocs remarks on pages, and whether anybody warns but this package."""

    def __init__(self) -> None:
        super().__init__()
        self.remarks: list[tuple[str, str]] = []
        self.warned = False

    def emit(self, record: logging.LogRecord) -> None:
        if record.levelno == logging.INFO and record.name.startswith(_PAGES):
            self.remarks.append((record.name, record.getMessage()))
        elif record.levelno >= logging.WARNING and not record.name.startswith(_OWN):
            self.warned = True


def _is_said(name: str, text: str) -> bool:
    """Tells whether something is a remark of MkDocs that can be printed in a terminal."""
    return name.startswith(_PAGES) and all(line.isprintable() for line in text.split("\n"))


def nothing_to_write(config: MkDocsConfig) -> Files:
    """Has MkDocs write nothing, not even what a theme writes for every site."""
    config.nav = None
    config.theme.static_templates.clear()
    config.extra_templates.clear()
    return Files([])


def _written(site: Path) -> str:
    """Makes a digest of when and how large the files of a site were written."""
    found, root = blake2b(), f"{site}{os.sep}"
    for path in files_in(site):
        name = path.removeprefix(root)
        # What is hidden there is nobody's to replace.
        if not name.startswith("."):
            stat = os.lstat(path)
            found.update(f"{name} {stat.st_size} {stat.st_mtime_ns}\n".encode(errors="surrogateescape"))
    return found.hexdigest()
