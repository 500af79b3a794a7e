"""The author's record is private: who sees it, and where nothing of it may be found."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.site.book import ENTRIES
from tests.site.published import Published, configure, publish
from transposary.cli import main

DAY = "2019-04-01"
RECORD = f"device,slot,date,tempo,slips\nclimb,Eb,{DAY},173,7\ngone-astray,Eb,{DAY},173,7\n"
BOOK = {**ENTRIES, "practice.csv": RECORD}
OPTIONS = {"plugins": ["search", {"transposary": {"workers": 1, "publish_practice": True}}]}
FAULT = "practice.csv:3:1: practice.device: expected a device of the glossary, found 'gone-astray'"


def _everything(site: Published) -> str:
    files = (path for path in site.folder.rglob("*") if path.is_file())
    return "\n".join(f"{path.name}\n{path.read_bytes().decode(errors='replace')}" for path in files)


def test_a_build_has_nothing_of_the_record(tmp_path: Path) -> None:
    """Neither the file nor its page, its words, its days or its faults are in a published site."""
    site = publish(configure(tmp_path, BOOK))
    found = _everything(site)
    assert DAY not in found
    assert "gone-astray" not in found
    assert not list(site.folder.rglob("practice.csv"))
    assert not (site.folder / "practised.html").exists()
    assert not any("practice.csv" in message for message in site.messages)


def test_the_author_sees_the_record_in_serve(tmp_path: Path) -> None:
    """The page has the table, what is wrong with the file, and says who sees it."""
    site = publish(configure(tmp_path, BOOK), "serve")
    page = site.text("practised.html")
    assert "<td>173 " in page
    assert "7 slips" in page
    assert "A draft: only you see it" in page
    assert FAULT in page.replace("&#39;", "'")
    assert any(FAULT in message for message in site.messages)
    assert not (site.folder / "practice.csv").exists()
    for name in ("glossary.json", "search/search_index.json"):
        assert DAY not in site.text(name)
        assert "gone-astray" not in site.text(name)


def test_a_record_is_published_when_asked_for(tmp_path: Path) -> None:
    """With the option the page is built for everybody, and the file still is not."""
    site = publish(configure(tmp_path, BOOK, **OPTIONS))
    page = site.text("practised/index.html")
    assert DAY in page
    assert "A draft" not in page
    assert "gone-astray" not in page
    assert not (site.folder / "practice.csv").exists()
    assert DAY not in site.text("glossary.json")


def test_check_reads_the_record(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The author learns of a line at fault by the command as well."""
    configure(tmp_path, BOOK)
    assert main(["check", str(tmp_path)]) == 1
    assert FAULT in capsys.readouterr().out
