"""How far two fingers of a hand reach, in semitones.

Source: R. Parncutt, J. A. Sloboda, E. F. Clarke, M. Raekallio and P. Desain, "An Ergonomic Model
of Keyboard Fingering for Melodic Fragments", Music Perception 14(4), 1997, pages 341 to 382. Two
public transcriptions of its table agree but for the relaxed maximum of thumb and little finger
(10 or 11); 10 is taken here.
"""

from __future__ import annotations

from dataclasses import dataclass

FINGERS = (1, 2, 3, 4, 5)
THUMB = 1


@dataclass(frozen=True, slots=True)
class Span:
    """The semitones from the finger of lower number up to the other one, in the right hand.

    Where the thumb passes under, they are negative.

    Attributes:
        least: Smallest span that can be played.
        near: Smallest span that is comfortable.
        relaxed_least: Smallest span of a relaxed hand.
        relaxed_most: Widest span of a relaxed hand.
        far: Widest span that is comfortable.
        most: Widest span that can be played.
    """

    least: int
    near: int
    relaxed_least: int
    relaxed_most: int
    far: int
    most: int

    def beyond_comfort(self, semitones: int) -> int:
        """Gives the semitones by which a span is too narrow or too wide for comfort, else 0."""
        return max(0, self.near - semitones, semitones - self.far)


SPANS = {
    (1, 2): Span(-5, -3, 1, 5, 8, 10),
    (1, 3): Span(-4, -2, 3, 7, 10, 12),
    (1, 4): Span(-3, -1, 5, 9, 12, 14),
    (1, 5): Span(-1, 1, 7, 10, 13, 15),
    (2, 3): Span(1, 1, 1, 2, 3, 5),
    (2, 4): Span(1, 1, 3, 4, 5, 7),
    (2, 5): Span(2, 2, 5, 6, 8, 10),
    (3, 4): Span(1, 1, 1, 2, 2, 4),
    (3, 5): Span(1, 1, 3, 4, 5, 7),
    (4, 5): Span(1, 1, 1, 2, 3, 5),
}
ONE_KEY = Span(0, 0, 0, 0, 0, 0)
"""A finger and itself: it reaches the key that it is on."""


def span_of(first: int, second: int) -> Span:
    """Gives the span of two fingers, in either order."""
    return ONE_KEY if first == second else SPANS[min(first, second), max(first, second)]


def stretched(first: int, second: int, semitones: int) -> int:
    """Turns semitones from one finger to another into those of their span.

    Args:
        first: The finger that plays first.
        second: The finger that plays then.
        semitones: From the first key up to the second one.
    """
    return semitones if first <= second else -semitones


def reaches(first: int, second: int, semitones: int) -> bool:
    """Tells whether two fingers can play keys that lie so far apart, one after the other."""
    span = span_of(first, second)
    return span.least <= stretched(first, second, semitones) <= span.most
