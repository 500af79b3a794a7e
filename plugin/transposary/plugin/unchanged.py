"""A site that a build would write as it stands already, and that is left as it is.

After a build that wrote a whole site, and of which nobody warned but this package, a note is kept in
the cache. Its name is made from everything that the site was made from: the entries, the options, the
day, the code of this package and the versions of all others. It says when and how large each file of
the site was written, and what the author was told, who is told it again. A site that anybody has
touched since is written anew.

Plugins, hooks and options that nobody here knows may make a page from anything. With one of them all
is made again, as in serve.
"""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, fields, is_dataclass
from hashlib import blake2b
from importlib.metadata import distributions
from importlib.resources import files as resources
from importlib.resources.abc import Traversable
from pathlib import Path
from types import FunctionType

from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files
from mkdocs.utils import get_build_date

from transposary.cache import Cache, key_of
from transposary.engraving.kept import UNSOUND, packed, require, unpacked
from transposary.plugin.serving import PURE, is_known
from transposary.problems import Problem
from transposary.recall import problem_of, record_of

_OWN = "mkdocs.plugins.transposary"
# Who remarks on pages of the site.
_PAGES = "mkdocs.structure"


class _UnknownError(ValueError):
    """Something takes part in making the site of which nobody here knows what it depends on."""


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
    def of(cls, cache: Cache, site: Path, config: MkDocsConfig) -> Unchanged | None:
        """Begins with the note of a site; None where it may depend on what nobody here knows."""
        # An extension of Markdown may bring in files from anywhere.
        if cache.folder is None or not is_known(config) or not PURE.issuperset(config.markdown_extensions):
            return None
        entries = Path(config.docs_dir)
        try:
            made = cls(cache, site, entries, _told(config, site), _folder(entries), _Listener())
        except (_UnknownError, OSError):
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
        with suppress(_UnknownError, OSError):
            if not self._said.warned and _folder(self.entries) == self._read:
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


def _told(config: MkDocsConfig, site: Path) -> str:
    """Writes out all besides the entries that the site depends on."""
    options = {name: value for name, value in config.items() if name not in ("plugins", "site_dir")}
    plugins = {name: dict(plugin.config) for name, plugin in config.plugins.items()}
    theme = _folder(Path(config.theme.custom_dir)) if config.theme.custom_dir else ""
    named = sorted(f"{one.metadata['Name']} {one.version}" for one in distributions())
    # What a quiet build leaves unsaid, another one has to say.
    level = str(logging.getLogger("mkdocs").getEffectiveLevel())
    where = (str(site), str(config.config_file_path), theme, level, get_build_date(), sys.version)
    return key_of(_plain(options), _plain(plugins), *where, *named, *_code(resources("transposary")))


def _plain(value: object) -> str:
    """Writes out an option, the same in every process."""
    if value is None or isinstance(value, str | int | float):
        return repr(value)
    if isinstance(value, Config | Mapping):
        return "{" + ",".join(f"{name}:{_plain(one)}" for name, one in sorted(value.items())) + "}"
    if isinstance(value, Sequence | set | frozenset):
        row = sorted(value) if isinstance(value, set | frozenset) else value
        return "[" + ",".join(map(_plain, row)) + "]"
    if isinstance(value, FunctionType | type):
        return f"{value.__module__}.{value.__qualname__}"
    return _plain(_parts(value))


def _parts(value: object) -> object:
    """Takes apart what stands for an option: a language, or the files that are left out."""
    if is_dataclass(value):
        return {one.name: getattr(value, one.name) for one in fields(value)}
    if hasattr(value, "language"):
        return str(value)
    patterns = getattr(value, "patterns", None)
    if patterns is None:
        raise _UnknownError(repr(value))
    return [(one.include, str(getattr(one.regex, "pattern", None))) for one in patterns]


def _code(item: Traversable) -> Iterator[str]:
    """Lists what this package consists of: modules, templates, scripts and style sheets."""
    if item.is_file():
        yield f"{item.name} {blake2b(item.read_bytes()).hexdigest()}"
    elif item.name != "__pycache__":
        for inside in sorted(item.iterdir(), key=lambda one: one.name):
            yield from _code(inside)


def _folder(root: Path) -> str:
    """Makes a digest of all that a folder holds; what a link brings in from elsewhere is not known."""
    found = blake2b()
    for path in _files(root):
        data = Path(path).read_bytes()
        found.update(f"{os.path.relpath(path, root)} {len(data)}\n".encode(errors="surrogateescape"))
        found.update(data)
    return found.hexdigest()


def _written(site: Path) -> str:
    """Makes a digest of when and how large the files of a site were written."""
    found = blake2b()
    for path in _files(site):
        name = os.path.relpath(path, site)
        # What is hidden there is nobody's to replace.
        if not name.startswith("."):
            stat = os.lstat(path)
            found.update(f"{name} {stat.st_size} {stat.st_mtime_ns}\n".encode(errors="surrogateescape"))
    return found.hexdigest()


def _files(root: Path) -> Iterator[str]:
    for folder, folders, names in os.walk(root):
        folders.sort()
        for name in sorted(names):
            path = os.path.join(folder, name)  # noqa: PTH118  (there may be a hundred thousand)
            if os.path.islink(path):  # noqa: PTH114
                raise _UnknownError
            yield path
        if any(os.path.islink(os.path.join(folder, one)) for one in folders):  # noqa: PTH114, PTH118
            raise _UnknownError
