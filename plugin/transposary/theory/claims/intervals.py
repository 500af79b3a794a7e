"""The interval within each double stop.

    intervals: "M3 P4 M6 | M10"

A double stop is two notes of one hand that sound when something is struck: struck together, or
one struck while the other is held. Intervals are major, minor, perfect, augmented or diminished
(`M m P A d`) and compound ones keep their size: `M10` is a third and an octave.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from transposary.notes import Note
from transposary.pitch import OCTAVE, Interval
from transposary.problems import Fault
from transposary.theory.claims._degrees import BY_SOUND, other_voices
from transposary.theory.claims._kind import CountedClaim, Reading
from transposary.theory.counting import Fact, Line, Moment, Truth, read_words, with_keys
from transposary.theory.strikes import Hearing, Strike, hand_voices

_INTERVAL = re.compile(r"(M|m|P|A{1,2}|d{1,2})([1-9]\d?)")
_LACKING = "no hand sounds two notes at once"
_PERFECT = (1, 4, 5)


def _read(text: str) -> Line | Fault:
    return with_keys(read_words(text), _key_of)


def _key_of(word: str) -> str | Fault:
    match = _INTERVAL.fullmatch(word)
    if match is None:
        return Fault(0, f"an interval is expected, {word!r} found", "write intervals as M3 m7 P5 A4 d5 M10")
    number = int(match[2])
    if match[1] in ("M", "m", "P") and (match[1] == "P") != ((number - 1) % 7 + 1 in _PERFECT):
        kinds = "P, A or d" if (number - 1) % 7 + 1 in _PERFECT else "M, m, A or d"
        return Fault(0, f"there is no interval {word!r}", f"intervals of that size are {kinds}")
    return word


def _same(interval: Interval) -> Iterator[Interval]:
    yield interval


def _truths(hearing: Hearing, scope: str | None) -> tuple[Truth, ...]:
    voices = hand_voices(hearing.passage, scope)
    held = _moments(hearing, voices, _same)
    struck = _moments(hearing, voices, _same, together=True)
    return tuple(dict.fromkeys((held, struck)))


def _moments(
    hearing: Hearing,
    voices: tuple[str, ...],
    said_of: Callable[[Interval], Iterator[Interval]],
    *,
    together: bool = False,
) -> Truth:
    return tuple(
        Moment(strike.bar, strike.onset, (_fact(low, high, said_of),))
        for strike, (low, high) in _double_stops(hearing, voices, together=together)
    )


def _fact(low: Note, high: Note, said_of: Callable[[Interval], Iterator[Interval]]) -> Fact:
    interval = low.pitch.to(high.pitch)
    keys = frozenset(map(str, said_of(interval)))
    return Fact(str(interval), keys, f"{low.pitch} {high.pitch}")


def _double_stops(
    hearing: Hearing, voices: tuple[str, ...], *, together: bool
) -> list[tuple[Strike, tuple[Note, Note]]]:
    """Lists the double stops of each hand, in order; of two at once the lower one comes first."""
    found = []
    for hand in reversed(hearing.passage.hands):
        own = [name for name in voices if name.startswith(hand)]
        for strike in hearing.strikes(own):
            notes = strike.struck if together else strike.sounding
            if len(notes) == 2:
                found.append((strike, (notes[0], notes[1])))
    return sorted(found, key=lambda pair: pair[0].onset)


def _readings(hearing: Hearing, scope: str | None) -> Iterator[Reading]:
    voices = hand_voices(hearing.passage, scope)
    for reading, other in other_voices(hearing.passage, voices):
        yield reading, _moments(hearing, other, _same)
    others = (
        ("within the octave; compound intervals keep their size", _simple),
        ("inverted, with the lower note an octave up", _inverted),
        (BY_SOUND, _sounding_alike),
    )
    for reading, said_of in others:
        for together in (False, True):
            yield reading, _moments(hearing, voices, said_of, together=together)


def _simple(interval: Interval) -> Iterator[Interval]:
    octaves = max(interval.steps - 1, 0) // 7
    yield Interval(interval.steps - 7 * octaves, interval.semitones - 12 * octaves)


def _inverted(interval: Interval) -> Iterator[Interval]:
    for simple in _simple(interval):
        yield OCTAVE + -simple


def _sounding_alike(interval: Interval) -> Iterator[Interval]:
    for steps in (-1, 0, 1):
        yield Interval(interval.steps + steps, interval.semitones)


CLAIM = CountedClaim(
    "intervals",
    "intervals",
    "the double stops",
    _read,
    _truths,
    _readings,
    _LACKING,
)
