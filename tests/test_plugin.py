"""The MkDocs adapter: whole sites, built with all events and served by the real command."""

from __future__ import annotations

import gc
import http.client
import json
import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import pytest
from mkdocs.exceptions import Abort
from mkdocs.structure.files import File

from tests.site.book import ENTRIES
from tests.site.inspect import dead_links, foreign_loads, parse
from tests.site.published import Published, configure, publish
from transposary.plugin import TransposaryConfig, TransposaryPlugin
from transposary.plugin.filing import SmallPage
from transposary.progress import Progress

DIRECTORIES: dict[str, object] = {
    "plugins": ["search", {"transposary": {"workers": 1}}],
    "use_directory_urls": True,
}
WRONG = {"devices/climb.md": ENTRIES["devices/climb.md"].replace('"1 2 3 | 4"', '"1 2 b3 | 4"')}
BROKEN = {"devices/climb.md": ENTRIES["devices/climb.md"].replace("C,4 |", "C,3 |")}


@pytest.fixture(scope="module")
def offline(tmp_path_factory: pytest.TempPathFactory) -> Published:
    """The small glossary, to be read from the disk."""
    return publish(configure(tmp_path_factory.mktemp("offline"), ENTRIES))


@pytest.fixture(scope="module")
def directories(tmp_path_factory: pytest.TempPathFactory) -> Published:
    """The small glossary with folders as addresses."""
    return publish(configure(tmp_path_factory.mktemp("directories"), ENTRIES, **DIRECTORIES))


@pytest.fixture(params=["offline", "directories"])
def published(request: pytest.FixtureRequest) -> Published:
    """The small glossary, with either kind of addresses."""
    site: Published = request.getfixturevalue(request.param)
    return site


def test_options_are_valid_as_they_are() -> None:
    """The plugin needs no options; a wrong one is told with its name."""
    config = TransposaryConfig()
    config.load_dict({})
    assert config.validate() == ([], [])
    assert (config.hand_span, config.tonics, config.workers) == (14, {}, 0)
    config.load_dict({"hand_span": "wide"})
    failed, _ = config.validate()
    assert [name for name, _ in failed] == ["hand_span"]


@pytest.mark.parametrize(
    ("command", "before", "meanwhile"),
    [
        ("build", (700, 7, 8), (50_000, 7, 1_000)),
        ("build", (60_000, 7, 8), (60_000, 7, 1_000)),
        ("build", (0, 7, 8), (0, 7, 8)),
        ("serve", (700, 7, 8), (700, 7, 8)),
    ],
)
def test_python_looks_seldom_for_rings_while_it_builds(
    command: Literal["build", "serve"], before: tuple[int, int, int], meanwhile: tuple[int, int, int]
) -> None:
    """A build collects garbage more seldom, never against somebody's wish, and leaves it as it was."""
    known = gc.get_threshold()
    plugin = TransposaryPlugin()
    try:
        gc.set_threshold(*before)
        plugin.on_startup(command=command, dirty=False)
        assert gc.get_threshold() == meanwhile
        plugin.on_shutdown()
        assert gc.get_threshold() == before
    finally:
        gc.set_threshold(*known)


def test_tonics_that_are_no_keys_are_refused() -> None:
    """A tonic of another slot, or one without a signature, is told like any wrong option."""
    config = TransposaryConfig()
    config.load_dict({"tonics": {"Gb major": "F#", "C minor": "D", "Ab major": "G#"}})
    failed, _ = config.validate()
    assert [(name, str(error)) for name, error in failed] == [
        (
            "tonics",
            (
                "C minor: 'D' is another key on the keyboard. "
                "Ab major: G# major would need 8 sharps in its signature; write 'Ab major'"
            ),
        )
    ]


def test_every_link_within_the_site_leads_somewhere(published: Published) -> None:
    """All addresses and anchors of all pages exist, whatever the kind of addresses."""
    assert dead_links(published.folder) == []


def test_nothing_is_loaded_from_another_host(published: Published) -> None:
    """Scripts, style sheets, fonts and pictures all lie in the site."""
    assert foreign_loads(published.folder) == []
    assert not re.search(
        r"url\([\"']?(https?:)?//", "".join(p.read_text() for p in published.folder.rglob("*.css"))
    )


def test_a_clean_glossary_builds_without_a_warning(published: Published) -> None:
    """MkDocs finds nothing to warn of in what the plugin gives it."""
    assert [message for message in published.messages if not message.startswith("INFO")] == []


