"""Notices that the files of a glossary have changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

Stamps = frozenset[tuple[str, int, int]]
"""Name, time of change in nanoseconds and length in bytes of every file."""


def changes(places: Callable[[], Iterable[Path]], pause: Callable[[], object]) -> Iterator[None]:
    """Yields at once, and again whenever a file has changed, come or gone.

    Args:
        places: Gives the files and folders to look at; asked again every time, since what is
            to be watched may change as well.
        pause: Waits between two looks; what it raises ends the watch.
    """
    before: Stamps | None = None
    while True:
        now = _stamps(places())
        if now != before:
            before = now
            yield
        pause()


def _stamps(places: Iterable[Path]) -> Stamps:
    return frozenset(stamp for place in places for path in _files(place) for stamp in _stamp(path))


def _files(place: Path) -> Iterator[Path]:
    yield place
    if place.is_dir():
        yield from place.rglob("*")


def _stamp(path: Path) -> Iterator[tuple[str, int, int]]:
    try:
        found = path.stat()
    except OSError:
        # Editors write a new file and put it in the place of the old one.
        return
    yield str(path), found.st_mtime_ns, found.st_size
