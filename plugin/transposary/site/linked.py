"""Files beside the entries that are links, and what they lead to."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path, PurePosixPath

from pathspec.gitignore import GitIgnoreSpec

from transposary.problems import Place, Problem

RULE = "glossary.link"

# What MkDocs 1.6 leaves out by itself.
_LEFT_OUT = (".*", "/templates/")


def links_out(root: Path, sources: Iterable[str]) -> dict[str, str]:
    """Finds files that lie outside the folder of the glossary, by a link or in a folder that is one.

    Args:
        root: The folder of the entries, which may be a link itself.
        sources: Files and folders in it, by their paths from there.

    Returns:
        The outermost part of each such path that lies outside: the file itself, or a folder.
    """
    inside = root.resolve()
    return {source: _outermost(inside, source) for source in sources if _is_out(inside, source)}


def _is_out(inside: Path, source: str) -> bool:
    # `resolve` fails over a link to itself.
    return not Path(os.path.realpath(inside / source)).is_relative_to(inside)


def _outermost(inside: Path, source: str) -> str:
    folders = [str(folder) for folder in reversed(PurePosixPath(source).parents)]
    return next((folder for folder in folders if _is_out(inside, folder)), source)


def check_links_out(root: Path, links: Iterable[str], told: Iterable[Problem]) -> tuple[Problem, ...]:
    """Refuses what leads out of the folder of the glossary.

    Args:
        root: The folder of the entries.
        links: What `links_out` has found; the problems are in this order, one a link.
        told: What is known already: the reader of the entries opens no link out of the folder.
    """
    known = {problem.place.file for problem in told if problem.rule == "entry.file"}
    return tuple(
        Problem(
            Place(link),
            RULE,
            f"the {what} is a link that leads out of the folder of the glossary, and is left out of the site",
            f"put a copy of the {what} here in place of the link",
        )
        for link in dict.fromkeys(links)
        if link not in known
        for what in ["folder" if (root / link).is_dir() else "file"]
    )


def published_files(root: Path, left_out: Iterable[str]) -> Iterator[str]:
    """Finds what MkDocs would publish of a folder, without MkDocs.

    Args:
        root: The folder of the entries.
        left_out: Patterns of what is not published, as `exclude_docs` has them.

    Yields:
        Paths of files from there; a folder that lies outside stands for all that is in it.
    """
    patterns = _patterns(left_out)
    return (source.rstrip("/") for source in _files(root) if not patterns.match_file(source))


def _patterns(left_out: Iterable[str]) -> GitIgnoreSpec:
    try:
        return GitIgnoreSpec.from_lines((*_LEFT_OUT, *left_out))
    except ValueError:
        # MkDocs complains of a pattern that is none, and builds nothing.
        return GitIgnoreSpec.from_lines(_LEFT_OUT)


def _files(root: Path) -> Iterator[str]:
    inside = root.resolve()
    followed: set[str] = set()
    for here, folders, files in os.walk(root, followlinks=True):
        above = Path(here).relative_to(root)
        yield from ((above / name).as_posix() for name in sorted(files))
        for name in sorted(folders):
            if not Path(here, name).is_symlink():
                continue
            target = os.path.realpath(Path(here, name))
            if not Path(target).is_relative_to(inside):
                yield f"{(above / name).as_posix()}/"
            elif target not in followed:
                # Once each, since links may go round in circles.
                followed.add(target)
                continue
            folders.remove(name)