def test_entries_reach_mkdocs_without_their_front_matter(offline: Published) -> None:
    """No line of an entry's head stands on a page, and its title is escaped everywhere."""
    html = offline.text("devices/climb.html")
    page = parse(html)
    assert "notation:" not in html
    assert page.one("title").text == 'Climb <to> "four" - Small book'
    assert page.one("h1").text == 'Climb <to> "four"'
    assert page.all("meta", name="description")[0].attrs["content"] == "Three notes & a landing."


def test_the_finished_page_has_its_engravings(offline: Published) -> None:
    """Twelve engravings stand in the page itself."""
    keys = parse(offline.text("devices/climb.html")).one(data_device="climb")
    assert [len(figure.all("svg", role="img")) for figure in keys.all("figure")] == [1] * 12


def test_entries_are_not_in_the_navigation(offline: Published) -> None:
    """The navigation is the indexes, so that it does not grow with the glossary."""
    links = (
        parse(offline.text("index.html"))
        .all("nav", class_="md-nav--primary")[0]
        .all("a", class_="md-nav__link")
    )
    assert [link.text for link in links] == [
        *("Home", "Devices", "Find", "Today", "Keys", "Songs", "Concepts", "Genres", "Lessons and sets")
    ]


def test_the_contents_list_the_sections(offline: Published) -> None:
    """Beside a page stand its own headings and those of the prose, but not the twelve keys."""
    links = parse(offline.text("devices/climb.html")).all("nav", class_="md-nav--secondary")[0].all("a")
    assert [link.text for link in links if link.attrs["href"].startswith("#")] == [
        *("In every key", "How to play it", "In any key", "What happens", "Degrees and harmony"),
        *("Proved against the notes", "Fingering", "Heard in"),
        *("Applied in", "Where it fits", "Related devices", "In lessons and sets", "Mentioned in"),
    ]


def _found(site: Published, words: str) -> set[str]:
    docs = json.loads(site.text("search/search_index.json"))["docs"]
    texts = [(doc["location"].split("#")[0], f"{doc['title']} {doc['text']}".casefold()) for doc in docs]
    return {location for location, text in texts if all(word in text for word in words.split())}


@pytest.mark.parametrize(
    "words",
    [
        "climb &lt;to&gt;",
        "♭7 climb",
        "b7 climb",
        "chromatic",
        "deep soul",
        "harbour",
        "every sunday",
        "b7",
        "♭7",
    ],
    ids=["title", "alias", "other spelling", "concept", "genre", "song", "prose", "b7", "♭7"],
)
def test_the_search_finds_a_device(offline: Published, words: str) -> None:
    """A device is found by what a reader may know of it, in either spelling."""
    assert "devices/climb.html" in _found(offline, words)


def test_the_search_sees_no_engraving(offline: Published) -> None:
    """Neither SVG nor the notes in words are searched, nor the lists that repeat every title."""
    index = offline.text("search/search_index.json")
    assert "svg" not in index
    assert "quarter" not in index
    assert _found(offline, "three notes &amp; landing") == {"devices/climb.html", "collections/first.html"}


def test_a_link_to_a_draft_becomes_plain_text(offline: Published) -> None:
    """In a build drafts have no page, and prose that links one keeps its words."""
    assert not (offline.folder / "devices" / "sketch.html").exists()
    assert "see the sketch" in parse(offline.text("devices/climb.html")).text


def test_errors_fail_a_strict_build(tmp_path: Path) -> None:
    """A contradiction is a warning of MkDocs, told with file, line and column."""
    config = configure(tmp_path, {**ENTRIES, **WRONG}, strict=True)
    with pytest.raises(Abort):
        publish(config)
    told = publish(configure(tmp_path, {**ENTRIES, **WRONG})).messages
    warnings = [message for message in told if message.startswith("WARNING")]
    assert len(warnings) == 1
    assert warnings[0].startswith("WARNING transposary: devices/climb.md:17:17: theory.degrees: ")


def test_remarks_do_not_fail_a_strict_build(tmp_path: Path) -> None:
    """Advice is told as information."""
    told = publish(configure(tmp_path, ENTRIES, strict=True)).messages
    assert any(message.startswith("INFO transposary: devices/stretch.md:") for message in told)


