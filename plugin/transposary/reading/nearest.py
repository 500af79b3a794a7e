"""Which known name an author may have meant."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence

from transposary.glossary import matching_name

_LIKE = 0.7

SLIP = 2
"""Letters by which a name may differ from a known one and still be taken for a slip."""


def nearest(name: str, known: Sequence[str]) -> str | None:
    """Finds the known name most like another one; None where none is like it."""
    folded: dict[str, str] = {}
    for one in known:
        folded.setdefault(matching_name(one), one)
    found = difflib.get_close_matches(matching_name(name), list(folded), n=1, cutoff=_LIKE)
    return folded[found[0]] if found else None


def slip_of(name: str, known: Iterable[str]) -> str | None:
    """Finds a known name that differs by one or two letters, in less than half of its letters.

    Both are compared as names match: without regard to case, accents, spaces and hyphens.
    """
    folded = matching_name(name)
    best: tuple[int, str] | None = None
    for one in known:
        letters = distance(folded, matching_name(one))
        if letters <= SLIP and 2 * letters < len(folded) and (best is None or (letters, one) < best):
            best = (letters, one)
    return best[1] if best else None


def distance(one: str, other: str) -> int:
    """Counts the letters to insert, drop, change or swap with a neighbour to get from one to the other.

    Counts above `SLIP` are not exact, only larger than it.
    """
    if abs(len(one) - len(other)) > SLIP:
        return SLIP + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        before, above, row = row, before, [i]
        for j, match in enumerate(other, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != match))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == match:
                cost = min(cost, above[j - 2] + 1)
            row.append(cost)
    return row[-1]
