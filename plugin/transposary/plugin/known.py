"""What takes part in making a site, and what it depends on besides the entries.

Plugins, hooks, templates and options that nobody here knows may make a page from anything.
"""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from hashlib import blake2b, file_digest
from importlib.metadata import distributions
from importlib.resources import files as resources
from importlib.resources.abc import Traversable
from pathlib import Path
from stat import S_ISREG
from types import FunctionType

from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig

from transposary.cache import key_of

# These make a page, and its entries for the search, from the page and the configuration alone.
_KNOWN = ("transposary.", "material.plugins.search.", "material.plugins.offline.")
# Those of Python-Markdown make the same of the same text.
_PURE = frozenset(
    {"abbr", "admonition", "attr_list", "codehilite", "def_list", "extra", "fenced_code", "footnotes"}
    | {"legacy_attrs", "legacy_em", "md_in_html", "meta", "nl2br", "sane_lists", "smarty", "tables", "toc"}
)


class UnknownError(ValueError):
    """Something takes part in making the site of which nobody here knows what it depends on."""


def is_known(config: MkDocsConfig) -> bool:
    """Tells whether everything that takes part in making a page is known here."""
    modules = [type(plugin).__module__ for plugin in config.plugins.values()]
    return not config.hooks and all(module.startswith(_KNOWN) for module in modules)


def is_pure(config: MkDocsConfig) -> bool:
    """Tells whether Markdown makes prose from its text and the options alone; extensions may open files."""
    return _PURE.issuperset(config.markdown_extensions)


def has_known_templates(config: MkDocsConfig) -> bool:
    """Tells whether all templates are known here: another one may show what other pages say."""
    theme = config.theme
    return theme.name == "material" and not theme.custom_dir and not config.extra_templates


def surroundings(config: MkDocsConfig, site: Path) -> str | None:
    """Makes a digest of all besides the entries that a site depends on; None where nobody here knows it."""
    if not is_known(config) or not is_pure(config):
        return None
    try:
        return _told(config, site)
    except (UnknownError, OSError):
        return None


def _told(config: MkDocsConfig, site: Path) -> str:
    options = {name: value for name, value in config.items() if name not in ("plugins", "site_dir")}
    plugins = {name: dict(plugin.config) for name, plugin in config.plugins.items()}
    # What Material ships goes by its version; its folder is large.
    folders = config.theme.dirs if config.theme.name != "material" else [config.theme.custom_dir]
    theme = " ".join(digest_of_folder(Path(one)) for one in folders if one)
    named = sorted(f"{one.metadata['Name']} {one.version}" for one in distributions())
    # What a quiet build leaves unsaid, another one has to say.
    level = str(logging.getLogger("mkdocs").getEffectiveLevel())
    where = (str(site), str(config.config_file_path), theme, level, sys.version)
    return key_of(_plain(options), _plain(plugins), *where, *named, *_code(resources("transposary")))


def _plain(value: object) -> str:
    """Writes out an option, the same in every process."""
    if value is None or isinstance(value, str | int | float):
        return repr(value)
    if isinstance(value, Config | Mapping):
        return "{" + ",".join(f"{name}:{_plain(one)}" for name, one in sorted(value.items(), key=repr)) + "}"
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
        raise UnknownError(repr(value))
    return [(one.include, str(getattr(one.regex, "pattern", None))) for one in patterns]


def _code(item: Traversable) -> Iterator[str]:
    """Lists what this package consists of: modules, templates, scripts and style sheets."""
    if item.is_file():
        yield f"{item.name} {blake2b(item.read_bytes()).hexdigest()}"
    elif item.name != "__pycache__":
        for inside in sorted(item.iterdir(), key=lambda one: one.name):
            yield from _code(inside)


def digest_of_folder(root: Path) -> str:
    """Makes a digest of all that a folder holds.

    Raises:
        UnknownError: A link brings in what lies elsewhere, or something there is no file.
        OSError: A file cannot be read.
    """
    found = blake2b()
    for path in files_in(root):
        # What is read without end, such as a pipe, says nothing that could be known.
        if not S_ISREG(os.stat(path).st_mode):  # noqa: PTH116  (there may be a hundred thousand)
            raise UnknownError
        with Path(path).open("rb") as file:
            content = file_digest(file, "blake2b").hexdigest()
        found.update(f"{os.path.relpath(path, root)} {content}\n".encode(errors="surrogateescape"))
    return found.hexdigest()


def files_in(root: Path) -> Iterator[str]:
    """Lists the files of a folder in order.

    Raises:
        UnknownError: A link brings in what lies elsewhere.
    """
    for folder, folders, names in os.walk(root):
        folders.sort()
        for name in sorted(names):
            path = os.path.join(folder, name)  # noqa: PTH118  (there may be a hundred thousand)
            if os.path.islink(path):  # noqa: PTH114
                raise UnknownError
            yield path
        if any(os.path.islink(os.path.join(folder, one)) for one in folders):  # noqa: PTH114, PTH118
            raise UnknownError
