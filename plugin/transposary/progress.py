"""Says how far a build is, once it takes longer than one would wait without a word."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic
from typing import TextIO

_QUIET = 2.0
"""Seconds in which nothing is said."""

_BETWEEN = {True: 0.1, False: 5.0}
"""Seconds between two words, in a terminal and elsewhere."""

_WIDTH = 30


class Progress:
    """A bar in a terminal, plain lines elsewhere.

    Args:
        stream: Where it is said.
        clock: Gives seconds.
        silent: Whether nothing is said at all.
    """

    def __init__(
        self, stream: TextIO, clock: Callable[[], float] = monotonic, *, silent: bool = False
    ) -> None:
        self._stream = stream
        self._silent = silent
        self._clock = clock
        self._terminal = stream.isatty()
        self._next = clock() + _QUIET
        self._drawn = False

    def __call__(self, what: str, done: int, every: int) -> None:
        """Hears what the build is at, and how many of how many are done."""
        now = self._clock()
        if self._silent or now < self._next or not every:
            return
        self._next = now + _BETWEEN[self._terminal]
        said = f"{what}: {done} of {every}"
        if self._terminal:
            full = _WIDTH * done // every
            self._stream.write(f"\r\x1b[K[{'#' * full}{'.' * (_WIDTH - full)}] {said}")
            self._drawn = True
        else:
            self._stream.write(f"{said}\n")
        self._stream.flush()

    def close(self) -> None:
        """Takes the bar away."""
        if self._drawn:
            self._stream.write("\r\x1b[K")
            self._stream.flush()
            self._drawn = False
