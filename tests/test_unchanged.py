"""A site that stands as it would be written is left as it is."""

from __future__ import annotations

import logging
import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig

from tests.site.book import ENTRIES
from tests.site.published import Published, configure, publish
from transposary.cache import FOLDER, Cache
from transposary.plugin.known import surroundings
from transposary.plugin.unchanged import Unchanged
from transposary.problems import Place, Problem

REMARK = Problem.remark(Place("devices/climb.md", 4, 2), "theory.clash", "a note", "mend it")


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    """A glossary with a site, and the note of that site."""
    config = configure(tmp_path, ENTRIES)
    for name in ("index.html", "devices/climb.html"):
        (tmp_path / "site" / name).parent.mkdir(exist_ok=True)
        (tmp_path / "site" / name).write_text("a page", encoding="utf-8")
    note = _note(tmp_path, config)
    assert note is not None
    assert note.told() is None
    note.keep([REMARK])
    yield tmp_path
    assert not [one for one in logging.getLogger("mkdocs").handlers if type(one).__name__ == "_Listener"]


def _note(folder: Path, config: MkDocsConfig | None = None) -> Unchanged | None:
    known = config or load_config(config_file=str(folder / "mkdocs.yml"))
    around = surroundings(known, folder / "site")
    if around is None:
        return None
    return Unchanged.of(Cache(folder / FOLDER), folder / "site", Path(known.docs_dir), around)


def _told(folder: Path, config: MkDocsConfig | None = None) -> tuple[Problem, ...] | None:
    note = _note(folder, config)
    assert note is not None
    try:
        return note.told()
    finally:
        note.drop()


def test_what_was_told_is_told_again(folder: Path) -> None:
    """Where nothing has changed, an author is told the same."""
    assert _told(folder) == (REMARK,)


def _append(name: str) -> Callable[[Path], object]:
    return lambda folder: (folder / name).write_text((folder / name).read_text() + "\nmore: 1\n")


def _later(folder: Path) -> None:
    os.utime(folder / "site" / "index.html", ns=(0, 0))


CHANGES: dict[str, Callable[[Path], object]] = {
    "an entry": _append("entries/devices/climb.md"),
    "another entry": lambda folder: (folder / "entries/concepts/new.md").write_text("---\ntitle: New\n---\n"),
    "an entry gone": lambda folder: (folder / "entries/collections/first.md").unlink(),
    "an entry with another name": lambda folder: (folder / "entries/songs/harbour.md").rename(
        folder / "entries/songs/port.md"
    ),
    "a file of the author": lambda folder: (folder / "entries/own.css").write_text("a { color: blue }"),
    "an option": lambda folder: configure(folder, ENTRIES, site_name="Another book"),
    "an option of the plugin": lambda folder: configure(
        folder, ENTRIES, plugins=["search", "offline", {"transposary": {"workers": 1, "hand_span": 12}}]
    ),
    "an option of Markdown": lambda folder: configure(folder, ENTRIES, markdown_extensions=["admonition"]),
    "a page of the site": lambda folder: (folder / "site/index.html").write_text("another page"),
    "a page gone": lambda folder: (folder / "site/index.html").unlink(),
    "a page more": lambda folder: (folder / "site/more.html").write_text("more"),
    "a page written again": _later,
    "a link in the site": lambda folder: (folder / "site/more").symlink_to(folder / "entries"),
}


@pytest.mark.parametrize("what", CHANGES)
def test_what_a_site_is_made_from_is_known(folder: Path, what: str) -> None:
    """Whatever has changed, the site is written."""
    CHANGES[what](folder)
    assert _told(folder) is None


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("unchanged.get_build_date", lambda: "2031-02-03"),
        ("known.distributions", list),
        ("known._code", lambda _: ["another version"]),
        ("known.sys.version", "3.99"),
    ],
)
def test_what_makes_a_site_is_known(
    folder: Path, monkeypatch: pytest.MonkeyPatch, name: str, value: object
) -> None:
    """Another day, another version of this package or of another: the site is written."""
    monkeypatch.setattr(f"transposary.plugin.{name}", value)
    assert _told(folder) is None


def test_scripts_and_templates_are_code(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A site depends on every file of the package, whatever its kind."""
    package = folder / "package"
    (package / "assets").mkdir(parents=True)
    script = package / "assets" / "base.js"
    script.write_text("one")
    monkeypatch.setattr("transposary.plugin.known.resources", lambda _: package)
    note = _note(folder)
    assert note is not None
    note.keep([])
    assert _told(folder) == ()
    script.write_text("two")
    assert _told(folder) is None


def test_what_nobody_here_knows_has_the_site_written(folder: Path) -> None:
    """With hooks, or an option that could be anything, nothing is left standing."""
    config = load_config(config_file=str(folder / "mkdocs.yml"))
    config.extra["anything"] = object()
    assert _note(folder, config) is None
    config = load_config(config_file=str(folder / "mkdocs.yml"))
    config.hooks["own.py"] = object()
    assert _note(folder, config) is None
    config = load_config(config_file=str(folder / "mkdocs.yml"))
    # It sets texts from files anywhere into a page.
    config.markdown_extensions.append("pymdownx.snippets")
    assert _note(folder, config) is None
    (folder / "entries" / "linked.md").symlink_to(folder / "mkdocs.yml")
    assert _note(folder) is None


def test_a_word_of_mkdocs_has_the_site_written_again(folder: Path) -> None:
    """What somebody warns of is to be said again, and an entry that changed meanwhile is to be read."""
    configure(folder, ENTRIES, site_name="Another book")
    note = _note(folder)
    assert note is not None
    logging.getLogger("mkdocs.structure.pages").warning("a link leads nowhere")
    note.keep([])
    assert _told(folder) is None
    note = _note(folder)
    assert note is not None
    CHANGES["an entry"](folder)
    note.keep([])
    assert _told(folder) is None


def test_a_damaged_note_is_none(folder: Path) -> None:
    """A note that is cut off, or is another one, has the site written."""
    notes = [path for path in (folder / FOLDER).glob("*/*") if path.is_file()]
    for path in notes:
        path.write_bytes(path.read_bytes()[:-1])
    assert _told(folder) is None
    note = _note(folder)
    assert note is not None
    note.drop()
    note.cache.put(note._key(), b"[]")
    assert _told(folder) is None


def _bytes(site: Path) -> dict[str, bytes]:
    return {str(path.relative_to(site)): path.read_bytes() for path in site.rglob("*") if path.is_file()}


def _stamps(site: Path) -> dict[str, int]:
    return {str(path): path.stat().st_mtime_ns for path in site.rglob("*") if path.is_file()}


def test_a_build_leaves_what_it_would_write(tmp_path: Path) -> None:
    """The second build writes nothing; an edit has the site written, and taking it back as well."""

    def build() -> Published:
        return publish(configure(tmp_path, ENTRIES))

    first = build()
    cold, stamps = _bytes(first.folder), _stamps(first.folder)
    again = build()
    assert _stamps(again.folder) == stamps
    kept = f"INFO transposary: nothing has changed: the site in {again.folder} is left as it was"
    assert kept in again.messages
    said, told = ({one for one in site.messages if ".md" in one} for site in (first, again))
    assert told == said
    assert len(said) == 3
    edited = ENTRIES | {"devices/climb.md": ENTRIES["devices/climb.md"].replace("every Sunday", "on Monday")}
    other = publish(configure(tmp_path, edited))
    assert "on Monday" in other.text("devices/climb.html")
    assert kept not in other.messages
    back = build()
    assert kept not in back.messages
    assert _bytes(back.folder) == cold
