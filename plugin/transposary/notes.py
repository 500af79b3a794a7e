"""Views of a passage that the rooms share: its notes in order, and its attacks.

The order of `notes` is fixed, because engravings, exports and the player all number the
notes of a device by it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from functools import wraps
from typing import TypeVar, cast

from transposary.passage import Event, Hand, Head, Passage, Voice
from transposary.pitch import Pitch

_View = TypeVar("_View")


def remembered(view: Callable[[Passage], _View]) -> Callable[[Passage], _View]:
    """Has a view of a passage made once and kept with the passage: many ask for the same few.

    What it gives must not be changed by anybody.
    """

    @wraps(view)
    def known(passage: Passage) -> _View:
        if view not in passage.views:
            passage.views[view] = view(passage)
        return cast("_View", passage.views[view])

    return known


class TieState(StrEnum):
    """How a note takes part in ties."""

    NONE = ""
    START = "start"
    CONTINUE = "continue"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Note:
    """A written note with everything that its voice and bar say about it.

    Attributes:
        index: Its place among the notes of the passage; engravings and exports use it.
        voice: Name of its voice.
        bar: Number of its bar.
        onset: In quarter notes; a grace note has the onset of the event that it leads to.
        duration: In quarter notes, 0 for a grace note.
        head: Pitch, fingering and the rest.
        tie: How it takes part in ties.
        grace: Whether it is a grace note.
    """

    index: int
    voice: str
    bar: int
    onset: Fraction
    duration: Fraction
    head: Head
    tie: TieState = TieState.NONE
    grace: bool = False

    @property
    def pitch(self) -> Pitch:
        """Its concert pitch."""
        return self.head.pitch

    @property
    def hand(self) -> Hand:
        """The hand that plays it."""
        return Hand(self.voice[:2])

    @property
    def end(self) -> Fraction:
        """When it stops sounding, ties not counted."""
        return self.onset + self.duration


@remembered
def notes(passage: Passage) -> tuple[Note, ...]:
    """Lists all written notes, voice by voice, event by event, graces first, lowest first."""
    found: list[Note] = []
    numbers = [bar.number for bar in passage.bars]
    # The end of the last bar changes nothing: what begins behind it belongs to that bar.
    ends = [bar.end for bar in passage.bars[:-1]]
    for voice in passage.voices:
        place = 0
        for head, event, tie, grace in _heads(voice):
            duration = Fraction(0) if grace else event.duration
            while place < len(ends) and event.onset >= ends[place]:
                place += 1
            bar = numbers[place]
            found.append(Note(len(found), voice.name, bar, event.onset, duration, head, tie, grace))
    return tuple(found)


@remembered
def attacks(passage: Passage) -> tuple[Note, ...]:
    """Lists the notes that are struck, a tied note once with its whole length.

    The index stays that of the written note at the attack.
    """
    struck: list[Note] = []
    for note in notes(passage):
        if note.tie in (TieState.CONTINUE, TieState.STOP):
            start = _tie_origin(struck, note)
            struck[start] = replace(struck[start], duration=note.end - struck[start].onset)
        else:
            struck.append(note)
    return tuple(struck)


def _tie_origin(struck: list[Note], note: Note) -> int:
    for index in range(len(struck) - 1, -1, -1):
        one = struck[index]
        if one.voice == note.voice and one.pitch == note.pitch and one.end == note.onset and not one.grace:
            return index
    raise ValueError(f"the tie into {note.pitch} at {note.onset} comes from nowhere")


def _heads(voice: Voice) -> Iterator[tuple[Head, Event, TieState, bool]]:
    held: frozenset[Pitch] = frozenset()
    for event in voice.events:
        for grace in event.graces:
            for head in grace.heads:
                yield head, event, TieState.NONE, True
        now = {head.pitch for head in event.heads if head.tied}
        for head in event.heads:
            yield head, event, _tie_state(into=head.pitch in held, onward=head.tied), False
        held = frozenset(now)


def _tie_state(*, into: bool, onward: bool) -> TieState:
    if into:
        return TieState.CONTINUE if onward else TieState.STOP
    return TieState.START if onward else TieState.NONE