def test_the_author_sees_drafts_and_problems_in_serve(tmp_path: Path) -> None:
    """Served pages show drafts, problems with their place, and broken entries."""
    config = configure(tmp_path, {**ENTRIES, **BROKEN})
    site = publish(config, "serve", "http://127.0.0.1:8000/")
    assert "A draft: only you see it" in parse(site.text("devices/sketch.html")).text
    page = parse(site.text("devices/climb.html")).one("article")
    assert page.text.startswith('Climb <to> "four" This entry could not be read.')
    assert page.one("li", class_="tp-problem--error").text.startswith("devices/climb.md:15:")
    assert "devices/climb.md:15:" in parse(site.text("index.html")).one("article").text


def test_pages_of_the_author_stand_beside_ours(tmp_path: Path) -> None:
    """Another page is left to MkDocs and joins the navigation; words for an index stand above its list."""
    own = {"about.md": "# About\n\nUs.\n", "devices/index.md": "# What we play\n\nAll of it.\n"}
    site = publish(configure(tmp_path, {**ENTRIES, **own}))
    assert "Us." in parse(site.text("about.html")).text
    article = parse(site.text("devices/index.html")).one("article")
    assert [one.text for one in article.all("h1")] == ["What we play"]
    assert len(article.one("ul", class_="tp-index").all("li", data_level="2")) == 1
    navigation = parse(site.text("index.html")).all("nav", class_="md-nav--primary")[0]
    assert navigation.all("a", class_="md-nav__link")[-1].text == "About"


def test_a_file_that_cannot_be_an_entry_is_left_out(tmp_path: Path) -> None:
    """What stands among the entries under a wrong name is told, and its YAML is on no page."""
    own = {
        "devices/Bad Name.md": ENTRIES["devices/stretch.md"],
        "devices/more/deep.md": "---\ntitle: x\n---\n",
    }
    site = publish(configure(tmp_path, {**ENTRIES, **own}))
    assert not (site.folder / "devices" / "Bad Name.html").exists()
    assert not (site.folder / "devices" / "more").exists()
    warnings = [message for message in site.messages if message.startswith("WARNING")]
    assert [message.split(": ")[1:3] for message in warnings] == [
        ["devices/Bad Name.md:1:1", "entry.slug"],
        ["devices/more/deep.md:1:1", "entry.folder"],
    ]


def test_an_old_name_sends_the_reader_on(published: Published) -> None:
    """An alias written as a file name keeps the address that the entry had before."""
    old = "songs/ebb.html" if (published.folder / "songs" / "ebb.html").exists() else "songs/ebb/index.html"
    page = parse(published.text(old))
    assert page.one("p").text == "This page is now Low Tide."
    href = page.one("a").attrs["href"]
    assert page.one("meta", http_equiv="refresh").attrs["content"] == f"0; url={href}"


def test_nothing_is_written_into_the_entries(tmp_path: Path) -> None:
    """The folder of the author stays as it was, or serve would build for ever."""
    config = configure(tmp_path, ENTRIES)
    before = {path: path.stat().st_mtime_ns for path in (tmp_path / "entries").rglob("*")}
    publish(config)
    assert {path: path.stat().st_mtime_ns for path in (tmp_path / "entries").rglob("*")} == before


