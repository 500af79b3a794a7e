"""The order in which bars with repeats and endings are played.

Source: the MusicXML 4.0 elements `repeat` and `ending`, as first and second endings use them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol


class Signs(Protocol):
    """A bar with what is written at its barlines."""

    @property
    def repeat_begun(self) -> bool:
        """A repeat begins before it."""

    @property
    def repeat_ended(self) -> bool:
        """A repeat ends after it."""

    @property
    def ending(self) -> str:
        """`1` or `2` where a first or second ending begins, else empty."""


def times_through(bars: Sequence[Signs]) -> Iterator[tuple[int, ...]]:
    """Follows the repeats and gives the bars that are played each time, by their places.

    A repeat goes back once, to where it begins: to its sign, else to behind the last repeat, else
    to the first bar. A second ending lasts until a repeat begins or ends.
    """
    at = start = 0
    again = False
    order: list[int] = []
    while at < len(bars):
        if bars[at].repeat_begun and at != start:
            start, again = at, False
        if bars[at].ending == "1" and again:
            at = second_ending(bars, at)
            continue
        order.append(at)
        if bars[at].repeat_ended and not again:
            yield tuple(order)
            order, again, at = [], True, start
        else:
            if bars[at].repeat_ended:
                start, again = at + 1, False
            at += 1
    if order:
        yield tuple(order)


def second_ending(bars: Sequence[Signs], at: int) -> int:
    """Gives the place of the next second ending, that behind the last bar where there is none."""
    return next((place for place in range(at, len(bars)) if bars[place].ending == "2"), len(bars))
