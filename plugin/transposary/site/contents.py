"""The contents of a page as a tree of its headings."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TypedDict

from transposary.site.markup import Heading


class Token(TypedDict):
    """A heading and what stands below it, in the form that Python-Markdown's `toc` gives."""

    level: int
    id: str
    name: str
    children: list[Token]


def contents(headings: Sequence[Heading]) -> list[Token]:
    """Nests headings by level; one that skips a level hangs on the last higher one."""
    roots: list[Token] = []
    above: list[Token] = []
    for heading in headings:
        token = Token(level=heading.level, id=heading.anchor, name=escape(heading.text), children=[])
        while above and above[-1]["level"] >= heading.level:
            above.pop()
        (above[-1]["children"] if above else roots).append(token)
        above.append(token)
    return roots
