"""What a server leaves standing: after any edit it serves what a new build would write."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.plugins import BasePlugin

from tests.site.book import ENTRIES
from tests.site.published import configure
from transposary.site.compiled import Compiled

URL = "http://127.0.0.1:8000/"
ABOUT = "# About\n\nSee [a climb](devices/climb.md#how-to-play-it), [heard](devices/climb/C.mid).\n"


class Server:
    """What `mkdocs serve` does at an edit, without a port and without waiting."""

    def __init__(self, folder: Path, site: Path) -> None:
        self.folder, self.site = folder, site
        self._plugins: dict[str, BasePlugin] = {}  # type: ignore[type-arg]  (of any options)
        self._load().plugins.on_startup(command="serve", dirty=False)

    def _load(self) -> MkDocsConfig:
        # MkDocs keeps one plugin a process; two servers here must not share theirs.
        vars(MkDocsConfig)["plugins"].plugin_cache = self._plugins
        return load_config(str(self.folder / "mkdocs.yml"), site_dir=str(self.site))

    def build(self) -> dict[str, bytes]:
        """Builds, and gives what is served."""
        config = self._load()
        config.site_url = URL
        build(config, serve_url=URL)
        return {str(path.relative_to(self.site)): path.read_bytes() for path in _files(self.site)}

    def written(self) -> dict[str, int]:
        """Tells when each file was written."""
        return {str(path.relative_to(self.site)): path.stat().st_mtime_ns for path in _files(self.site)}

    def close(self) -> None:
        """Ends it."""
        self._load().plugins.on_shutdown()


def _files(site: Path) -> Iterator[Path]:
    return (path for path in sorted(site.rglob("*")) if path.is_file())


@contextmanager
def _serve(folder: Path, site: Path) -> Iterator[Server]:
    cached = vars(MkDocsConfig)["plugins"].plugin_cache
    server = Server(folder, site)
    try:
        yield server
    finally:
        server.close()
        vars(MkDocsConfig)["plugins"].plugin_cache = cached


@pytest.fixture(scope="module")
def compiled() -> Compiled:
    """The theme's templates, which no edit changes."""
    return Compiled()


@pytest.fixture
def served(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, compiled: Compiled) -> Iterator[Server]:
    """A server of the small glossary, with a page of the author's own, that has built once."""
    monkeypatch.setattr("transposary.plugin.events.Compiled", lambda: compiled)
    configure(tmp_path, {**ENTRIES, "about.md": ABOUT})
    with _serve(tmp_path, tmp_path / "served") as server:
        server.build()
        yield server


def _new(server: Server) -> dict[str, bytes]:
    """Gives what a server that starts now would serve."""
    with _serve(server.folder, server.folder / "new") as other:
        return other.build()


def _write(name: str, text: str) -> Callable[[Path], object]:
    def write(entries: Path) -> None:
        (entries / name).write_text(text, encoding="utf-8")

    return write


def _both(one: Callable[[Path], object], other: Callable[[Path], object]) -> Callable[[Path], object]:
    def both(entries: Path) -> None:
        one(entries)
        other(entries)

    return both


CLIMB = ENTRIES["devices/climb.md"]
EDITS: dict[str, Callable[[Path], object]] = {
    "a word of prose": _write("devices/climb.md", CLIMB.replace("every Sunday", "any Monday")),
    "a note": _write("devices/stretch.md", ENTRIES["devices/stretch.md"].replace("[ce] |", "[df] |")),
    "a sign for the same meter": _write(
        "devices/climb.md", CLIMB.replace("M: 4/4\n  L: 1/4\n  K: G", "M: C\n  L: 1/4\n  K: G")
    ),
    "a title that others mention": _write(
        "songs/harbour.md", ENTRIES["songs/harbour.md"].replace("title: Harbour", "title: Old Harbour")
    ),
    "a chart in which devices fit": _write(
        "songs/low-tide.md", ENTRIES["songs/low-tide.md"].replace("G7 | C7 / G7 /", "C7 | G7 | C7")
    ),
    "a heading that a page links": _write("devices/climb.md", CLIMB.replace("How to play it", "Play it")),
    "a new concept": _write("concepts/sunday.md", "---\ntitle: Sunday\n---\nA day; see Stretch.\n"),
    "an entry that cannot be read": _write("devices/climb.md", CLIMB.replace("C,4 |", "C,3 |")),
    "another name": lambda entries: (entries / "concepts/sunday.md").rename(entries / "concepts/monday.md"),
    "an entry gone, and a page of the author": _both(
        lambda entries: (entries / "collections/first.md").unlink(),
        _write("about.md", "---\ntitle: Us\n---\n# About\n\nUs.\n"),
    ),
    "a page that the theme has, too": _write("404.md", "# Lost\n\nNothing is here.\n"),
    "a word elsewhere": _write("about.md", "---\ntitle: Us\n---\n# About\n\nAll of us.\n"),
}


