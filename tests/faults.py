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


def kill_and_rebuild(
    book: Path, undisturbed: Bytes, moments: Iterable[float], *, cold: bool
) -> Iterator[str]:
    """Kills builds of a glossary, then builds it in peace.

    Args:
        book: The glossary.
        undisturbed: Its site.
        moments: When a build is killed, in seconds from its start; one that has ended before is
            done again, and killed earlier.
        cold: Whether each build that is killed begins without a cache.

    Yields:
        What the site was after each of the kills, `old` or `new`; then what the last build gave,
        `same` or `different` from the undisturbed one. `mixed` or `different` is a fault.
    """
    old = {"index.html": "old", "devices/gone.html": "old"}
    site = book / "site"
    for moment in moments:
        while True:
            if cold:
                shutil.rmtree(book / ".cache", ignore_errors=True)
            shutil.rmtree(site, ignore_errors=True)
            write(site, old)
            if _killed(command(book, "build", "-q", "--strict"), moment):
                break
            moment *= 0.7  # noqa: PLW2901  (this one's)
        left = files_of(site)
        is_old = left == {name: text.encode() for name, text in old.items()}
        yield "old" if is_old else "new" if left == undisturbed else "mixed"
    yield "same" if built(book) == undisturbed else "different"


def _killed(process: subprocess.Popen[str], moment: float) -> bool:
    """Kills a process that is still at work at a moment; gives whether it was."""
    with suppress(subprocess.TimeoutExpired):
        process.communicate(timeout=moment)
    at_work = process.poll() is None
    process.kill()
    process.communicate()
    return at_work


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
