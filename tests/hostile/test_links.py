"""Links in the folder of the entries to files that are none of the glossary's."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.site.published import configure, publish
from transposary.cli import main
from transposary.problems import Place, Problem
from transposary.site.linked import check_links_out, links_out, published_files

TOLD = (
    "glossary.link: the {0} is a link that leads out of the folder of the glossary, and is left out of "
    "the site; put a copy of the {0} here in place of the link"
)
CONCEPT = "---\ntitle: Walk\n---\nWords.\n"


def test_only_what_leads_out_is_refused(tmp_path: Path) -> None:
    """Links within the folder stay, the folder may be a link itself, and a link to itself is no harm."""
    (tmp_path / "real/images").mkdir(parents=True)
    (tmp_path / "real-secret").mkdir()
    for name in ("real/images/in.png", "real-secret/out.png"):
        (tmp_path / name).write_bytes(b"x")
    root = tmp_path / "entries"
    root.symlink_to(tmp_path / "real")
    (root / "again.png").symlink_to("images/in.png")
    (root / "out.png").symlink_to(tmp_path / "real-secret/out.png")
    (root / "gone.png").symlink_to("../gone.png")
    (root / "folder").symlink_to("../real-secret")
    (root / "self.png").symlink_to("self.png")
    (root / "known.md").symlink_to("../gone.md")
    sources = ("images/in.png", "again.png", "self.png", "known.md", "out.png", "gone.png", "folder/out.png")
    links = links_out(root, sources)
    assert links == {
        "known.md": "known.md",
        "out.png": "out.png",
        "gone.png": "gone.png",
        "folder/out.png": "folder",
    }
    told = [Problem(Place("known.md"), "entry.file", "it cannot be read")]
    assert [str(one) for one in check_links_out(root, links.values(), told)] == [
        f"out.png:1:1: {TOLD.format('file')}",
        f"gone.png:1:1: {TOLD.format('file')}",
        f"folder:1:1: {TOLD.format('folder')}",
    ]


def test_the_site_has_nothing_from_elsewhere(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """No picture, page, entry or other file is published that a link brought in; check says the same."""
    secret = tmp_path / "secret"
    secret.mkdir()
    for name in ("key.txt", "a.png", "page.md", "entry.md"):
        (secret / name).write_text(f"{CONCEPT}cellarwords", encoding="utf-8")
    config = configure(tmp_path, {"index.md": "# Book\n", "concepts/walk.md": CONCEPT, "own.txt": "own"})
    entries = tmp_path / "entries"
    (entries / "images").symlink_to(secret)
    (entries / "key.txt").symlink_to("../secret/key.txt")
    (entries / "concepts/index.md").symlink_to(secret / "page.md")
    (entries / "concepts/entry.md").symlink_to(secret / "entry.md")
    (entries / "again.txt").symlink_to("own.txt")
    site = publish(config)
    texts = {path: path.read_bytes() for path in site.folder.rglob("*") if path.is_file()}
    assert [path for path, text in texts.items() if b"cellarwords" in text] == []
    assert site.text("again.txt") == "own"
    assert "Walk" in site.text("concepts/index.html")
    told = [
        (
            "concepts/entry.md:1:1: entry.file: the file is a link that leads out of the folder of the "
            "glossary; put a copy of the file here in place of the link"
        ),
        f"concepts/index.md:1:1: {TOLD.format('file')}",
        f"images:1:1: {TOLD.format('folder')}",
        f"key.txt:1:1: {TOLD.format('file')}",
    ]
    warned = [message for message in site.messages if message.startswith("WARNING")]
    assert sorted(warned) == [f"WARNING transposary: {one}" for one in told]
    assert main(["check", str(tmp_path)]) == 1
    assert capsys.readouterr().out.splitlines() == [*told, "4 errors, 0 remarks"]


def test_files_are_found_without_mkdocs(tmp_path: Path) -> None:
    """What is hidden or excluded is not published, links are followed once, and none out of the folder."""
    root = tmp_path / "entries"
    (root / ".hidden").mkdir(parents=True)
    (root / "images/drafts").mkdir(parents=True)
    for name in (".hidden/a.png", "images/b.png", "images/drafts/c.png", "index.md", "new.md"):
        (root / name).write_bytes(b"x")
    (root / "round").symlink_to(root)
    (root / "seen").symlink_to(".hidden")
    (root / "images/drafts/again").symlink_to("../../images")
    for name in ("out", "left-out", "images/drafts/out"):
        (root / name).symlink_to(tmp_path)
    found = set(published_files(root, ["left-out/", "images/drafts", "new.md"]))
    assert {name for name in found if not name.startswith("round/")} == {
        "index.md",
        "images/b.png",
        "seen/a.png",
        "out",
    }
    assert "left-out" in set(published_files(root, ["!"]))
