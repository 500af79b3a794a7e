"""Two passages made ready to stand above each other in one score, bar under bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import zip_longest

from transposary.passage import Bar, Event, Passage, Voice


def together(above: Passage, below: Passage) -> tuple[Passage, Passage] | None:
    """Gives two passages the same bars, the shorter one silent to the end of the longer one.

    Returns:
        The passages; None where their pickups, meters, repeats or endings differ.
    """
    both = list(zip(above.bars, below.bars, strict=False))
    if above.bars[0].number != below.bars[0].number or not all(map(_alike, *zip(*both, strict=True))):
        return None
    if any(one.duration != other.duration for one, other in both[:-1]):
        return None
    pairs = zip_longest(above.bars, below.bars)
    bars = tuple(max((bar for bar in pair if bar), key=lambda bar: bar.duration) for pair in pairs)
    return _filled(above, bars), _filled(below, bars)


def _alike(one: Bar, other: Bar) -> bool:
    """Says whether bars begin together and have the same signs; the last of a passage may be short."""
    return replace(one, duration=other.duration, double=other.double) == other


def _filled(passage: Passage, bars: Sequence[Bar]) -> Passage:
    end = passage.end
    rests = tuple(
        Event(start, bar.end - start, hidden=True) for bar in bars if (start := max(bar.onset, end)) < bar.end
    )
    voices = tuple(Voice(voice.name, voice.events + rests, voice.clefs) for voice in passage.voices)
    return replace(passage, bars=tuple(bars), voices=voices)
