"""Files beside the entries that are links, and what they lead to."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from transposary.problems import Place, Problem

RULE = "glossary.link"


def check_links_out(root: Path, sources: Iterable[str], told: Iterable[Problem]) -> tuple[Problem, ...]:
    """Refuses files that lie outside the folder of the glossary, by a link or in a folder that is one.

    Args:
        root: The folder of the entries, which may be a link itself.
        sources: Files in it, by their paths from there; the problems are in their order.
        told: What is known already: the reader of the entries opens no link out of the folder.
    """
    inside = root.resolve()
    known = {problem.place.file for problem in told if problem.rule == "entry.file"}
    return tuple(
        Problem(
            Place(source),
            RULE,
            "the file is a link that leads out of the folder of the glossary, and is left out of the site",
            "put a copy of the file here in place of the link",
        )
        for source in sources
        # `resolve` fails over a link to itself.
        if source not in known and not Path(os.path.realpath(inside / source)).is_relative_to(inside)
    )
