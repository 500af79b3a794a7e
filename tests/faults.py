"""Builds that are stopped: what they leave behind, and what the next one makes of it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from tests.site.book import ENTRIES, write
from tests.site.published import configure

Bytes = Mapping[str, bytes]

# MkDocs stamps the day.
_DAY = "1767225600"


def command(folder: Path, *words: str, within: Sequence[str] = ()) -> subprocess.Popen[str]:
    """Starts MkDocs in a folder, perhaps by another command."""
    return subprocess.Popen(
        (*within, sys.executable, "-m", "mkdocs", *words),
        cwd=folder,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1", "SOURCE_DATE_EPOCH": _DAY},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def built(folder: Path) -> Bytes:
    """Builds a glossary by the real command, strictly, and gives its files.

    Raises:
        RuntimeError: The build failed.
    """
    process = command(folder, "build", "-q", "--strict")
    output, _ = process.communicate()
    if process.returncode:
        raise RuntimeError(output)
    return files_of(folder / "site")


def files_of(folder: Path) -> Bytes:
    """Gives the files of a site by their names, but for what a build in progress hides there."""
    paths = ((path, path.relative_to(folder).as_posix()) for path in folder.rglob("*"))
    return {
        name: path.read_bytes() for path, name in paths if path.is_file() and not name.startswith(".transpo")
    }


def glossary(folder: Path) -> Path:
    """Writes the small glossary, to be engraved by workers."""
    configure(folder, ENTRIES, plugins=["search", "offline", {"transposary": {"workers": 2}}])
    return folder


def kill_and_rebuild(book: Path, undisturbed: Bytes, moments: Iterable[float]) -> Iterator[str]:
    """Kills builds of a glossary, then builds it in peace.

    Args:
        book: The glossary.
        undisturbed: Its site.
        moments: When a build is killed, in seconds from its start.

    Yields:
        What the site was after each of the kills, `old` or `new`; then what the last build gave,
        `same` or `different` from the undisturbed one. `mixed` or `different` is a fault.
    """
    old = {"index.html": "old", "devices/gone.html": "old"}
    site = book / "site"
    what = "new"
    for moment in moments:
        if what != "old":
            shutil.rmtree(site, ignore_errors=True)
            write(site, old)
        process = command(book, "build", "-q", "--strict")
        with suppress(subprocess.TimeoutExpired):
            process.communicate(timeout=moment)
        process.kill()
        process.communicate()
        left = files_of(site)
        is_old = left == {name: text.encode() for name, text in old.items()}
        what = "old" if is_old else "new" if left == undisturbed else "mixed"
        yield what
    yield "same" if built(book) == undisturbed else "different"


@contextmanager
def small_disk(folder: Path, size: int, options: str = "") -> Iterator[bool]:
    """Mounts a small file system in memory on a folder; gives whether that is possible here."""
    mounted = not subprocess.run(
        ("mount", "-t", "tmpfs", "-o", f"size={size}{options}", "none", str(folder)),
        check=False,
        capture_output=True,
    ).returncode
    try:
        yield mounted
    finally:
        if mounted:
            subprocess.run(("umount", "--lazy", str(folder)), check=True)