def _command(folder: Path, *words: str, **environment: str) -> subprocess.Popen[str]:
    # Popen, not run: the test has to talk to the server while it lives.
    return subprocess.Popen(
        (sys.executable, "-m", "mkdocs", *words),
        cwd=folder,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1", **environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def test_builds_give_the_same_bytes(tmp_path: Path) -> None:
    """Workers and hash seeds change nothing; MkDocs itself stamps the day, which is fixed here."""
    # So many devices that worker processes are started.
    entries = ENTRIES | {f"devices/climb-{n}.md": ENTRIES["devices/climb.md"] for n in (2, 3)}
    built = []
    for seed in (1, 2):
        folder = tmp_path / str(seed)
        configure(folder, entries, plugins=["search", "offline", {"transposary": {"workers": seed}}])
        command = _command(folder, "build", "-q", PYTHONHASHSEED=str(seed), SOURCE_DATE_EPOCH="1767225600")
        output, _ = command.communicate()
        assert command.returncode == 0, output
        site = folder / "site"
        built.append(
            {path.relative_to(site): path.read_bytes() for path in site.rglob("*") if path.is_file()}
        )
    assert len(list(Path(tmp_path / "1" / "site" / "devices").glob("climb*.html"))) == 3
    assert built[0].keys() == built[1].keys()
    assert [name for name, content in built[0].items() if content != built[1][name]] == []


class _Served:
    """A running `mkdocs serve`."""

    def __init__(self, folder: Path) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port: int = free.getsockname()[1]
        self.folder = folder
        self.process = _command(folder, "serve", "-q", "-a", f"127.0.0.1:{self.port}")

    def read(self, name: str) -> str:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        try:
            connection.request("GET", f"/{name}")
            return connection.getresponse().read().decode()
        finally:
            connection.close()

    def wait_for(self, name: str, words: str) -> None:
        """Asks until a page has some words; fails after a time that no build takes."""
        last = ""
        for _ in range(300):
            assert self.process.poll() is None, self.process.communicate()[0]
            try:
                last = self.read(name)
            except ConnectionError:
                last = "no answer"
            if words in last:
                return
            time.sleep(0.2)
        pytest.fail(f"{name} has no {words!r} but {last[:2000]!r}")

    def edit(self, name: str, text: str) -> None:
        (self.folder / "entries" / name).write_text(text, encoding="utf-8")


@pytest.fixture
def served(tmp_path: Path) -> Iterator[_Served]:
    """The small glossary, served by the real command."""
    configure(tmp_path, ENTRIES)
    server = _Served(tmp_path)
    yield server
    server.process.kill()
    server.process.communicate()


def test_serve_follows_the_author(served: _Served) -> None:
    """An edit shows, a broken entry shows its problems, and the server lives on until it is mended."""
    served.wait_for("devices/climb.html", "Three notes &amp; a landing.")
    served.edit("devices/climb.md", ENTRIES["devices/climb.md"].replace("Three notes", "Four notes"))
    served.wait_for("devices/climb.html", "Four notes &amp; a landing.")
    served.edit("devices/climb.md", BROKEN["devices/climb.md"])
    served.wait_for("devices/climb.html", "This entry could not be read.")
    served.edit("devices/climb.md", "no head at all")
    served.wait_for("index.html", "devices/climb.md:1:1")
    served.edit("devices/climb.md", ENTRIES["devices/climb.md"])
    served.wait_for("devices/climb.html", "Three notes &amp; a landing.")


GENERATED = (
    "# Mine\n\n[MIDI](devices/climb/C.mid), [part](devices/climb/parts/bass-C.js), [all](glossary.json)\n"
)


def test_an_author_may_link_to_what_is_made_of_a_device(tmp_path: Path) -> None:
    """MkDocs finds what it does not write, writes nothing else in its place, and says what is not there."""
    own = {"mine.md": GENERATED, "glossary.json": "mine", "devices/climb/C.mid": "mine"}
    options = {"exclude_docs": "devices/climb/*.musicxml"}
    published = publish(configure(tmp_path, ENTRIES | own, strict=True, **options))
    assert [link for link in dead_links(published.folder) if not link.endswith(".musicxml")] == []
    assert (published.folder / "devices" / "climb" / "C.mid").read_bytes().startswith(b"MThd")
    assert published.text("glossary.json").startswith("{")
    assert [path.name for path in (published.folder / "devices" / "climb").glob("*.musicxml")] == []
    assert (published.folder / "devices" / "stretch" / "C.musicxml").is_file()
    wrong = {"mine.md": "[MIDI](devices/climb/H.mid) [score](devices/climb/C.musicxml)\n"}
    with pytest.raises(Abort, match="Aborted with 1 warnings in strict mode!"):
        publish(configure(tmp_path, ENTRIES | wrong, strict=True, **options))


def test_the_content_of_a_page_is_what_was_set(tmp_path: Path) -> None:
    """Whoever asks for it gets it whole, however little room it takes meanwhile."""
    config = configure(tmp_path, {"index.md": "# Home\n"})
    page = SmallPage(None, File("devices/climb.md", None, str(tmp_path), use_directory_urls=True), config)
    assert page.content is None
    for content in ("", "<p>E♭ 𝄞</p>" * 1000):
        page.content = content
        assert page.content == content
    assert page.file.page is page


def test_a_build_says_how_far_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From the first entry to the last page, each stretch of work comes to its end."""
    heard: dict[str, tuple[int, int]] = {}

    class Hearing(Progress):
        def __call__(self, what: str, done: int, every: int) -> None:
            heard[what] = done, every

    monkeypatch.setattr("transposary.plugin.events.Progress", Hearing)
    publish(configure(tmp_path, ENTRIES))
    assert list(heard) == ["placing", "fitting into songs", "engraving", "composing", "writing pages"]
    assert [what for what, (done, every) in heard.items() if done != every] == []
