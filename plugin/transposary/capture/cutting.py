"""Some bars of a passage, as a passage."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeVar

from transposary.passage import Event, Passage, Symbol, Voice

_Value = TypeVar("_Value")


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Bars that are taken: where they begin and end, and how they are moved and counted."""

    start: Fraction
    end: Fraction
    shift: Fraction
    bars_before: int


def cut_passage(passage: Passage, first: int, last: int) -> Passage | None:
    """Takes some bars out of a passage, counted anew from 1; None where it has none of them.

    A note tied into them is struck there, one tied out of them ends; slurs and repeats go. The
    chord and the key that hold at the beginning are written there.
    """
    own = [bar for bar in passage.bars if first <= bar.number <= last]
    if not own or {first, last} - {bar.number for bar in own}:
        return None
    before = max(first, 1) - 1
    downbeat = next((bar.onset for bar in own if bar.number > 0), own[0].onset)
    stretch = _Stretch(own[0].onset, own[-1].end, -downbeat, before)
    bars = tuple(
        replace(
            bar,
            number=bar.number - before,
            onset=bar.onset - downbeat,
            repeat_begun=False,
            repeat_ended=False,
            ending="",
            ending_closed=False,
        )
        for bar in own
    )
    voices = [_voice(voice, stretch) for voice in passage.voices]
    sounding = tuple(voice for voice in voices if any(event.heads for event in voice.events))
    if not sounding:
        return None
    return Passage(_changes(passage.keys, stretch), bars, sounding, tuple(_symbols(passage, stretch)))


def _voice(voice: Voice, stretch: _Stretch) -> Voice:
    events = tuple(_events(voice, stretch))
    begun = {event.onset for event in events}
    (start, clef), *later = _changes(voice.clefs, stretch)
    return replace(voice, events=events, clefs=((start, clef), *(one for one in later if one[0] in begun)))


def _events(voice: Voice, stretch: _Stretch) -> Iterator[Event]:
    own = [event for event in voice.events if stretch.start <= event.onset < stretch.end]
    for index, event in enumerate(own):
        heads = event.heads
        if index == len(own) - 1:
            heads = tuple(replace(head, tied=False) for head in heads)
        moved = event.onset + stretch.shift
        yield replace(event, onset=moved, heads=heads, slurs_begun=0, slurs_ended=0)


def _changes(
    changes: Sequence[tuple[Fraction, _Value]], stretch: _Stretch
) -> tuple[tuple[Fraction, _Value], ...]:
    """Takes the changes of key or clef within a stretch, and the one that holds at its beginning."""
    holding = [value for onset, value in changes if onset <= stretch.start][-1:] or [changes[0][1]]
    inside = [(onset, value) for onset, value in changes if stretch.start < onset < stretch.end]
    found = [(stretch.start, holding[0]), *inside]
    return tuple((onset + stretch.shift, value) for onset, value in found)


def _symbols(passage: Passage, stretch: _Stretch) -> Iterator[Symbol]:
    own = [one for one in passage.symbols if stretch.start <= one.onset < stretch.end]
    holding = passage.chord_at(stretch.start)
    if holding is not None and not any(one.onset == stretch.start for one in own):
        own.insert(0, replace(holding, onset=stretch.start))
    for one in own:
        number = passage.bar_at(one.onset).number - stretch.bars_before
        yield replace(one, onset=one.onset + stretch.shift, bar=number)
