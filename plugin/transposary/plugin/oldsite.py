"""Files of the old site that lie in the new one as well.

They are linked, not copied, where the disk can do so. What is written there must be a file of its
own, or it would be written into the old site, which stays as it is until the new one is finished.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from stat import S_ISREG
from typing import TypeAlias

from transposary.cache import key_of

Stamp: TypeAlias = tuple[int, int]
"""How large a file is, and when it was written."""


@dataclass(frozen=True, slots=True)
class OldSite:
    """The old site, and the folder in which the new one is made.

    Attributes:
        old: The folder of the old one.
        fresh: The folder of the new one.
    """

    old: Path
    fresh: Path
    _taken: set[str] = field(default_factory=set)

    def take(self, address: str, stamp: Stamp) -> bool:
        """Takes a file over, if nobody has touched it; tells whether it has.

        Args:
            address: Where it lies, from the root of either site.
            stamp: The file as it was written.
        """
        if address not in self._taken and stamp_of(self.old / address) == stamp and self._link(address):
            self._taken.add(address)
        return address in self._taken

    def take_all(self, addresses: Iterable[str], stamps: str) -> bool:
        """Takes files over, if nobody has touched any of them; tells whether it has.

        Args:
            addresses: Where they lie.
            stamps: What `stamps_of` said of them as they were written.
        """
        listed = list(addresses)
        if stamps_of(self.old, listed) != stamps:
            return False
        if all(map(self._link, listed)):
            return True
        for address in listed:
            (self.fresh / address).unlink(missing_ok=True)
        return False

    def leave(self, address: str) -> None:
        """Gives a file back that was taken over."""
        if address in self._taken:
            self._taken.remove(address)
            (self.fresh / address).unlink()

    def _link(self, address: str) -> bool:
        old, new = f"{self.old}/{address}", f"{self.fresh}/{address}"
        try:
            try:
                os.link(old, new)
            except FileNotFoundError:
                os.makedirs(os.path.dirname(new), exist_ok=True)  # noqa: PTH103, PTH120  (one of many)
                os.link(old, new)
        except OSError:
            return _copied(old, new)
        return True


def _copied(old: str, new: str) -> bool:
    """Copies a file for a disk that cannot link it."""
    try:
        shutil.copy2(old, new)
    except OSError:
        Path(new).unlink(missing_ok=True)
        return False
    return True


def stamp_of(path: Path | str) -> Stamp | None:
    """Tells of a file what changes when somebody touches it; None where there is none."""
    try:
        found = os.lstat(path)
    except (OSError, ValueError):
        return None
    return (found.st_size, found.st_mtime_ns) if S_ISREG(found.st_mode) else None


def stamps_of(root: Path, addresses: Iterable[str]) -> str:
    """Tells the same of many files, and their addresses, as a digest."""
    return key_of(*(f"{address} {stamp_of(f'{root}/{address}')}" for address in addresses))
