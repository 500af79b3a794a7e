"""Places where a device was played, held against the chart."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.site.book import write
from transposary.reading import read_glossary
from transposary.repertoire.applied import check_applied_chords, other_key

SONG = """---
title: Harbour
key: D
meter: 4/4
chart:
  A: "| D7 | G7 | A7 | D |"
form: [A, A]
---
"""
DEVICE = """---
title: Climb
summary: Three notes and a landing.
role: bass
frame: {frame}
notation: |
  M: 4/4
  L: 1/4
  K: G clef=bass
  "G7" G,,2 A,, B,, | "C7" C,4 |
applied_in:
  - song: harbour
    {lines}
---
"""


def _said(folder: Path, lines: str, frame: str = "key", song: str = SONG) -> list[str]:
    text = DEVICE.format(frame=frame, lines=lines)
    write(folder, {"songs/harbour.md": song, "devices/climb.md": text})
    glossary = read_glossary(folder).glossary
    return [str(problem) for problem in check_applied_chords(glossary.devices[0], glossary)]


@pytest.mark.parametrize(
    ("lines", "frame"),
    [
        ("bars: 1-2", "key"),
        ("bars: A 1-4", "key"),
        ("bars: 1-2\n    key: F", "key"),
        ("bars: 3-4\n    changed: over the five", "key"),
        ("bars: 1-2\n    key: D", "motion"),
    ],
)
def test_bars_that_hold_the_chords_are_fine(tmp_path: Path, lines: str, frame: str) -> None:
    """Bars may hold more, the band may play in another key, and what was changed may be said."""
    assert _said(tmp_path, lines, frame) == []


def test_a_chord_in_two_steps_counts_as_one(tmp_path: Path) -> None:
    """Where the chart suspends a chord first, or adds to it, the device still has its chords."""
    song = SONG.replace("| D7 | G7 |", "| D7 D7sus4 | G7 G13 |")
    assert _said(tmp_path, "bars: 1-2", song=song) == []
    assert len(_said(tmp_path, "bars: 2-3", song=song)) == 1


@pytest.mark.parametrize("bars", ["7-9", "B 1", "A 4-5"])
def test_bars_that_are_not_there_have_no_chords_to_judge(tmp_path: Path, bars: str) -> None:
    """That the song lacks them is said elsewhere, and once."""
    assert _said(tmp_path, f"bars: {bars}") == []


def test_other_chords_are_an_error(tmp_path: Path) -> None:
    """Bars, chords wanted and found, and how to mend it are said."""
    assert _said(tmp_path, "bars: A 3-4") == [
        (
            "devices/climb.md:13:11: repertoire.applied: expected the chords of the device in D major, "
            "D7 G7, found A7 D in Harbour, section A, bars 3–4; mend the bars or the key, say in "
            "`changed:` what was different, or give the notation as played"
        )
    ]


def test_the_key_of_the_band_moves_the_chart(tmp_path: Path) -> None:
    """Chords are named in the key that was played."""
    assert _said(tmp_path, "bars: 4\n    key: F") == [
        (
            "devices/climb.md:13:11: repertoire.applied: expected the chords of the device in F major, "
            "F7 Bb7, found F in Harbour, bar 4; mend the bars or the key, say in `changed:` what was "
            "different, or give the notation as played"
        )
    ]


@pytest.mark.parametrize(("key", "said"), [("F", "the chart is in D major"), ("D", "")])
def test_another_key_than_the_charts_is_said(tmp_path: Path, key: str, said: str) -> None:
    """The page says where the chart stands in another key than the band."""
    _said(tmp_path, f"bars: 1-2\n    key: {key}")
    glossary = read_glossary(tmp_path).glossary
    assert other_key(glossary.devices[0].applied_in[0], glossary.songs[0]) == said
