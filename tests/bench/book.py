"""Glossaries of any size for measurements: the same number gives the same files.

Devices have one or two hands and one to eight bars, in all keys; songs have bars that they fit.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

from transposary.passage import Key, Mode
from transposary.pitch import NoteName
from transposary.theory.keys import SLOTS
from transposary.theory.numerals import parse_numeral, realise

DEGREES = (
    "I",
    "ii7",
    "iii7",
    "IV",
    "IVmaj7",
    "V7",
    "vi7",
    "bVII7",
    "iv6",
    "II7",
    "V",
    "vi",
    "bVImaj7",
    "VI7",
)
CONCEPTS = ("walk-up", "neighbour", "cadence", "cliche-line", "pedal", "enclosure", "block", "passing")
GENRES = ("soul", "gospel", "folk", "jazz")
ROLES = ("bass", "comping", "voicing", "melody", "fill", "intro", "ending", "turnaround")
CONFIGURATION = """\
site_name: Bench
docs_dir: entries
theme:
  name: material
  font: false
  features: [navigation.tabs, navigation.top]
plugins:
  - search
  - offline
  - transposary
markdown_extensions: [attr_list, tables]
"""
_SONG_BARS = 16
_DEVICES_A_SONG = 5


def write_book(folder: Path, devices: int) -> None:
    """Writes mkdocs.yml and entries into a folder: a song to five devices, and eight concepts."""
    _write(folder / "mkdocs.yml", CONFIGURATION)
    entries = folder / "entries"
    _write(entries / "index.md", "---\ntitle: Bench\n---\n# Bench\n")
    rows: list[list[str]] = []
    for number in range(devices):
        rng = Random(number)  # noqa: S311  (test data, no secret)
        row = [rng.choice(DEGREES) for _ in range(rng.choice((1, 2, 2, 2, 3, 4, 4, 4, 6, 8)) * 2)]
        rows.append(row)
        _write(entries / "devices" / f"device-{number}.md", _device(number, row, rng))
    for number in range(devices // _DEVICES_A_SONG):
        _write(entries / "songs" / f"song-{number}.md", _song(number, rows))
    for name in CONCEPTS:
        _write(entries / "concepts" / f"{name}.md", f"---\ntitle: {name}\n---\nA term of the trade.\n")


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def _device(number: int, row: list[str], rng: Random) -> str:
    key = rng.choice(SLOTS)
    hands = rng.choice((("LH",), ("RH",), ("RH", "LH"), ("RH", "LH")))
    voices = "\n".join(_voice(hand, row, key, rng, symbols=hand == hands[0]) for hand in hands)
    harmony = " | ".join(" ".join(row[at : at + 2]) for at in range(0, len(row), 2))
    concepts = ", ".join(rng.sample(CONCEPTS, 2))
    genres = ", ".join(rng.sample(GENRES, 2))
    heard = f"heard_in:\n  - song: song-{number // _DEVICES_A_SONG}\n" if number % 3 == 0 else ""
    return f"""---
title: Device {number}
summary: What device {number} is good for.
role: {rng.choice(ROLES)}
concepts: [{concepts}]
genres: [{genres}]
level: {rng.randint(1, 5)}
tempo: {rng.randint(60, 120)}
notation: |
  M: 4/4
  L: 1/8
  K: {key}
{voices}
theory:
  harmony: "{harmony}"
{heard}---
Play it as a {rng.choice(CONCEPTS)} before the next one, slowly at first, and listen to the *outer* notes.

## How to play it

Begin with the left hand alone. Then the right one joins, and both go on until nothing has to be
thought of any more.
"""


def _voice(hand: str, row: list[str], key: str, rng: Random, *, symbols: bool) -> str:
    """Writes one hand: two chords a bar, each half a bar in one of several rhythms."""
    low = hand == "LH"
    halves = []
    for name in row:
        numeral = parse_numeral(name)
        assert not hasattr(numeral, "hint"), name
        chord = realise(numeral, Key(NoteName.parse(key), Mode.MAJOR))
        tones = [_abc(tone, low=low) for tone in chord.names[:4]]
        shown = f'"{chord}" ' if symbols else ""
        halves.append(shown + next(_rhythm(tones, rng, low=low)))
    bars = " | ".join(" ".join(halves[at : at + 2]) for at in range(0, len(halves), 2))
    return f"  V:{hand}{' clef=bass' if low else ''}\n  {bars} |"


def _rhythm(tones: list[str], rng: Random, *, low: bool) -> Iterator[str]:
    chord = f"[{''.join(tones)}]"
    yield rng.choice(
        (
            f"{tones[0]}2 {tones[1]}2",
            f"{tones[0]}2 {tones[2]}{tones[1]}",
            f"{tones[0]}{tones[1]}{tones[2]}{tones[1]}",
        )
        if low
        else (f"{chord}4", f"{chord}2 {tones[-1]}{tones[1]}", f"z {chord}{chord}2", f"{chord}3 {tones[-1]}")
    )


def _abc(name: NoteName, *, low: bool) -> str:
    text = str(name)
    marks = "".join("^" if mark == "#" else "_" for mark in text[1:])
    # A sign at every note, since the key has signs of its own.
    return f"{marks or '='}{text[0]}{',' if low else ''}"


def _song(number: int, rows: list[list[str]]) -> str:
    rng = Random(-1 - number)  # noqa: S311  (test data, no secret)
    key = rng.choice(SLOTS)
    planted = [one for at in range(_DEVICES_A_SONG) for one in rows[number * _DEVICES_A_SONG + at]]
    chords = []
    for name in planted[: 2 * _SONG_BARS]:
        numeral = parse_numeral(name)
        assert not hasattr(numeral, "hint"), name
        chords.append(str(realise(numeral, Key(NoteName.parse(key), Mode.MAJOR))))
    bars = " | ".join(" ".join(chords[at : at + 2]) for at in range(0, len(chords), 2))
    return f"""---
title: Song {number}
key: {key}
meter: 4/4
tempo: {rng.randint(60, 140)}
genres: [{rng.choice(GENRES)}]
chart:
  A: "| {bars} |"
form: [A, A]
---
A song of the bench.
"""
