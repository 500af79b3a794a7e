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
    turned = -1
    order: list[int] = []
    while at < len(bars):
        if bars[at].repeat_begun:
            start = at
        if bars[at].ending == "1" and at <= turned:
            at = behind_first_ending(bars, at)
            if at < len(bars) and bars[at].ending != "2":
                start = at
            continue
        order.append(at)
        if bars[at].repeat_ended and turned < start:
            yield tuple(order)
            order, turned, at = [], at, start
        else:
            if bars[at].repeat_ended:
                start = at + 1
            at += 1
    if order:
        yield tuple(order)


def behind_first_ending(bars: Sequence[Signs], at: int) -> int:
    """Gives the place of the bar that is played for the first ending at `at` the second time.

    It is the second ending, else what stands behind the repeat, else the place behind the last bar.
    """
    behind = range(at + 1, len(bars))
    return next((one for one in behind if bars[one].ending == "2" or bars[one - 1].repeat_ended), len(bars))
