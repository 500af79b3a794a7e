"""The build without MkDocs: pages, files, drafts, broken entries, problems."""

from __future__ import annotations

import zlib
from concurrent.futures import Future
from dataclasses import replace
from pathlib import Path

import pytest

from tests.site.book import ENTRIES, write
from transposary.build import Site, Workshop, build_site
from transposary.cache import Cache
from transposary.engraving import EngraversError, EngravingFailure
from transposary.engraving.kept import joined, part_of
from transposary.engraving.pool import InThisProcess, draw_here
from transposary.settings import Settings
from transposary.site.figures import placeholder
from transposary.site.making import Making
from transposary.theory.keys import SLOTS

SETTINGS = Settings(workers=1)
INDEXES = {"index.md", "find.md", "today.md", "coverage.md", "note-down.md"} | {
    f"{name}/index.md" for name in ("devices", "keys", "songs", "concepts", "genres", "collections", "unused")
}
KEYS = {f"keys/{slot}.md" for slot in SLOTS}
PUBLISHED = {
    *("collections/first.md", "concepts/bass-line.md", "concepts/chromatic.md", "concepts/walk-up.md"),
    *("devices/climb.md", "devices/stretch.md", "songs/harbour.md", "songs/low-tide.md"),
}
FAILING = ("C", "part-bass-D")
DRAFTS = {"devices/sketch.md", "concepts/secret.md"}


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small glossary as files."""
    return write(tmp_path_factory.mktemp("entries"), ENTRIES)


@pytest.fixture(scope="module")
def published(root: Path) -> Site:
    """The small glossary, built."""
    return build_site(root, SETTINGS, drafts=False, before=None)


@pytest.fixture(scope="module")
def previewed(root: Path) -> Site:
    """The small glossary, as its author sees it."""
    return build_site(root, SETTINGS, drafts=True, before=None)


def test_every_published_entry_has_a_page(published: Site) -> None:
    """Entries, indexes and the twelve keys have pages; drafts and what only they name have none."""
    assert set(published.pages) == INDEXES | KEYS | PUBLISHED
    assert set(published.withheld) == DRAFTS


def test_an_author_sees_drafts(previewed: Site) -> None:
    """In a preview drafts have pages, marked as such."""
    assert set(previewed.pages) == INDEXES | KEYS | PUBLISHED | DRAFTS
    assert [source for source, page in previewed.pages.items() if page.draft] == ["devices/sketch.md"]
    assert previewed.withheld == ()


def test_every_key_has_midi_and_musicxml(published: Site) -> None:
    """A published device comes as MIDI and MusicXML in each slot; the rest is for programs and pages."""
    music = {
        f"devices/{slug}/{slot}.{kind}"
        for slug in ("climb", "stretch")
        for slot in SLOTS
        for kind in ("mid", "musicxml")
    }
    parts = {
        f"devices/{slug}/parts/{clef}-{slot}.js"
        for slug in ("climb", "stretch")
        for clef in ("treble", "alto", "bass")
        for slot in SLOTS
    }
    later = {"devices/climb/later/in-low-tide.js", "devices/part-glyphs.js"}
    find = {"find/index.js", "find/climb.js", "find/stretch.js"}
    exports = {"glossary.json", "glossary.schema.json"}
    assert set(published.files) == music | parts | later | find | exports
    assert published.files["devices/climb/Eb.mid"].read().startswith(b"MThd")
    assert (
        b"<movement-title>Climb &lt;to&gt; &quot;four&quot; in E"
        in published.files["devices/climb/Eb.musicxml"].read()
    )


def test_what_has_not_changed_is_used_again(published: Site, root: Path) -> None:
    """Notes, engravings, files and fits of a device are made once as long as it stays as it is."""
    again = build_site(root, SETTINGS, drafts=False, before=published)
    assert again.edition.worked["climb"] is published.edition.worked["climb"]
    assert again.edition.fitted["climb"] is published.edition.fitted["climb"]
    assert list(again.files.since(published.files)) == list(again.files.gone(published.files)) == []
    assert again.checked["climb"] is published.checked["climb"]
    assert again.problems == published.problems
    assert again.pages["devices/climb.md"] is published.pages["devices/climb.md"]
    assert again.prints.made == published.prints.made
    assert again.prints.there == published.prints.there


def test_fits_follow_the_songs(published: Site, tmp_path: Path) -> None:
    """Where a device fits is found again as soon as a chart has changed."""
    tide = ENTRIES["songs/low-tide.md"].replace("| G7 | C7 / G7 / |", "| Am | Em |")
    write(tmp_path, {**ENTRIES, "songs/low-tide.md": tide})
    again = build_site(tmp_path, SETTINGS, drafts=False, before=published)
    assert again.edition.worked["climb"] is published.edition.worked["climb"]
    assert [fit.song for fit in published.edition.fitted["climb"].fits] == ["low-tide"]
    assert again.edition.fitted["climb"].fits == ()


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("concepts/walk-up.md", "title: ", "title: The "),
        ("songs/low-tide.md", "title: ", "title: The "),
        ("collections/first.md", "title: ", "title: The "),
        ("devices/stretch.md", "title: ", "title: The "),
        ("devices/climb.md", "summary: ", "summary: Once "),
    ],
)
def test_a_page_follows_what_it_names(published: Site, tmp_path: Path, name: str, old: str, new: str) -> None:
    """Whichever entry changes, the pages are those that are made without an earlier build."""
    assert old in ENTRIES[name]
    write(tmp_path / "entries", {**ENTRIES, name: ENTRIES[name].replace(old, new, 1)})
    shop = Workshop(Cache(tmp_path / "cache"))
    fresh = build_site(tmp_path / "entries", SETTINGS, drafts=False, before=None, workshop=shop)
    again = build_site(tmp_path / "entries", SETTINGS, drafts=False, before=published, workshop=shop)
    assert again.pages == fresh.pages
    assert again.pages != published.pages
    assert again.files == fresh.files


def test_drafts_do_not_fail_a_build(tmp_path: Path) -> None:
    """What is wrong with a draft is told to an author who looks at it, and to nobody else."""
    sketch = ENTRIES["devices/sketch.md"].replace("---\nA draft.", 'theory:\n  degrees: "1 2 3 2"\n---\n')
    write(tmp_path, {**ENTRIES, "devices/sketch.md": sketch})
    files = {}
    for drafts in (False, True):
        problems = build_site(tmp_path, SETTINGS, drafts=drafts, before=None).problems
        files[drafts] = [problem.place.file for problem in problems if problem.rule == "theory.degrees"]
    assert files == {False: [], True: ["devices/sketch.md"]}


def test_a_broken_entry_has_a_page_for_its_author_only(tmp_path: Path) -> None:
    """An entry that cannot be read shows its problems in a preview and is left out of a build."""
    write(tmp_path, {**ENTRIES, "devices/climb.md": "---\ntitle: Climb\nrole: [\n---\n"})
    previewed = build_site(tmp_path, SETTINGS, drafts=True, before=None)
    assert previewed.pages["devices/climb.md"].template == "broken"
    built = build_site(tmp_path, SETTINGS, drafts=False, before=None)
    assert "devices/climb.md" in built.withheld
    assert any(problem.place.file == "devices/climb.md" for problem in built.problems)


class _Failing(InThisProcess):
    """An executor that fails on the first figure of a device, and on one of its parts."""

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN002, ANN003, ANN202
        works = args[0]
        if not (isinstance(works[0], Making) and works[0].slug == "climb"):
            return super().submit(fn, *args, **kwargs)
        results = draw_here(works[0].jobs())
        failures = tuple(EngravingFailure("climb", name, "verovio crashed") for name in FAILING)
        results = [one for one in results if one.slot not in FAILING]
        done: Future[object] = Future()
        done.set_result([(works[0].packed([*failures, *results]), failures)])
        return done


def test_what_cannot_be_engraved_is_an_error(root: Path, tmp_path: Path) -> None:
    """What the engraver fails on is told with the place of the notation, the rest is built, none is kept."""
    workshop = Workshop(Cache(tmp_path), executor=_Failing())
    site = build_site(root, SETTINGS, drafts=False, before=None, workshop=workshop)
    told = [str(problem) for problem in site.problems if problem.rule == "engraving.failed"]
    assert told == [
        f"devices/climb.md:12:3: engraving.failed: {name} could not be engraved: verovio crashed"
        for name in FAILING
    ]
    assert b"verovio crashed" in site.files["glossary.json"].read()
    assert sorted(site.prints.drawn("climb").engravings) == sorted({*SLOTS, "as-played-1"} - {"C"})
    assert "devices/climb/parts/bass-D.js" not in site.files
    assert site.files["devices/climb/parts/bass-C.js"].read().startswith(b"transposary.part(")
    assert "could not be engraved" in site.finish(str(placeholder("climb", "C")))
    again = build_site(root, SETTINGS, drafts=False, before=None, workshop=replace(workshop, executor=None))
    assert [problem for problem in again.problems if problem.rule == "engraving.failed"] == []
    assert again.files["devices/climb/C.mid"].origin != site.files["devices/climb/C.mid"].origin


def test_settings_reach_the_keys(root: Path) -> None:
    """Another spelling of a tonic changes the pages."""
    site = build_site(root, replace(SETTINGS, tonics={"Gb major": "F#"}), drafts=False, before=None)
    assert site.edition.worked["climb"].in_slot("Gb").name == "F♯ major"


def test_a_warm_build_is_a_cold_one(published: Site, root: Path, tmp_path: Path) -> None:
    """What the cache brings back makes the same pages and files, with nothing engraved."""
    drawn = {slug: published.prints.drawn(slug) for slug in published.prints.made}
    for _ in range(2):
        site = build_site(root, SETTINGS, drafts=False, before=None, workshop=Workshop(Cache(tmp_path)))
        assert {slug: site.prints.drawn(slug) for slug in site.prints.made} == drawn
        assert site.files == published.files
        assert site.pages == published.pages


def _tampered(data: bytes) -> bytes:
    """Puts a script into each part of a pack, as somebody does who knows how packs are written."""
    evil = b"<script>alert(1)</script>"
    parts = [part_of(data, number, 3) for number in range(3)]
    texts = [zlib.decompress(part).replace(b"<svg ", evil + b"<svg ") for part in parts[1:]]
    return joined([parts[0], *(zlib.compress(text.replace(b"<part ", evil + b"<part ")) for text in texts)])


def test_what_the_cache_has_that_is_not_ours_is_made_again(
    published: Site, root: Path, tmp_path: Path
) -> None:
    """It is found when it is wanted, and site and cache then have what they would have had."""
    cache = Cache(tmp_path)
    shop = Workshop(cache)
    first = build_site(root, SETTINGS, drafts=False, before=None, workshop=shop)
    keys = [first.prints.made["climb"].key, first.prints.there["climb", "in-low-tide"].key]
    packs = [cache.get(key) or b"" for key in keys]
    cache.put(keys[0], _tampered(packs[0]))
    cache.put(keys[1], zlib.compress(b"[]"))
    again = build_site(root, SETTINGS, drafts=False, before=None, workshop=shop)
    figures = "".join(placeholder("climb", name) for name in (*SLOTS, "as-played-1"))
    assert again.finish(figures) == published.finish(figures)
    assert {name: filed.read() for name, filed in again.files.items()} == {
        name: filed.read() for name, filed in published.files.items()
    }
    assert [cache.get(key) for key in keys] == packs


def test_what_cannot_be_made_again_ends_the_build(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a figure fails then, of which the pages have not told, the author is told how to go on."""
    cache = Cache(tmp_path)
    site = build_site(root, SETTINGS, drafts=False, before=None, workshop=Workshop(cache))
    key = site.prints.made["climb"].key
    cache.put(key, _tampered(cache.get(key) or b""))
    failed = [EngravingFailure("climb", "C", "crashed")]
    monkeypatch.setattr("transposary.engraving.pool.draw_here", lambda jobs: failed * len(jobs))
    said = "climb: C could not be engraved in the place of what the cache had, which is not ours; empty it"
    with pytest.raises(EngraversError, match=said):
        site.finish(str(placeholder("climb", "G")))


def test_a_pack_that_is_gone_is_made_again(root: Path, tmp_path: Path) -> None:
    """Another process may empty the cache before the pages are finished."""
    shop = Workshop(Cache(tmp_path))
    site = build_site(root, SETTINGS, drafts=False, before=None, workshop=shop)
    assert shop.cache.clear() > 0
    assert site.files["devices/climb/later/in-low-tide.js"].read().startswith(b"document.dispatchEvent")
    assert shop.cache.get(site.prints.there["climb", "in-low-tide"].key) is not None


def test_without_a_cache_a_build_is_the_same(published: Site, root: Path, tmp_path: Path) -> None:
    """Where nothing can be kept for the next build, pages and files are those of any other."""
    (tmp_path / "closed").write_text("in the way", encoding="utf-8")
    shop = Workshop(Cache(tmp_path / "closed"))
    site = build_site(root, SETTINGS, drafts=False, before=None, workshop=shop)
    assert site.files == published.files
    assert site.files["find/climb.js"].read() == published.files["find/climb.js"].read()
