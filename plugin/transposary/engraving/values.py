"""Written note values: which notes and rests show a duration so that it can be read.

A duration that no single note can show, or that would hide the middle of the bar or a beat,
becomes several tied notes.

Source: common practice (E. Gould, Behind Bars, 2011, ch. 5 "Metre"), from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from transposary.passage import Event, Meter

_TYPES = ("breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th")
_BREVE = Fraction(8)
_HALF = Fraction(2)
_MOST_DOTS = 2
_EDGE, _MIDDLE, _BEAT = range(3)
_OFF_GRID = 99


@dataclass(frozen=True, slots=True)
class Value:
    """A note value.

    Attributes:
        place: Its place among breve, whole, half, quarter, eighth, 16th…, from 0.
        dots: Augmentation dots, 0 to 2.
    """

    place: int
    dots: int = 0

    @property
    def name(self) -> str:
        """Its name in MusicXML (type note-type-value)."""
        return _TYPES[self.place]

    @property
    def flags(self) -> int:
        """Flags of its stem, or beams where it is beamed; 0 from the quarter up."""
        return max(0, self.place - 3)

    @property
    def length(self) -> Fraction:
        """Its length in quarter notes."""
        return _BREVE * Fraction(2 ** (self.dots + 1) - 1, 2 ** (self.place + self.dots))


@dataclass(frozen=True, slots=True)
class Piece:
    """One written note or rest of an event.

    Attributes:
        onset: Quarter notes after the event's own onset.
        duration: Sounding length in quarter notes.
        value: What is written.
    """

    onset: Fraction
    duration: Fraction
    value: Value


@lru_cache(maxsize=512)
def value_of(length: Fraction) -> Value | None:
    """Gives the one note value of a length in quarter notes, or None if there is none."""
    for place in range(len(_TYPES)):
        for dots in range(_MOST_DOTS + 1):
            value = Value(place, dots)
            if value.length == length:
                return value
    return None


def beat_value(meter: Meter) -> Value:
    """Gives the note that counts the beat: a dotted quarter in 12/8, a half in 2/2."""
    return Value(meter.unit.bit_length() - meter.compound, dots=int(meter.compound))


def event_pieces(event: Event, offset: Fraction, meter: Meter) -> tuple[Piece, ...]:
    """Writes an event as notes or rests.

    Args:
        event: Notes or a rest within one bar.
        offset: Where in a full bar it begins, in quarter notes.
        meter: The time signature in force.

    Raises:
        ValueError: No combination of note values has the event's length.
    """
    if event.tuplet is not None:
        return _tuplet_pieces(event.duration, event.tuplet.actual, event.tuplet.normal)
    return split(offset, event.duration, meter, rest=not event.heads)


@lru_cache(maxsize=4096)
def split(offset: Fraction, duration: Fraction, meter: Meter, *, rest: bool) -> tuple[Piece, ...]:
    """Splits a duration where the meter has to be seen.

    Pure, and the same for the twelve keys of a device, so its results are remembered.

    Args:
        offset: Where in the bar it begins, in quarter notes.
        duration: In quarter notes.
        meter: The time signature in force.
        rest: Rests show the beats more strictly than notes.

    Raises:
        ValueError: No combination of note values has the length.
    """
    pieces: list[Piece] = []
    todo = [(offset, offset + duration)]
    while todo:
        start, end = todo.pop()
        value = value_of(end - start)
        inner = _boundaries(start, end, meter)
        if value is not None and _readable(start, value, inner, meter, rest=rest):
            pieces.append(Piece(start - offset, end - start, value))
            continue
        cut = _cut(start, inner, meter)
        if cut is None:
            raise ValueError(f"no note value lasts {end - start} quarter notes")
        todo += [(cut, end), (start, cut)]
    return tuple(pieces)


def _tuplet_pieces(duration: Fraction, actual: int, normal: int) -> tuple[Piece, ...]:
    left = duration * actual / normal
    onset = Fraction(0)
    pieces: list[Piece] = []
    while left:
        value = value_of(left) or _largest_within(left)
        if value is None:
            raise ValueError(f"no note value lasts {duration} quarter notes in a tuplet {actual}:{normal}")
        sounding = value.length * normal / actual
        pieces.append(Piece(onset, sounding, value))
        onset += sounding
        left -= value.length
    return tuple(pieces)


def _largest_within(length: Fraction) -> Value | None:
    return next((v for v in map(Value, range(len(_TYPES))) if v.length <= length), None)


def _boundaries(start: Fraction, end: Fraction, meter: Meter) -> tuple[Fraction, ...]:
    """Lists the moments strictly inside, on the coarsest grid that has any."""
    grid = meter.beat
    for _ in range(len(_TYPES)):
        first = (start // grid + 1) * grid
        if first < end:
            count = -((first - end) // grid)
            return tuple(first + grid * i for i in range(int(count)))
        grid = _finer(grid, meter)
    return ()


def _finer(grid: Fraction, meter: Meter) -> Fraction:
    return grid / 3 if meter.compound and grid == meter.beat else grid / 2


def _level(moment: Fraction, meter: Meter) -> int:
    """Weighs a moment of the bar: 0 is a barline, 1 its middle, 2 a beat, then finer."""
    if moment % meter.length == 0:
        return _EDGE
    if moment == _middle(meter):
        return _MIDDLE
    grid = meter.beat
    for level in range(_BEAT, _BEAT + len(_TYPES)):
        if moment % grid == 0:
            return level
        grid = _finer(grid, meter)
    return _OFF_GRID


def _middle(meter: Meter) -> Fraction | None:
    """Gives where a bar divides: in halves, or 3 + 2 where it has five beats."""
    if meter.beats == 5:
        return 3 * meter.beat
    even = meter.beats >= 4 and meter.beats % 2 == 0
    return meter.length / 2 if even else None


def _readable(
    start: Fraction, value: Value, inner: tuple[Fraction, ...], meter: Meter, *, rest: bool
) -> bool:
    """Tells whether one note from a start on leaves the moments inside it visible."""
    levels = [_level(moment, meter) for moment in inner]
    if value.dots == _MOST_DOTS and value.length >= _HALF:
        return False
    strongest = min(levels, default=_OFF_GRID)
    begins, ends = _level(start, meter), _level(start + value.length, meter)
    if rest:
        return max(begins, ends) <= strongest and (value.dots == 0 or meter.compound)
    if meter.compound and strongest <= _BEAT:
        return max(begins, ends) <= _BEAT
    if min(begins, ends) > _BEAT and sum(level <= _BEAT for level in levels) > 1:
        return False
    late = 2 if begins <= strongest and strongest > _MIDDLE else 1
    return begins - strongest <= 1 and ends - strongest <= late


def _cut(start: Fraction, inner: tuple[Fraction, ...], meter: Meter) -> Fraction | None:
    """Chooses where to split: at the strongest moment inside.

    From a strong moment on the first note takes as much as it can, from a weak one it only
    reaches the next strong one.
    """
    if not inner:
        return None
    strongest = min(_level(moment, meter) for moment in inner)
    strong = [moment for moment in inner if _level(moment, meter) == strongest]
    return strong[-1] if _level(start, meter) <= strongest else strong[0]
