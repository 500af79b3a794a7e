"""The score that an entry names by `score:`, from the folder of its entry or below the glossary."""

from __future__ import annotations

import stat
from pathlib import Path

from transposary.passage import Hand, Passage
from transposary.problems import Fault, Problem, SourceText
from transposary.reading.frontmatter import read_front_matter
from transposary.reading.nearest import nearest
from transposary.reading.pages import Page
from transposary.reading.score import read_score
from transposary.reading.score.container import MAX_BYTES
from transposary.reading.source import split_entry
from transposary.reading.tree import Scalar

ENDINGS = (".musicxml", ".mxl", ".xml")


def read_score_file(
    source: SourceText, page: Page, hand: Hand | None
) -> tuple[Passage | None, tuple[Problem, ...]]:
    """Reads the score that an entry names.

    Args:
        source: Its path as the author wrote it.
        page: The entry that names it.
        hand: The hand of a score on one staff; None to go by its clef.
    """
    data = load_score(source.value, page)
    if isinstance(data, Fault):
        return None, (Problem(source.start, "entry.score", data.text, data.hint),)
    return read_score(data, source.value, source.start, hand)


def load_score(name: str, page: Page) -> bytes | Fault:
    """Reads the bytes of a score.

    Args:
        name: Its path as the author wrote it, relative to the entry's file.
        page: The entry that names it.

    Returns:
        The bytes, or why they cannot be had. Nothing outside the glossary's folder is opened.
    """
    root = page.root.resolve()
    path = (root / page.path).parent / name
    if Path(name).suffix.lower() not in ENDINGS:
        return Fault(0, f"expected a file that ends in {', '.join(ENDINGS)}, found `{name}`")
    try:
        path = path.resolve()
        if not path.is_relative_to(root):
            hint = "put the score beside the entry, and write its name alone"
            return Fault(0, f"expected a score within the folder of the glossary, found `{name}`", hint)
        return _bytes(path, name)
    except FileNotFoundError:
        near = nearest(Path(name).name, _scores_beside(path))
        return Fault(
            0, f"there is no file `{name}` beside the entry", f"did you mean `{near}`?" if near else ""
        )
    except (OSError, ValueError) as error:
        return Fault(0, f"the file `{name}` cannot be read: {error}")


def _bytes(path: Path, name: str) -> bytes | Fault:
    found = path.stat()
    if not stat.S_ISREG(found.st_mode):
        return Fault(0, f"expected a file, found something else under the name `{name}`")
    if found.st_size > MAX_BYTES:
        text = f"the file has {found.st_size} bytes, more than {MAX_BYTES}"
        return Fault(0, text, "export the device alone")
    return path.read_bytes()


def score_of(root: Path, file: str, data: bytes) -> str | None:
    """Finds the score that an entry names.

    Args:
        root: The folder of the glossary.
        file: The entry's file, relative to it.
        data: Its content.

    Returns:
        The score's file, relative to the folder with forward slashes; None where the entry
        names none, or one that lies elsewhere.
    """
    parts, _ = split_entry(data, file)
    found = read_front_matter(parts)[0].value("score") if parts else None
    if not isinstance(found, Scalar):
        return None
    path = (root / file).parent.joinpath(found.source.value).resolve()
    inside = root.resolve()
    return path.relative_to(inside).as_posix() if path.is_relative_to(inside) and path.is_file() else None


def _scores_beside(path: Path) -> list[str]:
    if not path.parent.is_dir():
        return []
    return sorted(one.name for one in path.parent.iterdir() if one.suffix.lower() in ENDINGS)
