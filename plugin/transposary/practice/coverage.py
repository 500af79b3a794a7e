"""What a record covers: devices by keys, weak keys, and devices that were never out of the home key."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from transposary.glossary import Device
from transposary.practice.record import Take
from transposary.theory.keys import SLOTS, slot_of

PLAIN_TEMPO = 96
"""Beats a minute to reach where an entry gives no tempo, as the player has it."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A device in a key: the last take, and how many there were."""

    last: Take
    takes: int


@dataclass(frozen=True, slots=True)
class Row:
    """A device that was played, with what was played of it by slot."""

    device: Device
    cells: Mapping[str, Cell]


@dataclass(frozen=True, slots=True)
class KeyStrength:
    """How well the devices that were played are known in a key.

    Attributes:
        slot: The key's slot.
        devices: How many were played in it.
        strength: The part of their goals that they have reached in it, from 0 to 1; one that was
            not played in it counts 0. A heuristic of ours.
        slips: Slips of the last takes, in the middle.
    """

    slot: str
    devices: int
    strength: Fraction
    slips: Fraction


@dataclass(frozen=True, slots=True)
class Coverage:
    """What a record covers.

    Attributes:
        rows: The devices that were played, in the order of the glossary.
        keys: The twelve keys, the weakest first.
        at_home: Devices that were played in their home key only.
    """

    rows: tuple[Row, ...]
    keys: tuple[KeyStrength, ...]
    at_home: tuple[Device, ...]


def coverage(devices: Iterable[Device], takes: Sequence[Take]) -> Coverage:
    """Tells what a record covers.

    Args:
        devices: The devices of the glossary.
        takes: The record, by date.
    """
    found = ((device, _cells(device, takes)) for device in devices)
    rows = tuple(Row(device, cells) for device, cells in found if cells)
    keys = (_strength(slot, rows) for slot in SLOTS)
    at_home = tuple(row.device for row in rows if set(row.cells) == {slot_of(row.device.passage.key.tonic)})
    return Coverage(rows, tuple(sorted(keys, key=lambda key: (key.strength, -key.slips))), at_home)


def _cells(device: Device, takes: Iterable[Take]) -> dict[str, Cell]:
    cells: dict[str, Cell] = {}
    for take in takes:
        if take.device == device.slug:
            before = cells.get(take.slot)
            cells[take.slot] = Cell(take, before.takes + 1 if before else 1)
    return cells


def _strength(slot: str, rows: Sequence[Row]) -> KeyStrength:
    here = [(row.device, row.cells[slot].last) for row in rows if slot in row.cells]
    parts = (min(Fraction(1), Fraction(last.tempo, device.tempo or PLAIN_TEMPO)) for device, last in here)
    strength = sum(parts, Fraction()) / max(1, len(rows))
    slips = Fraction(sum(last.slips for _, last in here), max(1, len(here)))
    return KeyStrength(slot, len(here), strength, slips)
