"""Checks and fingers of a device: from the cache where an earlier build has found them.

Both take longer than all else that a build without changes does for a device. As with engravings,
a cache may come from a stranger: fingers are held against what the search can give, and of checks
it is only known that they are problems that can be printed. Whoever doubts a cache empties it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from transposary.cache import Cache, code_of, key_of
from transposary.check import check_device
from transposary.engraving.kept import UNSOUND, packed, require, unpacked, without_places
from transposary.glossary import Device
from transposary.passage import Passage
from transposary.problems import Place, Problem, Severity
from transposary.settings import Settings
from transposary.theory.fingering.keys import Fingering, HandFingering, finger, fingered
from transposary.theory.keys import Placement

_MODEL = ("glossary.py", "notes.py", "passage.py", "pitch.py", "theory", "recall.py")
_FINGERS = range(1, 6)


def recall_checks(cache: Cache, device: Device, settings: Settings) -> tuple[Problem, ...]:
    """Checks a device by itself, as `check_device` does.

    Args:
        cache: Where what was found stays for the next build.
        device: The device.
        settings: The options.
    """
    code = code_of(*_MODEL, "check.py", "problems.py", "settings.py")
    key = key_of("checks", code, repr((replace(device, prose=""), settings.hand_span, settings.tonics)))
    data = cache.get(key)
    known = None if data is None else _problems(data)
    if known is None:
        known = check_device(device, settings)
        cache.put(key, packed([record_of(problem) for problem in known]))
    return known


def record_of(problem: Problem) -> list[object]:
    """Writes a problem down for the cache."""
    place = problem.place
    where = [place.file, place.line, place.column]
    return [*where, problem.rule, problem.text, problem.hint, problem.severity.value]


def _problems(data: bytes) -> tuple[Problem, ...] | None:
    try:
        return tuple(map(problem_of, unpacked(data)))
    except UNSOUND:
        return None


def problem_of(record: Any) -> Problem:  # noqa: ANN401  (whatever a stranger wrote)
    """Reads a problem from the cache; raises one of `UNSOUND` where it is none."""
    file, line, column, rule, text, hint, severity = record
    said = (file, rule, text, hint)
    # What is printed in a terminal must not speak to the terminal.
    require(all(isinstance(one, str) and one.isprintable() for one in said))
    require(type(line) is int and type(column) is int)
    return Problem(Place(file, line, column), rule, text, hint, Severity(severity))


def recall_fingering(cache: Cache, passage: Passage, keys: Sequence[Placement]) -> tuple[HandFingering, ...]:
    """Fingers a device in its keys, as `finger` does.

    Args:
        cache: Where what was found stays for the next build.
        passage: The device in the home key.
        keys: Where it lies in these keys.
    """
    key = key_of("fingers", code_of(*_MODEL), without_places((passage, keys)))
    data = cache.get(key)
    known = None if data is None else _fingers(data, passage, keys)
    if known is None:
        known = finger(passage, keys)
        found = [[(one.slots, one.grips) for one in hand.fingerings] for hand in known]
        cache.put(key, packed(found))
    return known


def _fingers(data: bytes, passage: Passage, keys: Sequence[Placement]) -> tuple[HandFingering, ...] | None:
    slots = sorted(key.slot for key in keys)
    try:
        hands = [
            [Fingering(tuple(own), tuple(map(tuple, grips))) for own, grips in hand]
            for hand in unpacked(data)
        ]
        require(all(sorted(slot for one in hand for slot in one.slots) == slots for hand in hands))
        grips = (grip for hand in hands for one in hand for grip in one.grips)
        require(all(type(one) is int and one in _FINGERS for grip in grips for one in grip))
        return fingered(passage, hands)
    except (*UNSOUND, IndexError):
        return None
