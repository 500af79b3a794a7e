"""What a build takes over from the old site: after any edit the new site is that of a new build."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig

from tests.site.book import ENTRIES
from tests.site.published import Published, configure, publish
from transposary.cache import FOLDER, Cache
from transposary.engraving.kept import UNSOUND, packed, unpacked
from transposary.plugin.known import has_known_templates, surroundings
from transposary.plugin.standing import _digest, _Note, _read
from transposary.site.links import Link

CLIMB = ENTRIES["devices/climb.md"].replace("; see [the sketch](sketch.md) and", ", as")
STRETCH = ENTRIES["devices/stretch.md"]
# The theme has a page of that name, too.
LOST = "# Lost\n\nNothing is here.\n"
ABOUT = "# About\n\nSee [a climb](devices/climb.md#how-to-play-it).\n"
LOWER = """---
title: Lower
summary: One note.
role: bass
frame: key
notation: |
  M: 4/4
  L: 1/4
  K: C clef=bass
  "C" C,4 |
---
A bass line; see [the sketch](sketch.md).
"""


@pytest.fixture(autouse=True)
def _apart() -> Iterator[None]:
    """Leaves no plugin behind: each build is one of a new process."""
    cached = vars(MkDocsConfig)["plugins"].plugin_cache
    yield
    vars(MkDocsConfig)["plugins"].plugin_cache = cached


def _build(folder: Path, site: str = "site") -> Published:
    vars(MkDocsConfig)["plugins"].plugin_cache = {}
    return publish(load_config(str(folder / "mkdocs.yml"), site_dir=str(folder / site)))


def _new(folder: Path) -> Published:
    """Builds where nothing can be taken over."""
    shutil.rmtree(folder / "new", ignore_errors=True)
    return _build(folder, "new")


def _bytes(site: Path) -> dict[str, bytes]:
    return {str(path.relative_to(site)): path.read_bytes() for path in site.rglob("*") if path.is_file()}


def _stamps(site: Path) -> dict[str, int]:
    files = (path for path in site.rglob("*") if path.is_file())
    return {str(path.relative_to(site)): path.stat().st_mtime_ns for path in files}


def _said(site: Published) -> list[str]:
    return sorted(one for one in site.messages if ".md" in one)


def _write(name: str, text: str) -> Callable[[Path], object]:
    return lambda folder: (folder / "entries" / name).write_text(text, encoding="utf-8")


def _all(*edits: Callable[[Path], object]) -> Callable[[Path], object]:
    return lambda folder: [edit(folder) for edit in edits]


def _touch(folder: Path) -> None:
    for name in ("stretch.html", "climb/C.mid"):
        path = folder / "site" / "devices" / name
        path.write_bytes(path.read_bytes() + b"<!-- mine -->")


MADE = {"climb", "lower", "stretch"}
# Each edit upon the one before, the devices whose pages have to be made again, and those whose music
# has. MkDocs has something to say of `lower`, which links a draft: that is to be said again.
EDITS: dict[str, tuple[Callable[[Path], object], set[str], set[str]]] = {
    "a note, and a word of a concept": (
        _all(
            _write("devices/stretch.md", STRETCH.replace("[ce] |", "[df] |")),
            _write("concepts/bass-line.md", ENTRIES["concepts/bass-line.md"].replace("lowest", "deep")),
        ),
        {"lower", "stretch"},
        {"stretch"},
    ),
    "a new mention": (
        _write("devices/stretch.md", f'{STRETCH}As in Climb &lt;to&gt; "four".\n'),
        MADE,
        {"stretch"},
    ),
    "a mention less": (_write("devices/stretch.md", STRETCH), MADE, set()),
    "a heading that a page links": (
        _write("devices/climb.md", CLIMB.replace("How to play it", "Play it")),
        {"climb", "lower"},
        set(),
    ),
    "a page of the author, and what the navigation shows": (
        _write("about.md", f"---\ntitle: Us\n---\n{ABOUT}"),
        MADE,
        set(),
    ),
    "a title, and a file of the author": (
        _all(
            _write("songs/harbour.md", ENTRIES["songs/harbour.md"].replace("Harbour", "Port", 1)),
            _write("own.css", "a { color: blue }"),
        ),
        MADE,
        set(),
    ),
    "an entry that cannot be read": (
        _write("devices/climb.md", CLIMB.replace("C,4 |", "C,3 |")),
        MADE - {"climb"},
        set(),
    ),
    "its mending, an entry more, one gone, and one under another name": (
        _all(
            _write("devices/climb.md", CLIMB),
            lambda folder: (folder / "entries/collections/first.md").unlink(),
            lambda folder: (folder / "entries/concepts/bass-line.md").unlink(),
            _write("concepts/bass.md", "---\ntitle: Bass\naliases: [bass-line]\n---\nThe lowest line.\n"),
            _write("concepts/sunday.md", "---\ntitle: Sunday\n---\nA day; see Stretch.\n"),
        ),
        MADE,
        {"climb"},
    ),
    "files that somebody touched or took away": (
        _all(_touch, lambda folder: (folder / "site/devices/lower.html").unlink()),
        {"lower", "stretch"},
        {"climb"},
    ),
    "a file in the place of a page": (_write("find.html", "mine"), {"lower"}, set()),
    "its going, and an alias": (
        _all(
            lambda folder: (folder / "entries/find.html").unlink(),
            _write("concepts/sunday.md", "---\ntitle: Sunday\naliases: [rolledchord]\n---\nA day.\n"),
            _write("devices/stretch.md", STRETCH.replace("Roll it.", "Play a rolled chord.")),
        ),
        MADE,
        set(),
    ),
    "the alias spelled otherwise": (
        _write("concepts/sunday.md", "---\ntitle: Sunday\naliases: [rolled chord]\n---\nA day.\n"),
        MADE,
        set(),
    ),
}

# In these an edit reaches the prose of a device only, and all pages but its own stand.
OF_PROSE = ("a heading that a page links", "files that somebody touched or took away")
# The last two are the old names of pages.
ALWAYS = {"404.html", "index.html", "songs/ebb.html", "concepts/bass-line.html"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A glossary with a page of the author's own, that has been built."""
    more = {"devices/climb.md": CLIMB, "devices/lower.md": LOWER, "about.md": ABOUT, "404.md": LOST}
    configure(tmp_path, {**ENTRIES, **more})
    _build(tmp_path)
    return tmp_path


