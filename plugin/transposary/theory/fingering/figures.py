"""The standard fingerings of scales and arpeggios, and where a line is one of them.

Scales: C. C. Chang, "Fundamentals of Piano Practice" (tables 1.III.5a and b), the sheet of the
University of Evansville and a chart of the BMTA agree; major and harmonic minor, one octave.
Arpeggios: the latter two; triads in root position. Chromatic scales, of eight notes or more: two
public sources for the right hand, which takes black keys with the third finger, white ones with the
thumb, and F and C, the upper of two white neighbours, with the second; the left hand is its mirror.

Some of the arpeggios pass the thumb a semitone further than the model's spans; teachers do.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, cycle, islice, pairwise

from transposary.passage import Hand
from transposary.theory.fingering.model import is_black
from transposary.theory.fingering.spans import THUMB

MAJOR = (2, 2, 1, 2, 2, 2, 1)
HARMONIC_MINOR = (2, 1, 2, 2, 1, 3, 1)
MAJOR_TRIAD = (4, 3, 5)
MINOR_TRIAD = (3, 4, 5)
# What each has from its tonic up, in semitones.
_FIGURES = (MAJOR, HARMONIC_MINOR, MAJOR_TRIAD, MINOR_TRIAD)
CHROMATIC = (1,)
_CHROMATIC_NOTES = 8
# The white keys on which the second finger stands in for the thumb, by hand.
_SECOND = {Hand.RIGHT: (0, 5), Hand.LEFT: (4, 11)}

# By pitch class of the tonic: right hand, left hand, both ascending.
_MAJOR_SCALES = {
    **dict.fromkeys((0, 7, 2, 9, 4), ("12312345", "54321321")),
    11: ("12312345", "43214321"),
    5: ("12341234", "54321321"),
    10: ("41231234", "32143213"),
    3: ("31234123", "32143213"),
    8: ("34123123", "32143213"),
    1: ("23123412", "32143213"),
    6: ("23412312", "43213214"),
}
_MINOR_SCALES = {
    **dict.fromkeys((9, 4, 2, 7, 0), ("12312345", "54321321")),
    11: ("12312345", "43214321"),
    5: ("12341234", "54321321"),
    10: ("41231234", "21321432"),
    3: ("31234123", "21432132"),
    **dict.fromkeys((8, 1), ("34123123", "32143213")),
    6: ("34123123", "43213214"),
}
_ARPEGGIO_EXCEPTIONS: dict[tuple[tuple[int, ...], int], tuple[str, str]] = {
    (MINOR_TRIAD, 3): ("1235", "5421"),
    (MINOR_TRIAD, 10): ("2312", "3213"),
    (MAJOR_TRIAD, 6): ("1235", "5321"),
}
# By colour of the root and of the third.
_ARPEGGIOS = {
    (False, False): ("1235", "5421"),
    (False, True): ("1235", "5321"),
    (True, False): ("4124", "2142"),
}


@dataclass(frozen=True, slots=True)
class Figure:
    """A stretch of a line that is a scale or an arpeggio from tonic to tonic, or a chromatic scale.

    Attributes:
        first: Index of its first note in the line.
        last: Index of its last note.
        pattern: Its semitones from the tonic up to the next one, or `CHROMATIC`.
        falling: Whether it goes down.
        tonic: MIDI number of its lowest note.
    """

    first: int
    last: int
    pattern: tuple[int, ...]
    falling: bool
    tonic: int

    def fingers(self, hand: Hand, shift: int) -> tuple[int, ...]:
        """Gives its standard fingering, in the order of the line.

        Args:
            hand: The hand that plays it.
            shift: Semitones by which it is moved.
        """
        if self.pattern == CHROMATIC:
            rising = _chromatic(self.tonic + shift, self.last - self.first + 1, hand)
            return rising[::-1] if self.falling else rising
        octave = standard(self.pattern, self.tonic + shift, hand)
        octaves = (self.last - self.first) // len(self.pattern)
        # Where octaves meet, the right hand begins the next one, the left hand ends the one below.
        joined = (
            octave[:-1] * (octaves - 1) + octave
            if hand is Hand.RIGHT
            else octave + octave[1:] * (octaves - 1)
        )
        return joined[::-1] if self.falling else joined


def standard(pattern: tuple[int, ...], tonic: int, hand: Hand) -> tuple[int, ...]:
    """Gives the standard fingering of one octave of a scale or an arpeggio, ascending.

    Args:
        pattern: `MAJOR`, `HARMONIC_MINOR`, `MAJOR_TRIAD` or `MINOR_TRIAD`.
        tonic: MIDI number of the tonic, or its pitch class.
        hand: The hand.
    """
    name = tonic % 12
    if pattern == MAJOR:
        both = _MAJOR_SCALES[name]
    elif pattern == HARMONIC_MINOR:
        both = _MINOR_SCALES[name]
    else:
        colours = (is_black(name), is_black(name + pattern[0]))
        both = _ARPEGGIO_EXCEPTIONS.get((pattern, name)) or _ARPEGGIOS[colours]
    return tuple(int(finger) for finger in both[hand is Hand.LEFT])


def _chromatic(lowest: int, count: int, hand: Hand) -> tuple[int, ...]:
    """Fingers a chromatic scale, ascending; where it turns on the thumb's side, it has the thumb."""
    keys = range(lowest, lowest + count)
    turn = keys[0] if hand is Hand.RIGHT else keys[-1]
    return tuple(
        3 if is_black(key) else 2 if key % 12 in _SECOND[hand] and key != turn else THUMB for key in keys
    )


def figures(line: Sequence[int | None]) -> Iterator[Figure]:
    """Finds the figures of a line: all that lies between two turns of it has to be one.

    Args:
        line: MIDI numbers as written; None where the line is broken off, by a chord or a rest.
    """
    for first, last in _runs(line):
        row = [key for key in line[first : last + 1] if key is not None]
        falling = row[0] > row[-1]
        rising = row[::-1] if falling else row
        if len(row) >= _CHROMATIC_NOTES and rising == list(range(rising[0], rising[0] + len(row))):
            yield Figure(first, last, CHROMATIC, falling, rising[0])
        for pattern in _FIGURES:
            octaves, rest = divmod(len(row) - 1, len(pattern))
            if octaves and not rest and rising == _notes(pattern, rising[0], len(row)):
                yield Figure(first, last, pattern, falling, rising[0])


def _notes(pattern: tuple[int, ...], tonic: int, count: int) -> list[int]:
    return list(accumulate(islice(cycle(pattern), count - 1), initial=tonic))


def _runs(line: Sequence[int | None]) -> Iterator[tuple[int, int]]:
    """Gives first and last index of each stretch that goes in one direction."""
    first = 0
    before = 0
    for place, (one, two) in enumerate(pairwise(line)):
        direction = 0 if one is None or two is None else (two > one) - (two < one)
        if direction != before:
            if before:
                yield first, place
            first, before = place, direction
    if before:
        yield first, len(line) - 1
