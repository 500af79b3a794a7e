"""The build without MkDocs: pages, files, drafts, broken entries, problems."""

from __future__ import annotations

from concurrent.futures import Future
from dataclasses import replace
from pathlib import Path

import pytest

from tests.site.book import ENTRIES, write
from transposary.build import Site, Workshop, build_site
from transposary.cache import Cache
from transposary.engraving import EngravingFailure
from transposary.engraving.pool import InThisProcess
from transposary.settings import Settings
from transposary.site.edition import Made
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
    assert published.files["devices/climb/Eb.mid"].startswith(b"MThd")
    assert (
        b"<movement-title>Climb &lt;to&gt; &quot;four&quot; in E"
        in published.files["devices/climb/Eb.musicxml"]
    )


def test_what_has_not_changed_is_used_again(published: Site, root: Path) -> None:
    """Notes, engravings, files and fits of a device are made once as long as it stays as it is."""
    again = build_site(root, SETTINGS, drafts=False, before=published)
    assert again.edition.worked["climb"] is published.edition.worked["climb"]
    assert again.edition.fitted["climb"] is published.edition.fitted["climb"]
    assert again.files.keys() == published.files.keys()
    assert again.files["devices/climb/C.mid"] is published.files["devices/climb/C.mid"]
    parts = [name for name in published.files if name.startswith("devices/climb/parts/")]
    assert all(again.files[name] is published.files[name] for name in parts)
    assert again.checked["climb"] is published.checked["climb"]
    assert again.problems == published.problems
    assert again.pages["devices/climb.md"] is published.pages["devices/climb.md"]
    assert len(published.edition.engravings) == 26
    assert all(
        again.edition.engravings[key] is engraving for key, engraving in published.edition.engravings.items()
    )


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
    """An executor whose first figure fails."""

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN002, ANN003, ANN202
        done = super().submit(fn, *args, **kwargs)
        made = done.result()[0]
        if isinstance(made, Made) and made.engravings[0].slug == "climb":
            first, *others = made.engravings
            failure = EngravingFailure(first.slug, first.slot, "verovio crashed")
            done = Future()
            done.set_result((replace(made, engravings=tuple(others), failures=(failure,)), None))
        return done


def test_what_cannot_be_engraved_is_an_error(root: Path) -> None:
    """A key that the engraver fails on is told with the place of the notation, and the rest is built."""
    workshop = Workshop(executor=_Failing())
    site = build_site(root, SETTINGS, drafts=False, before=None, workshop=workshop)
    told = [str(problem) for problem in site.problems if problem.rule == "engraving.failed"]
    assert told == ["devices/climb.md:12:3: engraving.failed: C could not be engraved: verovio crashed"]
    assert b"verovio crashed" in site.files["glossary.json"]
    assert len(site.edition.engravings) == 25


def test_settings_reach_the_keys(root: Path) -> None:
    """Another spelling of a tonic changes the pages."""
    site = build_site(root, replace(SETTINGS, tonics={"Gb major": "F#"}), drafts=False, before=None)
    assert site.edition.worked["climb"].in_slot("Gb").name == "F♯ major"


def test_a_warm_build_is_a_cold_one(published: Site, root: Path, tmp_path: Path) -> None:
    """What the cache brings back makes the same pages and files, with nothing engraved."""
    for _ in range(2):
        site = build_site(root, SETTINGS, drafts=False, before=None, workshop=Workshop(Cache(tmp_path)))
        assert site.edition.engravings == published.edition.engravings
        assert site.files == published.files
        assert site.pages == published.pages
