"""Entries and score files, spoilt: the same number gives the same bytes.

What is spoilt is what a slip of a key, a torn download, a careless program or malice would spoil:
characters, words, numbers, lines and stretches of a text, bytes of a file, members of an archive.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from random import Random

from transposary.engraving.midi import write_midi
from transposary.engraving.musicxml import write_musicxml
from transposary.glossary import Kind
from transposary.reading import read_glossary

ENTRIES = Path(__file__).parents[2] / "entries"

_SIGNS = "ABCGabcegzxZX|:[](){}<>-.,'\"!^_=/\\%~&$*0123456789 \n\tKMLVQw+é♭♯#@`?;\x00\x1b\u202e\ufeff\u2028"
_WORDS = (Path(__file__).parent / "words.txt").read_text(encoding="utf-8").splitlines()
"""Texts that mean something, to be put where nobody expects them."""
_NUMBERS = (
    "0",
    "-1",
    "1",
    "2",
    "3",
    "5",
    "7",
    "9",
    "31",
    "64",
    "255",
    "1000",
    "99999",
    "1/0",
    "1e999",
    "9" * 40,
)
_NUMBER = re.compile(r"\d+")
_ELEMENT = re.compile(r"<([a-z-]+)[^>]*>[^<]*</\1>|<[a-z-]+[^>]*/>")
_NAMED = re.compile(r"[a-z][a-z-]{2,}")


@cache
def texts() -> tuple[tuple[str, str], ...]:
    """The entries of the demo, with their paths; devices and songs come oftener than the others."""
    found = [
        (path.relative_to(ENTRIES).as_posix(), path.read_text(encoding="utf-8"))
        for kind in Kind
        for path in sorted((ENTRIES / kind.value).glob("*.md"))
    ]
    music = [one for one in found if one[0].startswith((Kind.DEVICE.value, Kind.SONG.value))]
    return (*found, *music, *music)


@cache
def scores() -> tuple[str, ...]:
    """MusicXML of a few devices of the demo."""
    devices = read_glossary(ENTRIES).glossary.devices
    return tuple(write_musicxml(one.passage, title=one.title, tempo=one.tempo) for one in devices[::4])


@cache
def takes() -> tuple[bytes, ...]:
    """MIDI of the same devices."""
    devices = read_glossary(ENTRIES).glossary.devices
    return tuple(write_midi(one.passage, title=one.title, tempo=one.tempo) for one in devices[::4])


def mutated_entry(number: int, seed: int) -> tuple[str, bytes]:
    """Gives the path of an entry and what it holds."""
    dice = Random(f"entry {seed} {number}")  # noqa: S311  (test data, no secret)
    path, text = dice.choice(texts())
    begin, end = _stretch(dice, text)
    middle = text[begin:end]
    for _ in range(dice.choice((1, 1, 1, 2, 2, 3, 6))):
        middle = dice.choice(_OF_ENTRIES)(dice, middle)
    data = (text[:begin] + middle + text[end:]).encode("utf-8", "surrogatepass")
    return path, _torn(dice, data) if dice.randrange(40) == 0 else data


def mutated_score(number: int, seed: int) -> tuple[str, bytes]:
    """Gives the name of a score file and what it holds."""
    dice = Random(f"score {seed} {number}")  # noqa: S311  (test data, no secret)
    match dice.randrange(5):
        case 0 | 1:
            return "take.musicxml", _spoilt_xml(dice).encode("utf-8", "surrogatepass")
        case 2:
            return "take.mxl", _spoilt_archive(dice)
        case _:
            data = dice.choice(takes())
            for _ in range(dice.choice((1, 1, 2, 4, 16))):
                data = _torn(dice, data)
            return "take.mid", data


def _stretch(dice: Random, text: str) -> tuple[int, int]:
    """Chooses what to spoil: the music, the fields, or anything."""
    fields = text.find("\n---\n", 4)
    music = re.search(r"^(?:notation: \||chart:)\n(?:[ ]+.*\n)+", text, re.MULTILINE)
    match dice.randrange(5):
        case 0 | 1 if music:
            return music.start(), music.end()
        case 2 | 3:
            return 0, fields
        case _:
            return 0, len(text)


def _piece(dice: Random, text: str, longest: int) -> tuple[int, int]:
    first = dice.randrange(len(text) + 1)
    return first, min(len(text), first + dice.randrange(1, longest))


def _cut(dice: Random, text: str) -> str:
    first, last = _piece(dice, text, 12)
    return text[:first] + text[last:]


def _typed(dice: Random, text: str) -> str:
    first, last = _piece(dice, text, 2)
    sign = dice.choice(_SIGNS) * dice.choice((1, 1, 1, 2, 60))
    return text[:first] + sign + text[first if dice.randrange(2) else last :]


def _word(dice: Random, text: str) -> str:
    first, last = _piece(dice, text, 6)
    return text[:first] + dice.choice(_WORDS) + text[first if dice.randrange(2) else last :]


def _again(dice: Random, text: str) -> str:
    first, last = _piece(dice, text, dice.choice((4, 30, 200)))
    return text[:first] + text[first:last] * dice.choice((2, 2, 3, 10, 200)) + text[last:]


def _counted(dice: Random, text: str) -> str:
    found = list(_NUMBER.finditer(text))
    if not found:
        return _word(dice, text)
    one = dice.choice(found)
    return text[: one.start()] + dice.choice(_NUMBERS) + text[one.end() :]


def _lines(dice: Random, text: str) -> str:
    lines = text.split("\n")
    here, there = dice.randrange(len(lines)), dice.randrange(len(lines))
    match dice.randrange(4):
        case 0:
            lines[here], lines[there] = lines[there], lines[here]
        case 1:
            lines.insert(here, lines[there])
        case 2:
            del lines[here]
        case _:
            lines[here] = dice.choice(("  ", "    ", "- ", "# ", "\t", "> ")) + lines[here]
    return "\n".join(lines)


def _foreign(dice: Random, text: str) -> str:
    """Sets in a stretch of another entry."""
    other = dice.choice(texts())[1]
    first, last = _piece(dice, other, 120)
    at = dice.randrange(len(text) + 1)
    return text[:at] + other[first:last] + text[at if dice.randrange(2) else at + last - first :]


def _upper(dice: Random, text: str) -> str:
    """Exchanges words of a text for one another."""
    found = list(_NAMED.finditer(text))
    if len(found) < 2:
        return _typed(dice, text)
    one, other = dice.choice(found), dice.choice(found)
    return text[: one.start()] + other[0] + text[one.end() :]


_Change = Callable[[Random, str], str]
_OF_ENTRIES: Sequence[_Change] = (_cut, _typed, _word, _word, _again, _counted, _lines, _foreign, _upper)


def _element(dice: Random, text: str) -> str:
    """Takes an element of a score out, doubles it, or puts another in its place."""
    found = list(_ELEMENT.finditer(text))
    if not found:
        return _cut(dice, text)
    one, other = dice.choice(found), dice.choice(found)
    new = dice.choice(
        ("", one[0] * 2, other[0], one[0] + other[0], f"<chord/>{one[0]}", f"<voice>{one[0]}</voice>")
    )
    return text[: one.start()] + new + text[one.end() :]


_OF_SCORES: Sequence[_Change] = (
    _element,
    _element,
    _element,
    _counted,
    _counted,
    _cut,
    _typed,
    _again,
    _upper,
)


def _spoilt_xml(dice: Random) -> str:
    text = dice.choice(scores())
    for _ in range(dice.choice((1, 1, 1, 2, 3, 6))):
        text = dice.choice(_OF_SCORES)(dice, text)
    return text


def _spoilt_archive(dice: Random) -> bytes:
    packed = io.BytesIO()
    name = dice.choice(("score.musicxml", "a/b.xml", "../score.xml", "META-INF/score.xml", "score"))
    with zipfile.ZipFile(packed, "w", dice.choice((zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED))) as archive:
        if dice.randrange(4):
            root = f'<container><rootfiles><rootfile full-path="{name}"/></rootfiles></container>'
            archive.writestr("META-INF/container.xml", root)
        archive.writestr(name, _spoilt_xml(dice) if dice.randrange(2) else dice.choice(scores()))
    data = packed.getvalue()
    for _ in range(dice.choice((0, 1, 1, 2, 8))):
        data = _torn(dice, data)
    return data


def _torn(dice: Random, data: bytes) -> bytes:
    """Spoils bytes: changed, left out, put in, doubled, or the rest cut off."""
    first = dice.randrange(len(data) + 1)
    last = min(len(data), first + dice.randrange(1, 9))
    match dice.randrange(8):
        case 0:
            return data[:first] + data[last:]
        case 1:
            return data[:first] + dice.randbytes(last - first) + data[first:]
        case 2:
            return data[:first] + data[first:last] * dice.choice((2, 50)) + data[last:]
        case 3 if dice.randrange(4) == 0:
            return data[:first]
        case 4:
            return (
                data[:first]
                + dice.choice((b"\x00", b"\xff", b"\x7f", b"\x80")) * (last - first)
                + data[last:]
            )
        case _:
            return data[:first] + dice.randbytes(1) + data[first + 1 :]
