"""Reading a whole folder."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from transposary.glossary import BarRange, Frame, Glossary
from transposary.pitch import Pitch
from transposary.problems import Place
from transposary.reading import read_glossary

DEVICE = """---
title: Rocking bass
summary: Root and fifth.
role: bass
concepts: [{concept}]
notation: |
  M: 4/4
  L: 1/4
  K: C clef=bass
  "C" C, G, C, G, |
heard_in:
  - song: {song}
---
Prose.
"""
SONG = """---
title: Low Tide
key: G
meter: 4/4
chart:
  A: "| G | D7 |"
---
"""


def folder(path: Path, **files: str) -> Path:
    """Writes entries, the names of files with `__` for the slash."""
    for name, text in files.items():
        file = path / f"{name.replace('__', '/')}.md"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    return path


def test_references_match_without_case_spaces_and_hyphens(tmp_path: Path) -> None:
    """A song is found by its title in other letters, and the reference knows its slug."""
    device = DEVICE.format(song="LOW TIDE", concept="pedal")
    root = folder(tmp_path, devices__rock=device, **{"songs__low-tide": SONG})
    heard = read_glossary(root).glossary.device["rock"].heard_in[0].song
    assert heard is not None
    assert heard.slug == "low-tide"


def test_an_unwritten_concept_becomes_an_undefined_one(tmp_path: Path) -> None:
    """A concept that only a device names gets an entry of its own, marked as undefined."""
    root = folder(tmp_path, devices__rock=DEVICE.format(song="low-tide", concept="pedal"))
    concept = read_glossary(root).glossary.concept["pedal"]
    assert (concept.title, concept.defined, concept.place) == (
        "pedal",
        False,
        Place("devices/rock.md", 5, 12),
    )


def test_ordinary_pages_are_left_alone(tmp_path: Path) -> None:
    """Index pages, hidden files and other files in the folders are no entries."""
    root = folder(tmp_path, devices__index="# Devices\n", songs__README="Songs.\n", about="About.\n")
    folder(root, **{"devices__.trash__old": "?", "devices__.hidden": "?"})
    (root / "devices" / "take.mxl").write_bytes(b"PK")
    reading = read_glossary(root)
    assert (reading.problems, reading.broken) == ((), ())


def test_an_empty_folder_is_an_empty_glossary(tmp_path: Path) -> None:
    """A glossary without any folder of entries reads as empty."""
    assert read_glossary(tmp_path).glossary == Glossary()


def test_entries_are_sorted_by_slug(tmp_path: Path) -> None:
    """The order is that of the slugs, not of the paths."""
    songs = {f"songs__{slug}": SONG.replace("Low Tide", slug) for slug in ("tide-low", "tide", "a1")}
    reading = read_glossary(folder(tmp_path, **songs))
    assert [song.slug for song in reading.glossary.songs] == ["a1", "tide", "tide-low"]


def test_two_spellings_of_an_unwritten_concept_are_one(tmp_path: Path) -> None:
    """Devices that name an unwritten concept in different letters mean the same one, remarked once."""
    one = DEVICE.format(song="low-tide", concept="Pedal Point")
    other = one.replace("Rocking bass", "Other").replace("Pedal Point", "pedal-point")
    root = folder(tmp_path, devices__a=one, devices__b=other, **{"songs__low-tide": SONG})
    reading = read_glossary(root)
    assert [(concept.slug, concept.title) for concept in reading.glossary.concepts] == [
        ("pedal-point", "Pedal Point")
    ]
    assert [str(ref.slug) for device in reading.glossary.devices for ref in device.concepts] == [
        "pedal-point"
    ] * 2
    assert [problem.rule for problem in reading.problems] == ["concept.undefined"]


def test_every_field_reaches_the_model(tmp_path: Path) -> None:
    """What the author says in the fields of a device is what the model holds."""
    more = (
        "aliases: [Rock]\ngenres: [soul]\nlevel: 3\nline: bottom\nrange: E1-C4\nfeel: swing 16\ntempo: 92\n"
        "frame: motion\nover: [I, 'i7 | V7']\ntheory:\n  degrees: {LH: '1 5 1 5'}\n  shapes: major\n"
        "  scale:\n    - major\n    - name: blues\n      root: b3\n      bars: 1\n      outside: 3\n"
        "see_also: []\naccept: [reach]\nstatus: draft\n"
    )
    text = DEVICE.format(song="low-tide", concept="pedal").replace("heard_in", more + "heard_in")
    root = folder(tmp_path, devices__rock=text, **{"songs__low-tide": SONG})
    device = read_glossary(root).glossary.device["rock"]
    assert (device.aliases, device.genres, device.level, device.line) == (("Rock",), ("soul",), 3, "bottom")
    assert device.compass == (Pitch.parse("E1"), Pitch.parse("C4"))
    assert (str(device.feel), device.tempo, device.frame) == ("swing 16", 92, Frame.MOTION)
    assert [text.value for text in device.over] == ["I", "i7 | V7"]
    assert [(claim.name, claim.scope, [text.value for text in claim.texts]) for claim in device.claims] == [
        ("degrees", "LH", ["1 5 1 5"]),
        ("shapes", None, ["major"]),
    ]
    assert [tuple(map(str, (one.name, one.root, one.bars, one.outside))) for one in device.scales] == [
        ("major", "None", "None", "None"),
        ("blues", "b3", "1", "3"),
    ]
    assert (device.accept, device.draft, device.prose) == (("reach",), True, "Prose.\n")
    assert device.claims[0].place == Place("devices/rock.md", 21, 13)


def test_applications_and_collections_reach_the_model(tmp_path: Path) -> None:
    """Where a device was played, and what a lesson lists, is what the model holds."""
    applied = (
        "applied_in:\n  - song: low-tide\n    bars: A 1–2\n    key: Bb minor\n    date: 2026-03-14\n"
        "    changed: slower\n    notation: |\n      M: 4/4\n      L: 1/4\n      K: C clef=bass\n"
        "      C,4 |\nheard_in"
    )
    device = DEVICE.format(song="low-tide", concept="pedal").replace("heard_in", applied)
    lesson = (
        "---\ntitle: Monday\npurpose: lesson\nitems:\n  - device: Rocking Bass\n    keys: [F#, Bb minor]\n"
        "    note: Slowly.\n  - song: low-tide\n---\n"
    )
    root = folder(tmp_path, devices__rock=device, collections__monday=lesson, **{"songs__low-tide": SONG})
    glossary = read_glossary(root).glossary
    (one,) = glossary.device["rock"].applied_in
    assert (one.song.slug, one.bars, str(one.key)) == ("low-tide", BarRange(1, 2, "A"), "Bb minor")
    assert (one.date, one.changed) == (date(2026, 3, 14), "slower")
    assert one.bars.place == Place("devices/rock.md", 13, 11)
    assert one.notation is not None
    assert one.notation.end == 4
    first, second = glossary.collection["monday"].items
    assert first.device is not None
    assert (first.device.slug, first.keys, first.note) == ("rock", ("Gb", "Bb"), "Slowly.")
    assert second.song is not None
    assert second.song.slug == "low-tide"


def test_a_file_that_holds_the_same_is_not_read_again(tmp_path: Path) -> None:
    """Of an earlier reading only those files count that have not changed."""
    root = folder(
        tmp_path, devices__rock=DEVICE.format(song="low-tide", concept="pedal"), **{"songs__low-tide": SONG}
    )
    before = read_glossary(root)
    again = read_glossary(root, before=before.read)
    assert again == before
    assert all(again.read[name] is read for name, read in before.read.items())
    folder(root, **{"songs__low-tide": SONG.replace("title: ", "title: The ")})
    changed = read_glossary(root, before=before.read)
    assert changed == read_glossary(root)
    assert changed != before