def test_the_site_is_that_of_a_new_build(folder: Path) -> None:
    """After each of many edits, one upon the other, all files and messages are those of a new build."""
    for name, (edit, made, played) in EDITS.items():
        edit(folder)
        before = _stamps(folder / "site")
        site = _build(folder)
        written = {one for one, stamp in _stamps(site.folder).items() if before.get(one) != stamp}
        new = _new(folder)
        found, wanted = _bytes(site.folder), _bytes(new.folder)
        assert (name, found.keys() ^ wanted.keys()) == (name, set())
        assert (name, [file for file in found if found[file] != wanted[file]]) == (name, [])
        assert (name, _said(site)) == (name, _said(new))
        pages = {one for one in MADE if f"devices/{one}.html" in written}
        assert (name, pages) == (name, made)
        others = {one for one in written if one.endswith(".html")} - {f"devices/{one}.html" for one in MADE}
        assert name not in OF_PROSE or (name, others - ALWAYS) == (name, set())
        music = {one for one in MADE for path in written if path.startswith(f"devices/{one}/C.")}
        assert (name, music) == (name, played)


def _key(folder: Path) -> str:
    """Finds the name of the note among all that is kept."""
    cache = Cache(folder / FOLDER)
    for path in sorted((folder / FOLDER).glob("*/*")):
        try:
            content = unpacked(cache.get(path.name) or b"")
        except UNSOUND:
            continue
        if isinstance(content, list) and len(content) == 5 and "devices/climb.md" in content[2]:
            return path.name
    raise LookupError


def _changed(note: bytes, change: Callable[[Any], object]) -> bytes:
    content = unpacked(note)
    change(content)
    return packed(content)


def _set(page: str, field: int, value: object) -> Callable[[Any], object]:
    return lambda content: content[2][page].__setitem__(field, value)


