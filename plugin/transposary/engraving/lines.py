"""A passage laid out for writing: voice by voice, bar by bar, in written notes and rests."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from transposary.engraving.beams import Beams, Stem, beams
from transposary.engraving.values import Piece, Value, event_pieces
from transposary.passage import Bar, Event, Hand, Passage, Voice

_SLURS_A_VOICE = 4
"""MusicXML tells sixteen slurs apart in a part (number-level); four voices share them."""

Slurs = tuple[tuple[int, str], ...]
"""Ends of slurs as (number, `start` or `stop`)."""


@dataclass(frozen=True, slots=True)
class Written:
    """A written note, chord or rest.

    Attributes:
        event: The event that it writes, or a part of it.
        index: Index of the event's first note, its graces first (`notes.notes`).
        onset: Quarter notes from the first downbeat.
        duration: Sounding length in quarter notes.
        value: The note value, or None for a rest that fills its bar.
        part: Which part of its event it is, from 0.
        last: Whether it is the last part of its event.
        beams: States of its beams.
        bracket: Whether its tuplet shows a bracket.
        slurs: Slurs that begin or end here.
    """

    event: Event
    index: int
    onset: Fraction
    duration: Fraction
    value: Value | None
    part: int
    last: bool
    beams: Beams = ()
    bracket: bool = True
    slurs: Slurs = ()

    @property
    def first(self) -> bool:
        """Whether it is the first part of its event."""
        return self.part == 0


@dataclass(frozen=True, slots=True)
class Line:
    """One voice.

    Attributes:
        voice: The voice.
        number: Its number in the file; 1 and 2 on the upper staff, 5 and 6 on the lower.
        staff: Its staff, from 1.
        upper: False for the second voice of its hand.
        bars: What is written in each bar.
    """

    voice: Voice
    number: int
    staff: int
    upper: bool
    bars: tuple[tuple[Written, ...], ...]


def lines(passage: Passage) -> tuple[Line, ...]:
    """Lays out every voice of a passage.

    Raises:
        ValueError: A duration cannot be written.
    """
    found: list[Line] = []
    index = 0
    staves = {hand: place for place, hand in enumerate(passage.hands)}
    for place, voice in enumerate(passage.voices):
        staff = staves[voice.hand]
        upper = len(voice.name) == len(Hand.RIGHT)
        slurs = _slurs(voice, 1 + _SLURS_A_VOICE * place)
        bars = _bars(passage, voice, index, slurs)
        found.append(Line(voice, 4 * staff + (1 if upper else 2), staff + 1, upper, bars))
        index += sum(map(_note_count, voice.events))
    return tuple(found)


def full_bar_offset(bars: Sequence[Bar], place: int) -> Fraction:
    """Gives where in a full bar a written bar begins: not at 0 for pickups and divided bars."""
    bar = bars[place]
    before = sum((b.duration for b in bars[:place] if b.number == bar.number), Fraction(0))
    return before if bar.number else bar.meter.length - bar.duration + before


def _note_count(event: Event) -> int:
    return len(event.heads) + sum(len(grace.heads) for grace in event.graces)


@dataclass(frozen=True, slots=True)
class _Placed:
    """An event with what its voice says about it: index of its first note, and its slurs."""

    event: Event
    index: int
    slurs: Slurs


def _slurs(voice: Voice, base: int) -> dict[int, Slurs]:
    """Pairs the slurs of a voice by the place of their event, the latest begun ending first.

    Those without a pair fall away.
    """
    found: dict[int, list[tuple[int, str]]] = {}
    begun: list[int] = []
    for place, event in enumerate(voice.events):
        for _ in range(min(event.slurs_ended, len(begun))):
            number = base + (len(begun) - 1) % _SLURS_A_VOICE
            found.setdefault(begun.pop(), []).append((number, "start"))
            found.setdefault(place, []).insert(0, (number, "stop"))
        begun += [place] * event.slurs_begun
    return {place: tuple(marks) for place, marks in found.items()}


def _bars(
    passage: Passage, voice: Voice, index: int, slurs: dict[int, Slurs]
) -> tuple[tuple[Written, ...], ...]:
    found: list[tuple[Written, ...]] = []
    events = list(voice.events)
    second = len(voice.name) > len(Hand.RIGHT)
    place = 0
    for number, bar in enumerate(passage.bars):
        offset = full_bar_offset(passage.bars, number)
        inside: list[_Placed] = []
        end = bar.end
        while place < len(events) and events[place].onset < end:
            inside.append(_Placed(events[place], index, slurs.get(place, ())))
            index += _note_count(events[place])
            place += 1
        if second and not any(placed.event.heads for placed in inside):
            inside = [replace(placed, event=replace(placed.event, hidden=True)) for placed in inside]
        written = [one for placed in inside for one in _written(placed, bar, offset)]
        found.append(_beamed(written, bar, offset))
    return tuple(found)


def _written(placed: _Placed, bar: Bar, offset: Fraction) -> Iterator[Written]:
    event = placed.event
    fills = event.duration == bar.duration == bar.meter.length
    if not event.heads and fills and event.tuplet is None:
        yield Written(event, placed.index, event.onset, event.duration, None, 0, last=True)
        return
    pieces = event_pieces(event, event.onset - bar.onset + offset, bar.meter)
    for part, piece in enumerate(pieces):
        yield _piece(placed, piece, part, last=part == len(pieces) - 1)


def _piece(placed: _Placed, piece: Piece, part: int, *, last: bool) -> Written:
    return Written(
        event=placed.event,
        index=placed.index,
        onset=placed.event.onset + piece.onset,
        duration=piece.duration,
        value=piece.value,
        part=part,
        last=last,
        slurs=tuple(s for s in placed.slurs if (part == 0 if s[1] == "start" else last)),
    )


def _beamed(written: Sequence[Written], bar: Bar, offset: Fraction) -> tuple[Written, ...]:
    stems = [
        Stem(
            offset=one.onset - bar.onset + offset,
            flags=one.value.flags if one.value else 0,
            rest=not one.event.heads,
            joined=one.event.beamed and one.last,
        )
        for one in written
    ]
    states = beams(stems, bar.meter)
    bare = _brackets(written, states)
    return tuple(
        replace(one, beams=state, bracket=bracket) if state or not bracket else one
        for one, state, bracket in zip(written, states, bare, strict=True)
    )


def _brackets(written: Sequence[Written], states: Sequence[Beams]) -> list[bool]:
    """Tells for each note whether its tuplet needs a bracket: not where a beam covers just it."""
    found = [True] * len(written)
    start = 0
    for place, one in enumerate(written):
        if one.event.tuplet is None:
            continue
        if one.event.tuplet.first and one.first:
            start = place
        if one.event.tuplet.last and one.last:
            outer = [state[0] if state else "" for state in states[start : place + 1]]
            covered = ["begin", *["continue"] * (len(outer) - 2), "end"] == outer
            found[start : place + 1] = [not covered] * len(outer)
    return found
