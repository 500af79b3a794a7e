"""Stretches of a passage: some of its bars as a passage, and all of them in the order of playing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain
from typing import TypeVar

from transposary.passage import Bar, Event, Passage, Symbol, Voice
from transposary.repeats import times_through

_Value = TypeVar("_Value")
Changes = tuple[tuple[Fraction, _Value], ...]


@dataclass(frozen=True, slots=True)
class Stretch:
    """Bars of a passage: where they begin and end, and how they are moved and counted.

    Attributes:
        start: Where the first of them begins, in quarter notes.
        end: Where the last of them ends.
        shift: Quarter notes by which they are moved.
        bars_before: What is taken from their numbers.
    """

    start: Fraction
    end: Fraction
    shift: Fraction
    bars_before: int = 0


def take(passage: Passage, stretch: Stretch) -> Passage:
    """Takes a stretch out of a passage, with all of its voices.

    A note tied into it is struck there, one tied out of it ends; slurs and repeats go. The chord
    and the key that hold at the beginning are written there.
    """
    bars = tuple(
        replace(
            bar,
            number=bar.number - stretch.bars_before,
            onset=bar.onset + stretch.shift,
            repeat_begun=False,
            repeat_ended=False,
            ending="",
            ending_closed=False,
        )
        for bar in passage.bars
        if stretch.start <= bar.onset < stretch.end
    )
    voices = tuple(_voice(voice, stretch) for voice in passage.voices)
    return Passage(_changes(passage.keys, stretch), bars, voices, tuple(_symbols(passage, stretch)))


def as_played(passage: Passage) -> tuple[tuple[Fraction, Fraction], ...]:
    """Gives the stretches of a passage in the order in which they are played, as (start, end).

    Where nothing repeats it is one. The pickup comes again only where the bar that turns back
    leaves room for it, or where the repeat sign stands before it (common practice, no source).
    """
    bars = passage.bars
    found: list[tuple[Fraction, Fraction]] = []
    before = -1
    for place in _places(bars):
        follows = bool(found) and place == before + 1
        found.append((found.pop()[0] if follows else bars[place].onset, bars[place].end))
        before = place
    return tuple(found)


def _places(bars: Sequence[Bar]) -> Iterator[int]:
    before = -1
    for place in chain.from_iterable(times_through(bars)):
        bar = bars[place]
        signed = bar.number > 0 or bar.repeat_begun
        if before < place or signed or bars[before].duration < bars[before].meter.length:
            yield place
        before = place


def unfolded(passage: Passage) -> Passage:
    """Writes the repeats of a passage out: its bars as they are played, at most twice as many.

    Bars keep their numbers. Where nothing repeats it is the passage itself.
    """
    order = as_played(passage)
    if len(order) == 1:
        return passage
    pieces: list[Passage] = []
    now = passage.bars[0].onset
    for start, end in order:
        pieces.append(take(passage, Stretch(start, end, now - start)))
        now += end - start
    voices = tuple(
        Voice(
            same[0].name,
            tuple(chain.from_iterable(voice.events for voice in same)),
            _changed(voice.clefs for voice in same),
        )
        for same in zip(*(piece.voices for piece in pieces), strict=True)
    )
    return Passage(
        _changed(piece.keys for piece in pieces),
        tuple(chain.from_iterable(piece.bars for piece in pieces)),
        voices,
        tuple(chain.from_iterable(piece.symbols for piece in pieces)),
    )


def _voice(voice: Voice, stretch: Stretch) -> Voice:
    events = tuple(_events(voice, stretch))
    begun = {event.onset for event in events}
    (start, clef), *later = _changes(voice.clefs, stretch)
    return replace(voice, events=events, clefs=((start, clef), *(one for one in later if one[0] in begun)))


def _events(voice: Voice, stretch: Stretch) -> Iterator[Event]:
    own = [event for event in voice.events if stretch.start <= event.onset < stretch.end]
    for index, event in enumerate(own):
        heads = event.heads
        if index == len(own) - 1:
            heads = tuple(replace(head, tied=False) for head in heads)
        moved = event.onset + stretch.shift
        yield replace(event, onset=moved, heads=heads, slurs_begun=0, slurs_ended=0)


def _changes(changes: Changes[_Value], stretch: Stretch) -> Changes[_Value]:
    """Takes the changes of key or clef within a stretch, and the one that holds at its beginning."""
    holding = [value for onset, value in changes if onset <= stretch.start][-1:] or [changes[0][1]]
    inside = [(onset, value) for onset, value in changes if stretch.start < onset < stretch.end]
    found = [(stretch.start, holding[0]), *inside]
    return tuple((onset + stretch.shift, value) for onset, value in found)


def _symbols(passage: Passage, stretch: Stretch) -> Iterator[Symbol]:
    own = [one for one in passage.symbols if stretch.start <= one.onset < stretch.end]
    holding = passage.chord_at(stretch.start)
    if holding is not None and not any(one.onset == stretch.start for one in own):
        own.insert(0, replace(holding, onset=stretch.start))
    for one in own:
        number = passage.bar_at(one.onset).number - stretch.bars_before
        yield replace(one, onset=one.onset + stretch.shift, bar=number)


def _changed(pieces: Iterable[Changes[_Value]]) -> Changes[_Value]:
    """Puts changes one behind the other, without those that change nothing."""
    found: list[tuple[Fraction, _Value]] = []
    for onset, value in chain.from_iterable(pieces):
        if not found or found[-1][1] != value:
            found.append((onset, value))
    return tuple(found)
