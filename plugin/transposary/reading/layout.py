"""Strikes to events: lengths that can be written, ties, rests, triplets and beams."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from transposary.passage import Bar, Event, Head, Meter, Tuplet
from transposary.pitch import Pitch

FINEST = Fraction(1, 32)
"""The shortest note, a 128th, in quarter notes."""
WRITABLE = frozenset(
    base * dots for base in (Fraction(2) ** i for i in range(-5, 3)) for dots in (Fraction(1), Fraction(3, 2))
)
"""What one note can last, in quarter notes; any other length is written as notes with ties."""


@dataclass(frozen=True, slots=True)
class Strike:
    """What is struck at one moment, to sound until the next one or the end of its bar.

    Attributes:
        onset: In quarter notes from the first downbeat.
        pitches: The pitches, lowest first.
    """

    onset: Fraction
    pitches: tuple[Pitch, ...]


def lay_out(strikes: Sequence[Strike], bars: Sequence[Bar], cuts: Sequence[Fraction]) -> tuple[Event, ...]:
    """Fills bars with the notes of one voice.

    Args:
        strikes: In order of onset; each on a place of the bar that can be written, thirds of
            a beat included.
        bars: The bars, without gaps.
        cuts: Moments at which a note or rest must begin, such as those of chord symbols.
    """
    events: list[Event] = []
    for bar in bars:
        own = [strike for strike in strikes if bar.onset <= strike.onset < bar.end]
        thirds = _divided_in_three(own, bar)
        bounds = [strike.onset for strike in own] + [bar.end]
        spans = [Strike(bar.onset, ()), *own] if bounds[0] > bar.onset else own
        ends = bounds if bounds[0] > bar.onset else bounds[1:]
        for span, end in zip(spans, ends, strict=True):
            marks = sorted(
                {*(cut for cut in cuts if span.onset < cut < end), *_edges(thirds, span.onset, end, bar)}
            )
            pieces = [
                piece
                for start, stop in zip([span.onset, *marks], [*marks, end], strict=True)
                for piece in _pieces(start, stop, bar, thirds)
            ]
            events += _events(span, pieces)
        events = _marked(events, bar, thirds)
    return beamed(events, bars)


def _beat_of(onset: Fraction, bar: Bar) -> int:
    return int((onset - bar.onset) / bar.meter.beat)


def _divided_in_three(strikes: Sequence[Strike], bar: Bar) -> frozenset[int]:
    """Finds the beats of simple time in which something is struck at a third."""
    if bar.meter.compound:
        return frozenset()
    return frozenset(
        _beat_of(strike.onset, bar)
        for strike in strikes
        if ((strike.onset - bar.onset) / bar.meter.beat).denominator == 3
    )


def _edges(thirds: frozenset[int], start: Fraction, end: Fraction, bar: Bar) -> Iterator[Fraction]:
    """A triplet begins and ends with its beat, so notes are cut there."""
    for beat in thirds:
        for edge in (beat, beat + 1):
            onset = bar.onset + edge * bar.meter.beat
            if start < onset < end:
                yield onset


def _pieces(
    start: Fraction, end: Fraction, bar: Bar, thirds: frozenset[int]
) -> Iterator[tuple[Fraction, Fraction]]:
    """Cuts a note into lengths that can be written, as (onset, length)."""
    while start < end:
        length = end - start
        if _beat_of(start, bar) not in thirds:
            length = one_note(start - bar.onset, length, bar.meter)
        yield start, length
        start += length


def one_note(place: Fraction, length: Fraction, meter: Meter) -> Fraction:
    """Gives what the first note of a longer one lasts: beats stay visible, but for a plain off-beat.

    Args:
        place: Where in its bar it begins, in quarter notes from where a whole bar would.
        length: What there is to write, a multiple of `FINEST`.
        meter: The meter.
    """
    beats = place / meter.beat
    off_beat = beats.denominator == 2 and length in WRITABLE and length <= meter.beat
    if beats.denominator > 1 and not off_beat:
        length = min(length, (beats // 1 + 1) * meter.beat - place)
    whole_beats = meter.compound and beats.denominator == 1 and length >= meter.beat
    step = meter.beat if whole_beats else FINEST
    return max(one for one in WRITABLE if one <= length and one % step == 0)


def _events(span: Strike, pieces: Sequence[tuple[Fraction, Fraction]]) -> Iterator[Event]:
    for index, (onset, length) in enumerate(pieces):
        tied = index < len(pieces) - 1
        yield Event(onset, length, tuple(Head(pitch, tied=tied) for pitch in span.pitches))


def _marked(events: Sequence[Event], bar: Bar, thirds: frozenset[int]) -> list[Event]:
    """Marks the events of a beat divided in three as a triplet."""
    marked = list(events)
    for beat in thirds:
        onset = bar.onset + beat * bar.meter.beat
        inside = [i for i, event in enumerate(marked) if onset <= event.onset < onset + bar.meter.beat]
        for i in inside:
            tuplet = Tuplet(3, 2, first=i == inside[0], last=i == inside[-1])
            marked[i] = replace(marked[i], tuplet=tuplet)
    return marked


def beamed(events: Sequence[Event], bars: Sequence[Bar]) -> tuple[Event, ...]:
    """Joins the short notes of a voice by beams, within each beat."""
    found: list[Event] = []
    for event, after in zip(events, [*events[1:], None], strict=True):
        bar = next(one for one in bars if one.onset <= event.onset < one.end)
        joined = (
            after is not None
            and after.onset < bar.end
            and _beat_of(event.onset, bar) == _beat_of(after.onset, bar)
            and all(one.heads and _written(one) < 1 for one in (event, after))
        )
        found.append(replace(event, beamed=joined))
    return tuple(found)


def _written(event: Event) -> Fraction:
    return event.duration if event.tuplet is None else event.duration * Fraction(3, 2)
