"""Remarks on what hands, ears and the instrument allow, in each of the twelve keys.

Each rule looks at all keys and makes at most one remark a device, which lists the keys
concerned.
"""

from __future__ import annotations

from collections.abc import Sequence

from transposary.glossary import Device
from transposary.notes import Note, notes
from transposary.pitch import Interval, Pitch, pretty
from transposary.problems import Problem
from transposary.settings import Settings
from transposary.theory.fingering.own import check_own_fingering
from transposary.theory.hands import (
    check_crossing,
    check_notes_in_hand,
    check_reach,
    check_speed,
    place_of,
)
from transposary.theory.interval_names import name_interval
from transposary.theory.keys import Placement, list_keys, placements
from transposary.theory.registers import LOW_INTERVAL_LIMITS, PIANO, close_pairs, too_low


def check_playability(device: Device, settings: Settings) -> tuple[Problem, ...]:
    """Finds what is hard to play or unclear to hear, as remarks.

    Args:
        device: The device.
        settings: For the hand span and the spelling of the keys.
    """
    keys = placements(device.passage, device.compass, settings)
    remarks = (
        check_range(device, keys),
        check_low_intervals(device, keys),
        check_reach(device, keys, settings.hand_span),
        check_notes_in_hand(device),
        check_crossing(device),
        check_speed(device),
        check_own_fingering(device),
    )
    return tuple(remark for remark in remarks if remark is not None)


def check_range(device: Device, keys: Sequence[Placement]) -> Problem | None:
    """Remarks on the keys in which a note leaves the piano or the declared range."""
    bottom, top = device.compass or PIANO
    written = notes(device.passage)
    outside = {
        key: note
        for key in keys
        for note in reversed(written)
        if not bottom.midi <= note.pitch.midi + key.shift(note.hand) <= top.midi
    }
    if not outside:
        return None
    key, note = next(iter(outside.items()))
    what = "range" if device.compass else "piano"
    hint = "widen the range or write the device in another register"
    if device.compass is None:
        hint = "write the device in a narrower register"
    text = (
        f"{_pitch(_in_key(note, key))} in bar {note.bar} leaves the {what} "
        f"{_pitch(bottom)}–{_pitch(top)} in {list_keys(tuple(outside))}"
    )
    return Problem.remark(place_of(device, note), "theory.range", text, hint)


def check_low_intervals(device: Device, keys: Sequence[Placement]) -> Problem | None:
    """Remarks on the keys in which a close interval lies below its low-interval limit."""
    pairs = close_pairs(device.passage)
    muddy = {
        key: (low, high)
        for key in keys
        for low, high in reversed(pairs)
        if too_low(low.pitch.midi + key.shift(low.hand), high.pitch.midi + key.shift(high.hand))
    }
    if not muddy:
        return None
    key, (low, high) = next(iter(muddy.items()))
    below, above = _in_key(low, key), _in_key(high, key)
    limit = LOW_INTERVAL_LIMITS[above.midi - below.midi]
    text = (
        f"the {name_interval(below.to(above))} {_pitch(below)}–{_pitch(above)} in bar {low.bar} lies below "
        f"{_pitch(limit)}, where it begins to sound clear, in {list_keys(tuple(muddy))}"
    )
    hint = "spread the notes or write the device an octave higher"
    return Problem.remark(place_of(device, low), "theory.low-interval", text, hint)


def _in_key(note: Note, key: Placement) -> Pitch:
    octaves = dict(key.octaves)[note.hand]
    return note.pitch.up(key.interval + Interval(7 * octaves, 12 * octaves))


def _pitch(pitch: Pitch) -> str:
    return pretty(str(pitch))
