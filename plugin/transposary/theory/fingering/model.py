"""The twelve rules of the ergonomic model, for a line of single notes of the right hand.

Source: Parncutt, Sloboda, Clarke, Raekallio and Desain (1997), as in `spans`; the names of the
rules are theirs. A rule gives points of difficulty for one note, for two notes in a row or for
three; the fingering with the fewest points is the easiest. The authors found that most fingerings
which pianists recommend are among those of few points, and that the model also predicts many
that nobody recommends: what it finds is a suggestion.

Two readings that the paper leaves open: a finger that takes two different keys spans none, so the
whole distance counts as stretch (the paper forbids it; here it happens in leaps), and of three
notes whose first and last share a finger the same holds.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import NamedTuple

from transposary.theory.fingering.spans import THUMB, span_of, stretched

_BLACK = frozenset({1, 3, 6, 8, 10})


class Touch(NamedTuple):
    """A finger on a key; the key by its MIDI number, mirrored for the left hand."""

    key: int
    finger: int

    @property
    def black(self) -> bool:
        """Whether the key is black."""
        return is_black(self.key)


def is_black(key: int) -> bool:
    """Tells whether a key is black."""
    return key % 12 in _BLACK


def weak_finger(note: Touch) -> int:
    """Rule 6: one point for the fourth and the fifth finger."""
    return int(note.finger >= 4)


def thumb_on_black(note: Touch) -> int:
    """Rule 10, its first part: one point for the thumb on a black key."""
    return int(note.finger == THUMB and note.black)


def stretch(one: Touch, two: Touch) -> int:
    """Rule 1: two points for each semitone beyond the comfortable span."""
    span = span_of(one.finger, two.finger)
    return 2 * span.beyond_comfort(stretched(one.finger, two.finger, two.key - one.key))


def small_span(one: Touch, two: Touch) -> int:
    """Rule 2: for each semitone below the relaxed span one point with the thumb, else two."""
    if one.finger == two.finger:
        return 0
    span = span_of(one.finger, two.finger)
    short = span.relaxed_least - stretched(one.finger, two.finger, two.key - one.key)
    return max(0, short) * _weight(one, two)


def large_span(one: Touch, two: Touch) -> int:
    """Rule 3: for each semitone above the relaxed span one point with the thumb, else two."""
    if one.finger == two.finger:
        return 0
    span = span_of(one.finger, two.finger)
    long = stretched(one.finger, two.finger, two.key - one.key) - span.relaxed_most
    return max(0, long) * _weight(one, two)


def _weight(one: Touch, two: Touch) -> int:
    return 1 if THUMB in (one.finger, two.finger) else 2


def three_to_four(one: Touch, two: Touch) -> int:
    """Rule 8: one point where the fourth finger follows the third."""
    return int((one.finger, two.finger) == (3, 4))


def four_on_black(one: Touch, two: Touch) -> int:
    """Rule 9: one point where the fourth finger is on a black key beside the third on a white one."""
    low, high = (one, two) if one.finger < two.finger else (two, one)
    return int((low.finger, high.finger) == (3, 4) and high.black and not low.black)


def thumb_beside_white(one: Touch, two: Touch) -> int:
    """Rule 10, the rest: two points for the thumb on a black key before or after a white one."""
    return sum(2 for here, there in ((one, two), (two, one)) if thumb_on_black(here) and not there.black)


def five_on_black(one: Touch, two: Touch) -> int:
    """Rule 11: two points for the fifth finger on a black key before or after a white one."""
    return sum(
        2 for here, there in ((one, two), (two, one)) if here.finger == 5 and here.black and not there.black
    )


def thumb_passing(one: Touch, two: Touch) -> int:
    """Rule 12: for the thumb passing under or a finger over it.

    One point on one level, three where the thumb is on a black key and the finger on a white one.
    """
    if one.finger == two.finger or THUMB not in (one.finger, two.finger):
        return 0
    if stretched(one.finger, two.finger, two.key - one.key) >= 0:
        return 0
    thumb, other = (one, two) if one.finger == THUMB else (two, one)
    if thumb.black == other.black:
        return 1
    return 3 if thumb.black else 0


def position_change_count(one: Touch, two: Touch, three: Touch) -> int:
    """Rule 4: two points for a full change of position, one for a half change.

    The position changes where the first and the third of three notes lie outside the comfortable
    span of their fingers. It changes fully where, besides, the second is the thumb, its key lies
    between the two, and they lie outside the span that can be played.
    """
    span = span_of(one.finger, three.finger)
    semitones = stretched(one.finger, three.finger, three.key - one.key)
    if not span.beyond_comfort(semitones):
        return 0
    between = min(one.key, three.key) < two.key < max(one.key, three.key)
    outside = not span.least <= semitones <= span.most
    return 2 if two.finger == THUMB and between and outside else 1


def position_change_size(one: Touch, two: Touch, three: Touch) -> int:  # noqa: ARG001  (a rule of three notes)
    """Rule 5: one point for each semitone from the first to the third note beyond comfort."""
    span = span_of(one.finger, three.finger)
    return span.beyond_comfort(stretched(one.finger, three.finger, three.key - one.key))


def three_four_five(one: Touch, two: Touch, three: Touch) -> int:
    """Rule 7: one point where three notes in a row take the third, fourth and fifth finger."""
    return int({one.finger, two.finger, three.finger} == {3, 4, 5})


ONE_NOTE_RULES: tuple[Callable[[Touch], int], ...] = (weak_finger, thumb_on_black)
TWO_NOTE_RULES: tuple[Callable[[Touch, Touch], int], ...] = (
    stretch,
    small_span,
    large_span,
    three_to_four,
    four_on_black,
    thumb_beside_white,
    five_on_black,
    thumb_passing,
)
THREE_NOTE_RULES: tuple[Callable[[Touch, Touch, Touch], int], ...] = (
    position_change_count,
    position_change_size,
    three_four_five,
)


def cost(keys: Sequence[int], fingers: Sequence[int]) -> int:
    """Adds up the points of a line of single notes.

    Args:
        keys: MIDI numbers, mirrored for the left hand.
        fingers: A finger a note.
    """
    line = [Touch(key, finger) for key, finger in zip(keys, fingers, strict=True)]
    ones = sum(rule(note) for rule in ONE_NOTE_RULES for note in line)
    twos = sum(rule(*pair) for rule in TWO_NOTE_RULES for pair in pairwise(line))
    threes = sum(
        rule(*three) for rule in THREE_NOTE_RULES for three in zip(line, line[1:], line[2:], strict=False)
    )
    return ones + twos + threes
