"""What an export takes along."""

from __future__ import annotations

from pathlib import Path
from zipfile import ZipFile

import pytest

from tests.site.book import write
from transposary.cli import main

NOTES = 'notation: |\n  M: 4/4\n  L: 1/4\n  K: G clef=bass\n  "G"G,, A,, B,, C,|\n'


def _device(title: str, more: str) -> str:
    return f"---\ntitle: {title}\nsummary: Notes.\nrole: bass\n{more}{NOTES}---\nWords.\n"


ENTRIES = {
    "devices/walk.md": _device("Walk", "concepts: [step, unwritten]\nheard_in:\n  - song: tide\n"),
    "devices/skip.md": _device("Skip", "variant_of: walk\ngenres: [Soul]\nsee_also: [lone]\n"),
    "devices/lone.md": _device("Lone", "level: 1\n"),
    "devices/sketch.md": _device("Sketch", "status: draft\nconcepts: [step]\n"),
    "songs/tide.md": '---\ntitle: Tide\nkey: G\nmeter: 4/4\ngenres: [folk]\nchart:\n  A: "| G |"\n---\nA.\n',
    "concepts/step.md": "---\ntitle: Step\nbroader: motion\n---\nA step.\n",
    "concepts/motion.md": "---\ntitle: Motion\n---\nAny.\n",
    "collections/monday.md": (
        "---\ntitle: Monday\npurpose: set\nitems:\n  - device: lone\n  - song: tide\n---\nBoth.\n"
    ),
}
UNKNOWN = "expected a device of the glossary, found `wlak`; did you mean `walk`?"
WALK = {"devices/walk.md", "songs/tide.md", "concepts/step.md", "concepts/motion.md"}
PUBLISHED = set(ENTRIES) - {"devices/sketch.md"}


@pytest.mark.parametrize(
    ("words", "taken"),
    [
        (("--device", "walk"), WALK),
        (("--device", "skip"), WALK | {"devices/skip.md"}),
        (("--song", "Tide"), WALK),
        (("--concept", "motion"), WALK),
        (("--genre", "soul"), WALK | {"devices/skip.md"}),
        (("--genre", "folk"), {"songs/tide.md"}),
        (("--collection", "monday"), {"collections/monday.md", "devices/lone.md", "songs/tide.md"}),
        (("--device", "lone", "--concept", "step"), WALK | {"devices/lone.md"}),
        ((), PUBLISHED),
    ],
)
def test_a_selection_brings_what_it_needs(tmp_path: Path, words: tuple[str, ...], taken: set[str]) -> None:
    """Concepts with what is broader, songs, and what a device is a variant of; drafts stay at home."""
    write(tmp_path / "entries", ENTRIES)
    archive = tmp_path / "out.zip"
    assert main(["export", str(archive), *words, "--folder", str(tmp_path / "entries")]) == 0
    with ZipFile(archive) as found:
        assert set(found.namelist()) - {"transposary.json"} == taken
        for name in taken:
            assert found.read(name).decode() == ENTRIES[name]


def test_it_is_said_how_much_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Whoever exports sees whether it was what they meant."""
    words = ("--collection", "monday", "--folder", str(write(tmp_path / "entries", ENTRIES)))
    assert main(["export", str(archive := tmp_path / "out.zip"), *words]) == 0
    assert capsys.readouterr().out == f"{archive} is written, with 1 device, 1 song, 1 collection\n"


def test_a_score_goes_with_its_entry(tmp_path: Path) -> None:
    """The score that an entry names is packed where the entry finds it again."""
    home = write(tmp_path / "entries", ENTRIES)
    words = ("--folder", str(home))
    assert main(["score", "device", "walk", "--output", str(home / "devices/walk.musicxml"), *words]) == 0
    entry = ENTRIES["devices/lone.md"].replace(NOTES, "score: walk.musicxml\n")
    (home / "devices/lone.md").write_text(entry, encoding="utf-8")
    assert main(["export", str(tmp_path / "out.zip"), "--device", "lone", *words]) == 0
    with ZipFile(tmp_path / "out.zip") as found:
        assert found.namelist() == ["devices/lone.md", "devices/walk.musicxml", "transposary.json"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("out.zip", "--device", "wlak"),
            UNKNOWN,
        ),
        (("out.tar",), "an archive ends in .zip, found `out.tar`"),
        (("out.zip", "--genre", "polka"), "nothing of the glossary is chosen by that"),
    ],
)
def test_what_cannot_be_chosen_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    """A name that nothing has writes nothing."""
    home = write(tmp_path / "entries", ENTRIES)
    assert main(["export", *words, "--folder", str(home)]) == 2
    assert capsys.readouterr().err == f"{said}\n"
