"""A folder whose content is replaced whole, or left as it was.

What is new is written into a hidden folder within the old one, and takes its place entry by entry
once it is finished: a handful of renames, without copying. The folder itself stays, since it may
be a mount, what a symbolic link leads to, or what a server has open. Hidden files that are not
replaced stay as well. Whoever writes holds a lock on the folder, so that two do not mix; on
Windows, which cannot lock a folder, nobody should build a site twice at once.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from errno import ESTALE
from pathlib import Path
from tempfile import mkdtemp

if sys.platform != "win32":
    import fcntl

_PREFIX = ".transposary-build-"

# What lies in a folder of ours: the new content, the old one on its way out, and the names of all
# that is new, written when that is finished.
_FRESH, _OLD, _WHOLE = "fresh", "old", "whole.json"


class HalfwayError(OSError):
    """An exchange could be neither ended nor undone: the old content lies in a hidden folder of ours."""


@dataclass(frozen=True, slots=True)
class Replacement:
    """What will replace the content of a folder; made by `replace_content`.

    Attributes:
        folder: The folder, without symbolic links.
        fresh: Where the new content is to be written.
    """

    folder: Path
    fresh: Path
    _lock: int | None

    def finish(self) -> None:
        """Puts the new content into the place of the old one.

        Raises:
            HalfwayError: Some of it is done; whoever writes there next ends it.
            OSError: That cannot be done; the old content is left.
        """
        work = self.fresh.parent
        end = self.drop
        try:
            if self._lock is not None and not os.path.samestat(os.fstat(self._lock), self.folder.stat()):
                raise OSError(ESTALE, "it was taken away meanwhile", str(self.folder))
            _write_names(work)
            try:
                _exchange(work, self.folder)
            except OSError:
                try:
                    _change_back(work, self.folder)
                except OSError as error:
                    end = self._let_go
                    raise HalfwayError(*error.args[:2], error.filename) from error
                raise
        finally:
            end()

    def drop(self) -> None:
        """Takes the new content away, and lets others write."""
        shutil.rmtree(self.fresh.parent, ignore_errors=True)
        self._let_go()

    def _let_go(self) -> None:
        if self._lock is not None:
            os.close(self._lock)


def replace_content(folder: Path, waiting: Callable[[], None]) -> Replacement:
    """Begins to replace the content of a folder; waits until nobody else does.

    Args:
        folder: Where it is; it is made if it does not exist.
        waiting: Is called before a wait.

    Raises:
        OSError: Nothing can be written there.
    """
    folder = folder.resolve()
    folder.mkdir(parents=True, exist_ok=True)
    lock = _locked(folder, waiting)
    try:
        for left in folder.glob(f"{_PREFIX}*"):
            _clear_up(left, folder)
        work = Path(mkdtemp(prefix=_PREFIX, dir=folder))
        (work / ".gitignore").write_text("*\n", encoding="utf-8")
        (work / _FRESH).mkdir()
        (work / _OLD).mkdir()
    except OSError:
        if lock is not None:
            os.close(lock)
        raise
    return Replacement(folder, work / _FRESH, lock)


def _locked(folder: Path, waiting: Callable[[], None]) -> int | None:
    """Locks a folder until the handle is closed, or this process has ended in whatever way."""
    if sys.platform == "win32":
        return None
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        waiting()
        fcntl.flock(handle, fcntl.LOCK_EX)
    except OSError:
        # A file system without locks.
        pass
    return handle


def _clear_up(left: Path, folder: Path) -> None:
    """Ends what somebody had begun who was stopped: an exchange is finished, all else is dropped."""
    if left.is_symlink():
        return
    with suppress(OSError, ValueError):
        _exchange(left, folder)
    shutil.rmtree(left, ignore_errors=True)


def _write_names(work: Path) -> None:
    """Says that the new content is finished, by writing the names of its entries."""
    names = sorted(entry.name for entry in (work / _FRESH).iterdir())
    part = work / f"{_WHOLE}.part"
    part.write_text(json.dumps(names), encoding="utf-8")
    part.replace(work / _WHOLE)


def _names(work: Path) -> list[str]:
    names = json.loads((work / _WHOLE).read_text(encoding="utf-8"))
    # What lies in a folder from somebody else must not reach out of it.
    if not isinstance(names, list) or any(name != Path(str(name)).name for name in names):
        raise ValueError("these are no names of entries")
    return names


def _exchange(work: Path, folder: Path) -> None:
    """Moves the old entries out and the new ones in; begun once, it can be begun again."""
    names = _names(work)
    for name in names:
        fresh, here = work / _FRESH / name, folder / name
        if os.path.lexists(fresh):
            if os.path.lexists(here):
                here.rename(work / _OLD / name)
            fresh.rename(here)
    for here in folder.iterdir():
        if here.name not in names and not here.name.startswith("."):
            here.rename(work / _OLD / here.name)


def _change_back(work: Path, folder: Path) -> None:
    """Undoes an exchange that stopped halfway; where that fails too, the next build finishes it."""
    for name in _names(work):
        fresh, here = work / _FRESH / name, folder / name
        if os.path.lexists(here) and not os.path.lexists(fresh):
            here.rename(fresh)
    for old in (work / _OLD).iterdir():
        old.rename(folder / old.name)
    with suppress(OSError):
        (work / _WHOLE).unlink()
