"""Reading a whole folder."""

from __future__ import annotations

from pathlib import Path

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