def _said(caplog: pytest.LogCaptureFixture) -> list[str]:
    """Takes what MkDocs has said of links."""
    told = sorted(record.getMessage() for record in caplog.records if record.name == "mkdocs.structure.pages")
    caplog.clear()
    return told


def test_a_server_serves_what_a_new_build_would(served: Server, caplog: pytest.LogCaptureFixture) -> None:
    """After each of many edits, one upon the other, all files and warnings are those of a new build."""
    caplog.set_level(logging.INFO, "mkdocs")
    warned = []
    for name, edit in EDITS.items():
        edit(served.folder / "entries")
        kept, said = served.build(), _said(caplog)
        new, said_new = _new(served), _said(caplog)
        # Its head has the time of the newest page that was made.
        kept.pop("sitemap.xml.gz", None), new.pop("sitemap.xml.gz", None)
        assert (name, kept.keys() ^ new.keys()) == (name, set())
        assert (name, [file for file in kept if kept[file] != new[file]]) == (name, [])
        assert (name, said) == (name, said_new)
        warned += [name] if said else []
    # The page that links the heading is kept, and its warning said again.
    assert warned == list(EDITS)[5:9]


def test_what_an_edit_does_not_concern_is_left_alone(served: Server) -> None:
    """Neither the pages nor the files of other entries are written again."""
    before = served.written()
    _edit(served)
    written = {name for name, at in served.written().items() if before.get(name) != at}
    assert {name for name in written if name.endswith(".html")} == {"404.html", "devices/stretch.html"}
    assert [name for name in written if name.startswith("devices/climb")] == []


def test_files_of_a_device_are_written_when_its_notes_have_changed(served: Server) -> None:
    """What is made of its notes is written again, what is made of all notes too, and no other file."""
    before = served.written()
    EDITS["a note"](served.folder / "entries")
    served.build()
    written = {name for name, at in served.written().items() if before.get(name) != at}
    files = {name for name in written if name.rpartition(".")[2] in ("js", "mid", "musicxml")}
    assert {"devices/stretch/C.mid", "devices/stretch/parts/bass-C.js", "find/stretch.js"} <= files
    others = {"devices/part-glyphs.js", "find/index.js", "search/search_index.js"}
    assert {name for name in files if "stretch" not in name} <= others


def test_files_of_a_device_go_with_it(served: Server) -> None:
    """When an entry is taken away, so are its files, and the folders that they leave empty."""
    (served.folder / "entries" / "devices" / "stretch.md").unlink()
    assert [name for name in served.build() if "stretch" in name] == []
    assert not (served.site / "devices" / "stretch").exists()


def _edit(server: Server) -> dict[str, bytes]:
    text = ENTRIES["devices/stretch.md"].replace("Roll it.", "Do not roll it.")
    (server.folder / "entries" / "devices" / "stretch.md").write_text(text, encoding="utf-8")
    return server.build()


def test_with_code_of_the_author_all_is_made_again(served: Server) -> None:
    """What a hook makes of a page may depend on anything, such as the number of builds."""
    hook = "BUILDS = []\ndef on_pre_build(config): BUILDS.append(1)\n"
    hook += "def on_post_page(output, page, config): return f'{len(BUILDS)} {output}'\n"
    (served.folder / "hook.py").write_text(hook, encoding="utf-8")
    with (served.folder / "mkdocs.yml").open("a", encoding="utf-8") as file:
        file.write("hooks: [hook.py]\n")
    served.build()
    before = served.written()
    _edit(served)
    assert [name for name, at in served.written().items() if before[name] == at] == []


def test_options_of_the_site_reach_every_page(served: Server) -> None:
    """When mkdocs.yml changes, no page is kept."""
    path = served.folder / "mkdocs.yml"
    path.write_text(path.read_text(encoding="utf-8").replace("Small book", "Large book"), encoding="utf-8")
    pages = {name: text for name, text in served.build().items() if name.endswith(".html")}
    assert [name for name, text in pages.items() if b"Small book" in text] == []


def test_a_build_that_fails_loses_nothing(served: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    """The build after one that was broken off serves what a new one would."""
    with monkeypatch.context() as broken:
        broken.setattr("transposary.site.compose.outline", lambda _: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            _edit(served)
    with monkeypatch.context() as broken:
        broken.setattr("transposary.plugin.events.build_site", lambda *_, **__: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            served.build()
    assert served.build() == _new(served)