SPOILT: dict[str, Callable[[Any], object]] = {
    "something missing": lambda content: content.pop(),
    "files without a time": lambda content: content[4].update({"glossary.json": ["", 1]}),
    "another search index": lambda content: content.__setitem__(1, [1, 1]),
    "a field more": lambda content: content[2]["devices/climb.md"].append("more"),
    "a number for a name": _set("devices/climb.md", 4, [1]),
    "a text for a time": _set("devices/climb.md", 3, ["1", "2"]),
    "a list for a table": _set("devices/climb.md", 5, ["devices/climb.md"]),
    "a link that speaks to a terminal": _set("devices/climb.md", 7, {"about.md": {"here": "\x1b[2J"}}),
}


def _forge(content: Any) -> None:  # noqa: ANN401  (a note)
    """Says that climb is mentioned by stretch, which does not stand."""
    pages = content[2]
    pages["devices/stretch.md"][1] = "mentioned elsewhere"
    pages["devices/stretch.md"][4] = ["devices/climb.md"]
    links = (Link("Stretch", "devices/stretch.md"), Link("Walk-up", "concepts/walk-up.md"))
    pages["devices/climb.md"][1] = _digest(links)
    pages["songs/harbour.md"][2] = "../outside.html"


def test_a_note_is_not_believed(folder: Path) -> None:
    """A note that is cut off or spoilt is none; one that lies makes no other page."""
    cache, key, old = Cache(folder / FOLDER), _key(folder), folder / "site"
    note = cache.get(key) or b""
    read = _read(note, old)
    known, docs = read.pages, read.docs
    assert {"devices/climb", "devices/stretch"} <= read.bundles.keys()
    assert {"glossary.json", "find/climb.js"} <= read.single.keys()
    assert {"devices/climb.md", "devices/stretch.md", "songs/harbour.md", "about.md"} <= known.keys()
    # The home page is made always, and of the other one MkDocs has something to say.
    assert not {"index.md", "devices/lower.md"} & known.keys()
    assert "devices/climb.html" in docs
    for name, spoil in SPOILT.items():
        assert (name, _read(_changed(note, spoil), old)) == (name, _Note())
    assert _read(note[:-9], old) == _read(None, old) == _Note()
    cache.put(key, _changed(note, _forge))
    # What lies in the old site must not be written to, whatever was taken over at first.
    os.link(folder / "site/devices/climb.html", folder / "old.html")
    _write("devices/lower.md", LOWER.replace("bass line", "line"))(folder)
    site = _build(folder)
    assert _bytes(site.folder) == _bytes(_new(folder).folder)
    assert not (site.folder / "devices/climb.html").samefile(folder / "old.html")
    assert not (folder / "outside.html").exists()


def test_a_build_that_fails_leaves_the_old_site(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The old site is as it was, also pages that were taken over; a lost cache costs time only."""
    before, stamps = _bytes(folder / "site"), _stamps(folder / "site")
    _write("devices/lower.md", LOWER.replace("bass line", "line"))(folder)
    with monkeypatch.context() as broken:
        broken.setattr("transposary.plugin.events.with_policy", lambda *_: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            _build(folder)
    assert _bytes(folder / "site") == before
    assert _stamps(folder / "site") == stamps
    shutil.rmtree(folder / FOLDER)
    site = _build(folder)
    assert _bytes(site.folder) == _bytes(_new(folder).folder)
    left = {name for name, stamp in _stamps(site.folder).items() if stamps[name] == stamp}
    # What MkDocs copies keeps the time at which it was written first.
    assert {name for name in left if not name.startswith("assets/")} == set()


def test_what_nobody_here_knows_has_all_made_again(tmp_path: Path) -> None:
    """With hooks, templates of the author, or extensions that open files, nothing is taken over."""
    (tmp_path / "theme").mkdir()
    (tmp_path / "hook.py").write_text("", encoding="utf-8")
    more: dict[str, object] = {
        "hooks": ["hook.py"],
        "markdown_extensions": ["pymdownx.snippets"],
        "theme": {"name": "material", "custom_dir": str(tmp_path / "theme")},
        "extra_templates": ["list.html"],
    }
    for name, value in more.items():
        config = configure(tmp_path, ENTRIES, **{name: value})
        known = has_known_templates(config) and surroundings(config, tmp_path / "site") is not None
        assert (name, known) == (name, False)
    config = configure(tmp_path, ENTRIES)
    assert has_known_templates(config)
    assert surroundings(config, tmp_path / "site") is not None
