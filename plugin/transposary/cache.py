"""What earlier builds computed, kept on disk by a name made from everything that it depends on.

A file of the cache is never changed: what depends on something else has another name. Its head is
a digest of its name and its content, so that a file that was cut off, exchanged or put there by
somebody else counts as missing and is written again. Nothing in a cache is ever run: contents are
bytes that the reader has to check. A cache that cannot be written to is a cache that stays empty.
"""

from __future__ import annotations

import os
import re
import time
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cache
from hashlib import blake2b
from importlib.metadata import version
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from shutil import rmtree
from stat import S_ISREG
from tempfile import NamedTemporaryFile, mkdtemp
from threading import Lock
from weakref import finalize

FOLDER = Path(".cache") / "transposary"
"""Where the cache of a glossary lies, beside its mkdocs.yml."""

_HEAD = 16
_KEY = re.compile(r"[0-9a-f]{40}")
_NAME = re.compile(rf"{_KEY.pattern}(?:\.\w+\.part)?")
_DAY = 86400.0


@dataclass(frozen=True, slots=True)
class Limits:
    """How much is kept.

    Attributes:
        days: How long, since it was last used.
        megabytes: How much in all; what was not used for longest goes first.
    """

    days: int = 60
    megabytes: int = 500


@dataclass(frozen=True, slots=True)
class Cache:
    """A folder of results.

    Attributes:
        folder: Where; None keeps nothing and finds nothing.
    """

    folder: Path | None = None

    def get(self, key: str) -> bytes | None:
        """Gives what is kept under a key; None where there is nothing, or nothing sound."""
        if self.folder is None:
            return None
        path = _path(self.folder, key)
        try:
            found = path.lstat()
            # What waits for a writer, or never ends, was not put there by us.
            if not S_ISREG(found.st_mode):
                return None
            data = path.read_bytes()
        except OSError:
            return None
        head, content = data[:_HEAD], data[_HEAD:]
        if head != _digest(key, content):
            return None
        with suppress(OSError):
            # So often that pruning sees what is in use, so seldom that it costs nothing.
            if time.time() - found.st_mtime > _DAY:
                os.utime(path)
        return content

    def put(self, key: str, content: bytes) -> bool:
        """Keeps something, whole or not at all; another build may do the same at the same time.

        Returns:
            Whether it is kept.
        """
        if self.folder is None or self.folder.is_symlink():
            return False
        path = _path(self.folder, key)
        with suppress(OSError):
            _found(self.folder)
            path.parent.mkdir(exist_ok=True)
            with NamedTemporaryFile(
                dir=path.parent, prefix=f"{path.name}.", suffix=".part", delete=False
            ) as part:
                try:
                    part.write(_digest(key, content) + content)
                    part.close()
                    Path(part.name).replace(path)
                except OSError:
                    Path(part.name).unlink(missing_ok=True)
                else:
                    return True
        return False

    def prune(self, limits: Limits) -> None:
        """Takes out what was not used for long, and the oldest where there is too much."""
        now = time.time()
        room = limits.megabytes * 1_000_000
        for used, size, path in sorted(self._kept(), reverse=True):
            room -= size
            if room < 0 or now - used > limits.days * _DAY:
                with suppress(OSError):
                    path.unlink()

    def clear(self) -> int:
        """Takes out everything; gives the number of files. What is not ours is left alone."""
        paths = [path for _, _, path in self._kept()]
        for path in paths:
            with suppress(OSError):
                path.unlink()
        return len(paths)

    def _kept(self) -> Iterator[tuple[float, int, Path]]:
        """Lists what is kept as (when it was last used, size, file)."""
        if self.folder is None or self.folder.is_symlink():
            return
        for path in self.folder.glob("[0-9a-f][0-9a-f]/*"):
            with suppress(OSError):
                if _NAME.fullmatch(path.name) and not path.is_symlink() and not path.parent.is_symlink():
                    found = path.stat()
                    yield found.st_mtime, found.st_size, path


class Spare:
    """Room for results beside a cache: a temporary folder that goes when nobody refers to this any more."""

    def __init__(self) -> None:
        self._cache: Cache | None = None
        # Where not even a temporary folder takes anything.
        self._held: dict[str, bytes] = {}
        self._lock = Lock()

    def get(self, key: str) -> bytes | None:
        """Gives what lies here under a key; None where there is nothing, or nothing sound."""
        held = self._held.get(key)
        return self._cache.get(key) if held is None and self._cache is not None else held

    def put(self, key: str, content: bytes) -> None:
        """Keeps something."""
        with self._lock:
            if self._cache is None:
                self._cache = self._folder()
        if not self._cache.put(key, content):
            self._held[key] = content

    def _folder(self) -> Cache:
        try:
            folder = mkdtemp(prefix="transposary-")
        except OSError:
            return Cache()
        finalize(self, rmtree, folder, ignore_errors=True)
        return Cache(Path(folder))


@dataclass(frozen=True, slots=True)
class Packs:
    """Results on disk that a build or a server wants again as long as it lasts.

    Attributes:
        cache: Where they lie, for later builds too.
        spare: Where those lie that the cache does not take: there is none, or it is closed or full.
    """

    cache: Cache = Cache()
    spare: Spare = field(default_factory=Spare)

    def get(self, key: str) -> bytes | None:
        """Gives what lies under a key; None where there is nothing, or nothing sound."""
        found = self.spare.get(key)
        return self.cache.get(key) if found is None else found

    def put(self, key: str, content: bytes, *, lasting: bool = True) -> None:
        """Keeps something; what is not lasting is found by no later build."""
        if not (lasting and self.cache.put(key, content)):
            self.spare.put(key, content)


def key_of(*parts: str) -> str:
    """Makes a key from everything that a result depends on."""
    digest = blake2b(digest_size=20)
    for part in parts:
        data = part.encode()
        digest.update(len(data).to_bytes(8, "big"))
        digest.update(data)
    return digest.hexdigest()


def is_key(text: str) -> bool:
    """Tells whether a text can be a key."""
    return _KEY.fullmatch(text) is not None


@cache
def code_of(*rooms: str, libraries: tuple[str, ...] = ()) -> str:
    """Gives a digest of modules of ours and of the versions of libraries.

    Args:
        rooms: Modules and packages below `transposary`: `pitch.py`, `engraving`.
        libraries: Distributions, as the package index names them.
    """
    root = files("transposary")
    sources = (text for room in rooms for text in _sources(root / room))
    return key_of(*sources, *(f"{name} {version(name)}" for name in libraries))


def _sources(item: Traversable) -> Iterable[str]:
    if item.is_file():
        return (item.read_text(encoding="utf-8"),) if item.name.endswith(".py") else ()
    inside = sorted(item.iterdir(), key=lambda one: one.name)
    return (text for one in inside for text in _sources(one))


def _path(folder: Path, key: str) -> Path:
    return folder / key[:2] / key


def _digest(key: str, content: bytes) -> bytes:
    return blake2b(content, digest_size=_HEAD, key=key.encode()).digest()


def _found(folder: Path) -> None:
    """Makes the folder, and keeps it out of version control."""
    if not folder.is_dir():
        folder.mkdir(parents=True, exist_ok=True)
        (folder / ".gitignore").write_text("*\n", encoding="utf-8")
