"""The page that stands in for an entry that could not be read, while its author works on it."""

from __future__ import annotations

from dataclasses import dataclass

from transposary.problems import Problem
from transposary.site.page import Page, Remark
from transposary.site.pages.common import remark_in_full


@dataclass(frozen=True, slots=True)
class BrokenView:
    """What the page of a broken entry shows."""

    problems: tuple[Remark, ...]


def broken_page(source: str, title: str, problems: tuple[Problem, ...]) -> Page:
    """Makes the page of a broken entry from the problems found in its files."""
    return Page(source, title, "broken", BrokenView(tuple(map(remark_in_full, problems))))
