"""Notes let go at a moment at which they would ring on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from transposary.passage import Event, Passage
from transposary.pitch import Pitch


def release(passage: Passage, moment: Fraction) -> Passage:
    """Lets go at a moment of what is held then; what is struck at it or later stays.

    Tuplets stay as they are, and so does a voice in which a slur begins or ends on what would go.

    Args:
        passage: The passage.
        moment: In quarter notes from the first downbeat.
    """
    voices = tuple(replace(one, events=_released(one.events, moment)) for one in passage.voices)
    return replace(passage, voices=voices)


def _released(events: Sequence[Event], moment: Fraction) -> tuple[Event, ...]:
    found = tuple(_pieces(events, moment))
    slurs = [sum(one.slurs_begun + one.slurs_ended for one in them) for them in (events, found)]
    return found if slurs[0] == slurs[1] else tuple(events)


def _pieces(events: Sequence[Event], moment: Fraction) -> Iterator[Event]:
    held: set[Pitch] = set()
    rests = [event for event in events if not event.heads]
    resting = Event(moment, Fraction(0), hidden=bool(rests) and all(rest.hidden for rest in rests))
    for event in events:
        tied = {head.pitch for head in event.heads if head.tied}
        if event.tuplet is not None:
            yield event
            held = set()
        elif event.end <= moment:
            yield _untied(event) if event.end == moment else event
            held = tied if event.end == moment else set()
        elif event.onset < moment:
            yield replace(_untied(event), duration=moment - event.onset, beamed=False)
            yield replace(resting, duration=event.end - moment)
            held = tied
        else:
            heads = tuple(head for head in event.heads if head.pitch not in held)
            rest = replace(resting, onset=event.onset, duration=event.duration)
            yield replace(event, heads=heads) if heads else rest if event.heads else event
            held &= tied


def _untied(event: Event) -> Event:
    return replace(event, heads=tuple(replace(head, tied=False) for head in event.heads))
