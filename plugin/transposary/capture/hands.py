"""Which hand plays what."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from transposary.capture.values import Played, Take
from transposary.passage import Hand

_LEFT = re.compile(r"\b(left|lh|l\.h\.|bass)\b", re.IGNORECASE)
_RIGHT = re.compile(r"\b(right|rh|r\.h\.|treble)\b", re.IGNORECASE)
_SPAN = 14
"""What a hand reaches without effort: a ninth, in semitones."""
_MOST = 5
_ZONES_APART = 5
"""Semitones between the middles of two channels from which they are two hands."""
_OCTAVE = 12
# What a choice costs; set by the demo's devices for two hands.
_LEAP, _UNEVEN, _GAP = 0.5, 0.22, 0.32
_CLOSE, _REGISTER = 0.06, 0.1
_LOCKED = 3.0
"""Five notes within an octave, the lowest doubling the highest, are four and one: locked hands."""
_WIDTH = 40
"""How many ways of splitting what was played so far are kept."""
_LEFT_BELOW = 56.0
"""Mean MIDI number below which what one hand can play is the left hand's: A flat below middle C."""
_LEFT_TOP, _RIGHT_BOTTOM = 62, 55
_TOGETHER = 0.035


@dataclass(frozen=True, slots=True)
class _Split:
    """Where the hands have been: their middles, None before they played, and what it costs."""

    left: float | None
    right: float | None
    cost: float
    chosen: tuple[int, ...]


def named_hands(take: Take) -> tuple[Hand, ...] | None:
    """Gives the hand of each note where two tracks are named by the hands, or two channels lie apart.

    Returns:
        The hands, or None where the take does not tell.
    """
    return _by_tracks(take) or _by_channels(take)


def _by_channels(take: Take) -> tuple[Hand, ...] | None:
    """Takes the lower of two channels for the left hand: a keyboard in two zones sends them so."""
    zones = [[note.number for note in take.notes if note.channel == one] for one in range(16)]
    used = [index for index, zone in enumerate(zones) if zone]
    if len(used) != 2:
        return None
    low, high = sorted(used, key=lambda one: sum(zones[one]) / len(zones[one]))
    if sum(zones[high]) / len(zones[high]) - sum(zones[low]) / len(zones[low]) < _ZONES_APART:
        return None
    return tuple(Hand.LEFT if note.channel == low else Hand.RIGHT for note in take.notes)


def _by_tracks(take: Take) -> tuple[Hand, ...] | None:
    """Takes the hands from the names of one or two tracks."""
    used = sorted({note.track for note in take.notes})
    if len(used) > 2 or len(take.tracks) <= used[-1]:
        return None
    hands = {}
    for track in used:
        name = take.tracks[track]
        if bool(_LEFT.search(name)) == bool(_RIGHT.search(name)):
            return None
        hands[track] = Hand.LEFT if _LEFT.search(name) else Hand.RIGHT
    if len(set(hands.values())) < len(used):
        return None
    return tuple(hands[note.track] for note in take.notes)


def split_hands(notes: Sequence[Played], strikes: Sequence[object]) -> tuple[Hand, ...]:
    """Gives each note a hand, so that no hand reaches too far and none leaps without need.

    What one hand can play, one hand plays.

    Args:
        notes: In order of their attacks.
        strikes: For each note, what is the same for those struck together.
    """
    groups = [
        [index for index, _ in group] for _, group in groupby(enumerate(strikes), key=lambda one: one[1])
    ]
    if _one_hand(notes, groups):
        middle = sum(note.number for note in notes) / len(notes)
        return (Hand.LEFT if middle < _LEFT_BELOW else Hand.RIGHT,) * len(notes)
    live = [_Split(None, None, 0.0, ())]
    for group in groups:
        grown = [one for before in live for one in _onward(before, notes, group)]
        live = sorted(grown, key=lambda one: one.cost)[:_WIDTH]
    hands = [Hand.RIGHT] * len(notes)
    for group, low in zip(groups, live[0].chosen, strict=True):
        for index in sorted(group, key=lambda one: notes[one].number)[:low]:
            hands[index] = Hand.LEFT
    return tuple(hands)


def _one_hand(notes: Sequence[Played], groups: Sequence[Sequence[int]]) -> bool:
    """Tells whether one hand can play all, without a leap while anything is held."""
    for group in groups:
        start = max(notes[index].start for index in group)
        sounding = [
            note.number
            for note in notes[: group[-1] + 1]
            if note.end > start + _TOGETHER or note.start >= notes[group[0]].start
        ]
        if _beyond(max(sounding) - min(sounding), len(sounding)):
            return False
    numbers = [note.number for note in notes]
    return max(numbers) - min(numbers) <= 2 * _SPAN or all(len(group) == 1 for group in groups)


def _beyond(reach: int, count: int) -> bool:
    """Tells whether notes are too far apart, or too many for their reach, for one hand."""
    return reach > _SPAN or count > _MOST or (count == _MOST and reach >= _OCTAVE)


def _onward(before: _Split, notes: Sequence[Played], group: Sequence[int]) -> Iterator[_Split]:
    keys = sorted(notes[index].number for index in group)
    for low in range(len(keys) + 1):
        left, right = keys[:low], keys[low:]
        cost = before.cost + _stretch(left) + _stretch(right)
        if left and right:
            cost += _UNEVEN * abs(len(left) - len(right)) - _GAP * (right[0] - left[-1])
        if low == 1 and len(keys) == _MOST and keys[-1] - keys[0] == _OCTAVE:
            cost -= _LOCKED
        cost += _leap(before.left, left) + _leap(before.right, right)
        cost += sum(_REGISTER * max(0, one - _LEFT_TOP) for one in left)
        cost += sum(_REGISTER * max(0, _RIGHT_BOTTOM - one) for one in right)
        now_left = sum(left) / len(left) if left else before.left
        now_right = sum(right) / len(right) if right else before.right
        if now_left is not None and now_right is not None:
            cost += _CLOSE * max(0.0, now_left + 4 - now_right)
        yield _Split(now_left, now_right, cost, (*before.chosen, low))


def _stretch(keys: Sequence[int]) -> float:
    if not keys:
        return 0.0
    return (
        2.0 * max(0, keys[-1] - keys[0] - _SPAN)
        + 6.0 * max(0, len(keys) - _MOST)
        + 0.15 * (keys[-1] - keys[0])
    )


def _leap(before: float | None, keys: Sequence[int]) -> float:
    if before is None or not keys:
        return 0.0
    return _LEAP * abs(sum(keys) / len(keys) - before)
