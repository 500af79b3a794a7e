"""Some bars of a passage, as a passage."""

from __future__ import annotations

from dataclasses import replace

from transposary.passage import Passage
from transposary.stretches import Stretch, take


def cut_passage(passage: Passage, first: int, last: int) -> Passage | None:
    """Takes some bars out of a passage, counted anew from 1; None where it has none of them.

    Voices that are silent there go; the rest is as in `take`.
    """
    own = [bar for bar in passage.bars if first <= bar.number <= last]
    if not own or {first, last} - {bar.number for bar in own}:
        return None
    downbeat = next((bar.onset for bar in own if bar.number > 0), own[0].onset)
    cut = take(passage, Stretch(own[0].onset, own[-1].end, -downbeat, max(first, 1) - 1))
    sounding = tuple(voice for voice in cut.voices if any(event.heads for event in voice.events))
    return replace(cut, voices=sounding) if sounding else None
