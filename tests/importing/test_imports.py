"""Glossaries that meet: one exported, another importing it."""

from __future__ import annotations

import posixpath
import re
from pathlib import Path

import pytest
import yaml

from tests.demo import GLOSSARY
from tests.site.book import write
from tests.site.published import configure, publish
from transposary.cli import main
from transposary.glossary import Glossary, source_name
from transposary.importing import read_all
from transposary.problems import Place, report
from transposary.settings import Import, Settings

DEMO = Path(__file__).parents[2]
NOTES = 'notation: |\n  M: 4/4\n  L: 1/4\n  K: G clef=bass\n  "G"G,, A,, B,, C,|\n'
HORNS = {
    "devices/walk.md": (
        "---\ntitle: Walk\nsummary: Four notes.\nrole: bass\nconcepts: [step, leap]\nsee_also: [gone]\n"
        f"heard_in:\n  - song: tide\n{NOTES}---\nSee [the song](../songs/tide.md), a Walk by step.\n"
    ),
    "devices/wrong.md": (
        f"---\ntitle: Wrong\nsummary: Four notes.\nrole: bass\n{NOTES}"
        'theory:\n  degrees: "1 2 3 5"\n---\nWords.\n'
    ),
    "devices/broken.md": "---\ntitle: Broken\nrole: bass\n---\nWords.\n",
    "devices/sketch.md": (
        f"---\ntitle: Sketch\nsummary: Not yet.\nrole: bass\nstatus: draft\n{NOTES}---\nWords.\n"
    ),
    "songs/tide.md": '---\ntitle: Tide\nkey: G\nmeter: 4/4\nchart:\n  A: "| G | C |"\n---\nA song.\n',
    "concepts/step.md": "---\ntitle: Step\n---\nThe horns' own definition.\n",
}
LEFT_OUT = "{}: remark: import.entry: this imported entry is left out: {}; tell its author"
BROKEN = "entry.missing: a device needs its notes in the field `notation`, found none"
WRONG = "theory.degrees: 5 is written, the notes have 4 (C3) in bar 1, beat 4"
OWN = {
    "index.md": "# Home\n",
    "devices/walk.md": (
        f"---\ntitle: Walk\nsummary: Four notes.\nrole: bass\nconcepts: [leap]\n{NOTES}---\nSee Step.\n"
    ),
    "devices/other.md": (
        "---\ntitle: Other\nsummary: More.\nrole: bass\nconcepts: [step]\nsee_also: [walk, horns/walk]\n"
        f"heard_in:\n  - song: horns/tide\n{NOTES.replace('B,,', 'C,')}---\nWords.\n"
    ),
    "concepts/leap.md": "---\ntitle: Leap\n---\nOur own definition.\n",
    "collections/both.md": (
        "---\ntitle: Both\npurpose: set\nitems:\n  - device: walk\n  - device: horns/walk\n"
        "  - song: horns/tide\n---\nBoth.\n"
    ),
}


def _met(tmp_path: Path) -> tuple[Glossary, str]:
    horns = write(tmp_path / "horns", HORNS)
    own = write(tmp_path / "entries", OWN)
    settings = Settings(imports=(Import("horns", "../horns", horns, Place("../mkdocs.yml")),))
    reading = read_all(own, settings)
    return reading.glossary, report(reading.problems)


def test_names_are_kept_apart(tmp_path: Path) -> None:
    """A name means an entry of one's own first, and those of others under their source."""
    glossary, _ = _met(tmp_path)
    assert [device.slug for device in glossary.devices] == ["horns/walk", "other", "walk"]
    assert [ref.slug for ref in glossary.device["other"].see_also] == ["walk", "horns/walk"]
    items = glossary.collection["both"].items
    assert [one.device.slug for one in items if one.device] == ["walk", "horns/walk"]
    assert [one.song.slug for one in items if one.song] == ["horns/tide"]
    assert [source.title for source in glossary.sources] == ["horns"]


def test_references_of_others_stay_among_them(tmp_path: Path) -> None:
    """An imported entry means its own glossary; a concept unwritten there may be written here."""
    glossary, _ = _met(tmp_path)
    walk = glossary.device["horns/walk"]
    assert [ref.slug for ref in walk.concepts] == ["horns/step", "leap"]
    assert [heard.song and heard.song.slug for heard in walk.heard_in] == ["horns/tide"]
    assert [ref.slug for ref in walk.see_also] == [None]
    # And the other way round.
    assert [ref.slug for ref in glossary.device["other"].concepts] == ["horns/step"]
    assert sorted(concept.slug for concept in glossary.concepts) == ["horns/step", "leap"]


def test_what_is_wrong_with_others_is_left_out_and_said(tmp_path: Path) -> None:
    """Entries that cannot be read, or that their notes contradict, are left out by name."""
    _, said = _met(tmp_path)
    assert said.splitlines() == [
        LEFT_OUT.format("horns/devices/broken.md:1:1", BROKEN),
        LEFT_OUT.format("horns/devices/wrong.md:11:19", WRONG),
        "0 errors, 2 remarks",
    ]


