"""Reads `practice.csv`: one line for each time that something was played."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from pathlib import Path

from transposary.glossary import Device, matching_name
from transposary.pitch import NoteName
from transposary.problems import Place, Problem
from transposary.theory.keys import slot_of

RECORD = "practice.csv"
"""Where the record stands in the folder of the entries."""

COLUMNS = ("device", "slot", "date", "tempo", "slips")
_MOST_BYTES = 5_000_000
_MOST_FAULTS = 100
_LONGEST = 400
_FASTEST = 400
_MOST_SLIPS = 999


@dataclass(frozen=True, slots=True)
class Take:
    """One time that a device was played in a key.

    Attributes:
        device: Slug of the device.
        slot: The key's slot.
        day: When.
        tempo: Tempo reached, in beats a minute, from 1 to 400.
        slips: How many slips there were, from 0.
    """

    device: str
    slot: str
    day: date
    tempo: int
    slips: int


def record_in(root: Path) -> bytes | None:
    """Gives the record in the folder of the entries, or as much of it as `read_record` looks at.

    Args:
        root: The folder.
    """
    path = root / RECORD
    if not path.is_file():
        return None
    with path.open("rb") as file:
        return file.read(_MOST_BYTES + 1)


def read_record(data: bytes, devices: Sequence[Device]) -> tuple[tuple[Take, ...], tuple[Problem, ...]]:
    """Reads a record. A line at fault is left out, and said.

    Args:
        data: The file, in UTF-8, with `device,slot,date,tempo,slips` as its first line.
        devices: The devices of the glossary, which a line may name by any of their names.

    Returns:
        The takes by date, those of one day in the order of the file; and the problems.
    """
    if len(data) > _MOST_BYTES:
        wrong = f"expected a record of at most {_MOST_BYTES // 1_000_000} MB, which is some 100,000 lines"
        hint = "put the years that are past into another file"
        return (), (Problem(Place(RECORD), "practice.size", f"{wrong}; found more", hint),)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        wrong = "expected text in UTF-8, found other bytes"
        return (), (Problem(Place(RECORD), "practice.file", wrong, "save it as CSV in UTF-8"),)
    lines = text.splitlines()
    head = tuple(cell.strip() for cell in lines[0].split(",")) if lines else ()
    if head != COLUMNS:
        found = ",".join(head) if len("".join(head)) <= _LONGEST else "a line without end"
        wrong = f"expected the columns {','.join(COLUMNS)}, found {found or 'nothing'}"
        hint = f"make `{','.join(COLUMNS)}` the first line"
        return (), (Problem(Place(RECORD), "practice.columns", wrong, hint),)
    names = {
        matching_name(name): device.slug
        for device in reversed(devices)
        for name in (*device.aliases, device.title, device.slug)
    }
    takes: list[Take] = []
    problems: list[Problem] = []
    faults = 0
    for number, line in enumerate(lines[1:], 2):
        if not line.strip():
            continue
        read = _read_line(line, number, names)
        if isinstance(read, Take):
            takes.append(read)
            continue
        problems += read
        faults += 1
        if faults == _MOST_FAULTS:
            wrong = f"{faults} lines up to here are at fault; what follows is not read"
            problems.append(Problem(Place(RECORD, number), "practice.faults", wrong, "mend these first"))
            break
    return tuple(sorted(takes, key=lambda take: take.day)), tuple(problems)


def _read_line(line: str, number: int, names: dict[str, str]) -> Take | list[Problem]:
    if len(line) > _LONGEST:
        wrong = f"expected a line of at most {_LONGEST} characters, found {len(line)}"
        return [Problem(Place(RECORD, number), "practice.line", wrong, f"write {','.join(COLUMNS)}")]
    cells = _cells(line)
    if len(cells) != len(COLUMNS):
        wrong = f"expected {len(COLUMNS)} values, found {len(cells)}"
        return [Problem(Place(RECORD, number), "practice.line", wrong, f"write {','.join(COLUMNS)}")]
    device, slot, day, tempo, slips = (text for _, text in cells)
    slug = names.get(matching_name(device))
    key = _slot(slot)
    when = _day(day)
    speed = _whole(tempo, 1, _FASTEST)
    count = _whole(slips, 0, _MOST_SLIPS)
    if slug is not None and key is not None and when is not None and speed is not None and count is not None:
        return Take(slug, key, when, speed, count)
    near = get_close_matches(matching_name(device), names, 1)
    hints = {
        "device": f"write {names[near[0]]}, if you mean that" if near else "name it, or take the line out",
        "slot": "write it as C, Db, D, Eb and so on",
        "date": "write it as 2026-03-14",
        "tempo": "",
        "slips": "",
    }
    expected = {
        "device": "a device of the glossary",
        "slot": "a tonic such as Eb",
        "date": "a day of the calendar",
        "tempo": f"beats a minute from 1 to {_FASTEST}",
        "slips": f"a whole number from 0 to {_MOST_SLIPS}",
    }
    values = (slug, key, when, speed, count)
    return [
        Problem(
            Place(RECORD, number, column),
            f"practice.{name}",
            f"expected {expected[name]}, found '{text}'",
            hints[name],
        )
        for name, value, (column, text) in zip(COLUMNS, values, cells, strict=True)
        if value is None
    ]


def _cells(line: str) -> list[tuple[int, str]]:
    """Gives the values of a line, each with the column in which it begins."""
    return list(_placed(line, next(csv.reader([line], skipinitialspace=True))))


def _placed(line: str, values: Sequence[str]) -> Iterator[tuple[int, str]]:
    at = 0
    for value in values:
        text = value.strip()
        # What is written in quotation marks with others inside is not found; its line is.
        found = max(line.find(text, at), at)
        yield found + 1, text
        at = found + len(text)


def _slot(text: str) -> str | None:
    try:
        return slot_of(NoteName.parse(text))
    except ValueError:
        return None


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _whole(text: str, low: int, high: int) -> int | None:
    # More digits than this are no tempo, and Python refuses to read very many.
    if not (text.isascii() and text.isdigit() and len(text) < len(str(high)) + 1):
        return None
    return int(text) if low <= int(text) <= high else None
