"""Chords, double stops and held notes: what a grip costs, and going from one to the next.

The published model judges lines of single notes. A *grip* is all that a hand holds down at one
moment, a finger a key, and costs ours:

- across a grip: rules 1 to 3 of the model for each two neighbouring keys, and rule 1 for the outer
  two; one point for the fourth finger, the only weak one (as J. P. Jacobs has it in "Refinements to
  the Ergonomic Model for Keyboard Fingering", Music Perception 18(4), 2001); one point for the
  thumb on a black key, one for the thumb or the fifth finger on a black key beside a white one, and
  one for three keys or more without the thumb;
- along, where one of two moments is a grip of several keys, or the hand leaps: rules 1 to 3 from
  lowest key to lowest and from highest to highest. A finger that moves to another key spans none,
  so that the whole way counts as stretch. From chord to chord the hand can lift: there a finger
  that moves costs a point, two for more than a whole tone, and nothing costs more than two points;
  a chord of three keys or more costs a point where its fingers are not those of the one before.

A grip can be played where its fingers follow its keys, no finger is in it twice and every two of
them are within the span that can be played.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import combinations, pairwise, permutations

from transposary.theory.fingering.model import (
    ONE_NOTE_RULES,
    THREE_NOTE_RULES,
    TWO_NOTE_RULES,
    Touch,
    large_span,
    small_span,
    stretch,
    thumb_on_black,
)
from transposary.theory.fingering.spans import FINGERS, THUMB, reaches

Grip = tuple[int, ...]
"""A finger a key, the lowest key first."""

_SPAN_RULES = (stretch, small_span, large_span)
_LIFT = 2


def cost_across(keys: Sequence[int], grip: Sequence[int]) -> int:
    """Adds up the points of a grip; for one key, those of the model's rules for one note."""
    touches = [Touch(key, finger) for key, finger in zip(keys, grip, strict=True)]
    if len(touches) == 1:
        return sum(rule(touches[0]) for rule in ONE_NOTE_RULES)
    spans = sum(rule(*pair) for rule in _SPAN_RULES for pair in pairwise(touches))
    outer = stretch(touches[0], touches[-1]) if len(touches) > 2 else 0
    fingers = sum((one.finger == 4) + thumb_on_black(one) for one in touches)
    beside_white = sum(
        here.black and here.finger in (THUMB, 5) and not there.black
        for pair in pairwise(touches)
        for here, there in (pair, pair[::-1])
    )
    without_thumb = int(len(touches) > 2 and THUMB not in grip)
    return spans + outer + fingers + beside_white + without_thumb


def can_be_held(keys: Sequence[int], grip: Sequence[int]) -> bool:
    """Tells whether a hand can hold a grip: no finger twice, every two within their span."""
    touches = list(zip(keys, grip, strict=True))
    return len(set(grip)) == len(grip) and all(
        reaches(one, two, high - low) for (low, one), (high, two) in combinations(touches, 2)
    )


def grips(keys: tuple[int, ...]) -> tuple[tuple[Grip, int], ...]:
    """Lists the grips of some keys with their cost; none where the hand cannot hold them.

    Args:
        keys: MIDI numbers, ascending, mirrored for the left hand.
    """
    return _grips(_lowered(keys))


def crossed_grips(keys: tuple[int, ...]) -> tuple[tuple[Grip, int], ...]:
    """Lists the grips in which the thumb lies under another finger, too: only authors ask for them."""
    lowered = _lowered(keys)
    return tuple(
        (grip, cost_across(lowered, grip))
        for grip in permutations(FINGERS, len(keys))
        if can_be_held(lowered, grip)
    )


def _lowered(keys: tuple[int, ...]) -> tuple[int, ...]:
    """Brings keys into the lowest octave: what they cost does not depend on it."""
    octaves = keys[0] // 12 * 12
    return tuple(key - octaves for key in keys)


@cache
def _grips(keys: tuple[int, ...]) -> tuple[tuple[Grip, int], ...]:
    return tuple(
        (grip, cost_across(keys, grip))
        for grip in combinations(FINGERS, len(keys))
        if can_be_held(keys, grip)
    )


def cost_along(low: int, high: int, before: Grip, after: Grip) -> int:
    """Adds up the points of going from one grip to the next.

    Args:
        low: Semitones from the lowest key of the one to that of the other.
        high: The same for the highest.
        before: The first grip.
        after: The second one.
    """
    lifts = len(before) > 1 and len(after) > 1
    lowest = _moves(low, lifts=lifts)[before[0]][after[0]]
    if len(before) == len(after) == 1:
        return lowest
    shape = int(len(before) == len(after) > 2 and before != after)
    return lowest + _moves(high, lifts=lifts)[before[-1]][after[-1]] + shape


@cache
def _moves(semitones: int, *, lifts: bool) -> tuple[tuple[int, ...], ...]:
    """Tabulates what a move costs from finger to finger; row and column 0 stand for no finger."""
    return tuple(
        tuple(_move(semitones, one, two, lifts=lifts) if one and two else 0 for two in (0, *FINGERS))
        for one in (0, *FINGERS)
    )


def _move(semitones: int, one: int, two: int, *, lifts: bool) -> int:
    if lifts and one == two:
        return min(_LIFT, (abs(semitones) + 1) // 2)
    points = sum(rule(Touch(0, one), Touch(semitones, two)) for rule in _SPAN_RULES)
    return min(_LIFT, points) if lifts else points


def steps(key: int, semitones: int) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Lists by finger which fingers can follow it in a line, and the points of the two notes.

    One finger follows itself only on its own key, as the paper has it.

    Args:
        key: MIDI number of the first key, mirrored for the left hand.
        semitones: From it up to the second one.
    """
    return _steps(key % 12, semitones)


@cache
def _steps(key: int, semitones: int) -> tuple[tuple[tuple[int, int], ...], ...]:
    return tuple(
        tuple(
            (two, sum(rule(Touch(key, one), Touch(key + semitones, two)) for rule in TWO_NOTE_RULES))
            for two in FINGERS
            if one and reaches(one, two, semitones)
        )
        for one in (0, *FINGERS)
    )


@cache
def turns(second: int, third: int) -> tuple[tuple[tuple[int, ...], ...], ...]:
    """Tabulates the points of three notes in a row by their fingers; index 0 stands for no finger.

    Args:
        second: Semitones from the first key up to the second.
        third: Semitones from the first key up to the third.
    """
    return tuple(
        tuple(
            tuple(
                sum(rule(Touch(0, one), Touch(second, two), Touch(third, three)) for rule in THREE_NOTE_RULES)
                if one and two and three
                else 0
                for three in (0, *FINGERS)
            )
            for two in (0, *FINGERS)
        )
        for one in (0, *FINGERS)
    )
