"""Links in the folder of the entries to files that are none of the glossary's."""

from __future__ import annotations

from pathlib import Path

from tests.site.published import configure, publish
from transposary.problems import Place, Problem
from transposary.site.linked import check_links_out

TOLD = (
    "glossary.link: the file is a link that leads out of the folder of the glossary, and is left out of "
    "the site; put a copy of the file here in place of the link"
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
    told = [Problem(Place("known.md"), "entry.file", "it cannot be read")]
    assert [str(one) for one in check_links_out(root, sources, told)] == [
        f"{name}:1:1: {TOLD}" for name in ("out.png", "gone.png", "folder/out.png")
    ]


def test_the_site_has_nothing_from_elsewhere(tmp_path: Path) -> None:
    """No picture, page, entry or other file is published that a link brought in, and each is told once."""
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
    names = ("key.txt", "concepts/index.md", "images/a.png", "images/entry.md", "images/key.txt")
    warned = [message for message in site.messages if message.startswith("WARNING")]
    assert sorted(one for one in warned if "glossary.link" in one) == sorted(
        f"WARNING transposary: {name}:1:1: {TOLD}" for name in (*names, "images/page.md")
    )
    assert [one for one in warned if "glossary.link" not in one] == [
        (
            "WARNING transposary: concepts/entry.md:1:1: entry.file: the file is a link that leads out of "
            "the folder of the glossary"
        )
    ]