def test_one_device_under_two_names_is_reported(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Notes that somebody else has too are remarked on in one's own entry, where that can be accepted."""
    _met(tmp_path)
    plugins = [{"transposary": {"import": {"horns": "horns"}}}]
    configuration = {"site_name": "Own", "docs_dir": "entries", "plugins": plugins}
    (tmp_path / "mkdocs.yml").write_text(yaml.safe_dump(configuration), encoding="utf-8")
    assert main(["check", str(tmp_path)]) == 0
    assert (
        "devices/walk.md:7:3: remark: glossary.likeness: these are the notes of Walk "
        "(horns/devices/walk.md), moved to another pitch; write `variant_of: horns/walk` if that is meant, "
        "or keep one of the two" in capsys.readouterr().out.splitlines()
    )


def test_a_song_of_others_can_be_played_and_their_device_is_left_to_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A version in an imported song stands in one's own entry; an imported entry is never written to."""
    _met(tmp_path)
    plugins = [{"transposary": {"import": {"horns": "horns"}}}]
    configuration = {"docs_dir": "entries", "plugins": plugins}
    (tmp_path / "mkdocs.yml").write_text(yaml.safe_dump(configuration), encoding="utf-8")
    home = ("--folder", str(tmp_path))
    assert main(["apply", "other", "horns/tide", "A 1", "--date", "2026-03-14", *home]) == 0
    assert "  - song: horns/tide\n" in (tmp_path / "entries/devices/other.md").read_text(encoding="utf-8")
    capsys.readouterr()
    assert main(["apply", "horns/walk", "horns/tide", "A 1", *home]) == 2
    assert "expected a device of the glossary, found `horns/walk`" in capsys.readouterr().err
    assert (tmp_path / "horns/devices/walk.md").read_text(encoding="utf-8") == HORNS["devices/walk.md"]


def test_an_import_that_is_not_there_is_named_where_it_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The author finds the line of mkdocs.yml."""
    write(tmp_path / "entries", {"index.md": "# Home\n"})
    (tmp_path / "mkdocs.yml").write_text(
        "docs_dir: entries\nplugins:\n  - transposary:\n      import:\n        horns: ../nowhere.zip\n",
        encoding="utf-8",
    )
    assert main(["check", str(tmp_path)]) == 1
    assert capsys.readouterr().out == (
        "../mkdocs.yml:5:16: import.source: `../nowhere.zip` is not imported: there is no folder and no "
        "archive `../nowhere.zip`; name a folder, or a .zip written by  transposary export\n"
        "1 error, 0 remarks\n"
    )


def test_an_exported_glossary_is_shown_with_credit(tmp_path: Path) -> None:
    """What one glossary exports, another shows: all links lead somewhere, and its source is named."""
    archive = tmp_path / "ferry.zip"
    assert main(["export", str(archive), "--device", "walk-up-to-the-four", "--folder", str(DEMO)]) == 0
    plugins = ["search", "offline", {"transposary": {"workers": 1, "import": {"ferry": "ferry.zip"}}}]
    entries = {"index.md": "# Home\n", "concepts/leap.md": "---\ntitle: Leap\n---\nOurs.\n"}
    site = publish(configure(tmp_path, entries, plugins=plugins))
    assert [one for one in site.messages if one.startswith(("WARNING", "ERROR"))] == []
    page = site.text("devices/ferry/walk-up-to-the-four.html")
    assert '<p class="tp-credit">From The Half-Past Ferry book.</p>' in page
    assert '<span class="tp-origin">from ferry</span>' in site.text("devices/index.html")
    assert "Walk-up</span> to the four (ferry)</a>" in site.text("keys/Eb.html")
    assert "devices/ferry/walk-up-to-the-four/Eb.musicxml" in {
        path.relative_to(site.folder).as_posix() for path in site.folder.rglob("*.musicxml")
    }
    for path in site.folder.rglob("*/*.html"):
        for href in re.findall(r'(?:href|src)="([^"#?:]+)(?:#[^"]*)?"', path.read_text(encoding="utf-8")):
            assert Path(posixpath.normpath(path.parent / href)).exists(), (path, href)


def test_an_export_is_the_same_bytes_and_reads_as_the_same_entries(tmp_path: Path) -> None:
    """What comes back of a whole glossary is all of it that is published and defined."""
    one, two = tmp_path / "one.zip", tmp_path / "two.zip"
    assert main(["export", str(one), "--folder", str(DEMO)]) == 0
    assert main(["export", str(two), "--folder", str(DEMO)]) == 0
    assert one.read_bytes() == two.read_bytes()
    (tmp_path / "devices").mkdir()
    settings = Settings(imports=(Import("ferry", "one.zip", one, Place("../mkdocs.yml")),))
    reading = read_all(tmp_path, settings)
    demo = GLOSSARY
    assert reading.problems == ()
    assert {source_name(entry.slug) for entry in reading.glossary.entries()} == {"ferry"}
    assert [one.slug for one in reading.glossary.entries() if not one.draft] == [
        f"ferry/{one.slug}" for one in demo.entries() if not one.draft
    ]
    assert [one.passage for one in reading.glossary.devices] == [one.passage for one in demo.devices]
