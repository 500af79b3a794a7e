"""Broken entries on disk, each with the exact lines that its author must see.

A file stands in the folder of its kind, with its expected lines beside it; a case of several
files is a folder of its own under `together`, with `expected.txt` in it.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from transposary.check import check_reading
from transposary.glossary import Kind
from transposary.problems import report
from transposary.reading import read_glossary
from transposary.settings import Settings

CORPUS = Path(__file__).parent / "broken"
SINGLE = sorted(path for kind in Kind for path in (CORPUS / kind.value).glob("*.md"))
TOGETHER = sorted(path for path in (CORPUS / "together").iterdir())


def checked(root: Path) -> str:
    """Reads and checks a folder as the command does."""
    return report(check_reading(read_glossary(root), Settings())) + "\n"


@pytest.mark.parametrize("path", SINGLE, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_broken_entry_shows_exactly_its_problems(path: Path, tmp_path: Path) -> None:
    """One entry alone prints the lines that stand beside it, no more and no less."""
    folder = tmp_path / path.parent.name
    folder.mkdir()
    shutil.copy(path, folder)
    assert checked(tmp_path) == path.with_suffix(".txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", TOGETHER, ids=lambda path: path.name)
def test_broken_entries_together_show_exactly_their_problems(path: Path) -> None:
    """Entries that are broken only together print the lines that stand beside them."""
    assert checked(path) == (path / "expected.txt").read_text(encoding="utf-8")


def test_the_corpus_is_as_large_as_promised() -> None:
    """There are at least forty broken entries."""
    assert len(SINGLE) + len(TOGETHER) >= 40
