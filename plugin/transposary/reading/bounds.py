"""How much music one device may be.

What a build does with a device is more than in proportion to its length, and it does it in twelve
keys and for every instrument.
"""

from __future__ import annotations

from transposary.passage import Passage
from transposary.problems import Fault

MOST_BARS = 64
MOST_NOTES = 1_000
_HINT = "a device is one idea: keep that, and leave out what it stands in"


def check_length(passage: Passage) -> Fault | None:
    """Refuses more music than one idea has."""
    if long := check_bars(len(passage.bars)):
        return long
    notes = sum(max(1, len(event.heads)) for voice in passage.voices for event in voice.events)
    if notes > MOST_NOTES:
        return Fault(
            0, f"expected a device of at most {MOST_NOTES:,} notes and rests, found {notes:,}", _HINT
        )
    return None


def check_bars(count: int) -> Fault | None:
    """Refuses more bars than one idea has, before anything is made of them."""
    if count > MOST_BARS:
        return Fault(0, f"expected a device of at most {MOST_BARS} bars, found {count}", _HINT)
    return None
