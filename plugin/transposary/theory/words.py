"""A passage in words, bar by bar: the text alternative of its engraving."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import TypeVar

from transposary.passage import Bar, Event, Grace, Hand, Head, Passage, Symbol, Voice
from transposary.pitch import pretty
from transposary.theory.chords import pretty_chord
from transposary.theory.keys import pretty_key
from transposary.theory.strikes import beat_of

_Timed = TypeVar("_Timed", Event, Symbol)
_HANDS = {Hand.RIGHT: "Right hand", Hand.LEFT: "Left hand"}
_LENGTHS = (
    (Fraction(8), "double whole"),
    (Fraction(4), "whole"),
    (Fraction(2), "half"),
    (Fraction(1), "quarter"),
    (Fraction(1, 2), "eighth"),
    (Fraction(1, 4), "sixteenth"),
    (Fraction(1, 8), "thirty-second"),
    (Fraction(1, 16), "sixty-fourth"),
)
_DOTS = ((Fraction(1), ""), (Fraction(3, 2), "dotted "), (Fraction(7, 4), "double-dotted "))
# All lengths that one note can have, the longest first.
_WRITTEN = tuple(
    sorted(
        ((dots * length, dotted + name) for length, name in _LENGTHS for dots, dotted in _DOTS),
        reverse=True,
    )
)
_TUPLETS = {2: "duplet", 3: "triplet", 4: "quadruplet", 5: "quintuplet", 6: "sextuplet", 7: "septuplet"}
_ENDINGS = {"1": "First ending", "2": "Second ending"}


def in_words(passage: Passage, *, hands: bool = True) -> str:
    """Says a passage in musicians' words, one line a bar.

    The first line gives key and time; then come each bar's chords and what each voice plays:
    `Bar 1. Chord G7. Right hand: B4 dotted quarter, D5 eighth tied on.`

    Args:
        passage: The passage.
        hands: Whether it says which hand plays; a single line has none.
    """
    lines = [f"{_capital(pretty_key(passage.key))}, {passage.meter} time."]
    before: Bar | None = None
    symbols = _by_bar(passage.bars, passage.symbols)
    voices = [(voice, _by_bar(passage.bars, voice.events)) for voice in passage.voices]
    for place, bar in enumerate(passage.bars):
        within = [(voice, events[place]) for voice, events in voices]
        said = _bar(passage, (before, bar), symbols[place], within, hands=hands)
        lines.append(" ".join(f"{sentence}." for sentence in said))
        before = bar
    return "\n".join(lines)


@lru_cache(maxsize=256)
def name_length(duration: Fraction) -> str:
    """Names a note's length: `dotted quarter`; one that no single note has is named as its sum.

    Pure, and asked for every note of every key, so its results are remembered.

    Args:
        duration: In quarter notes as written, outside any tuplet.
    """
    names = []
    rest = duration
    while rest > 0:
        part = _longest(rest)
        if part is None:
            return f"{duration} of a quarter"
        length, name = part
        names.append(name)
        rest -= length
    return " and ".join(names)


def _longest(rest: Fraction) -> tuple[Fraction, str] | None:
    return next((one for one in _WRITTEN if one[0] <= rest), None)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _by_bar(bars: Sequence[Bar], timed: Iterable[_Timed]) -> list[list[_Timed]]:
    """Gives what begins in each bar; both stand in order."""
    found: list[list[_Timed]] = [[] for _ in bars]
    ends = [bar.end for bar in bars]
    place = 0
    for one in timed:
        while place < len(bars) and one.onset >= ends[place]:
            place += 1
        if place < len(bars) and one.onset >= bars[place].onset:
            found[place].append(one)
    return found


def _bar(
    passage: Passage,
    bars: tuple[Bar | None, Bar],
    symbols: Sequence[Symbol],
    voices: Iterable[tuple[Voice, Sequence[Event]]],
    *,
    hands: bool,
) -> Iterator[str]:
    """Says a bar, known with the one before it."""
    before, bar = bars
    yield _bar_name(bar, before)
    if before is not None and bar.meter != before.meter:
        yield f"Time changes to {bar.meter}"
    for onset, key in passage.keys[1:]:
        if bar.onset <= onset < bar.end:
            yield f"Key changes to {pretty_key(key)}"
    chords = _chords(passage, bar, symbols)
    if chords:
        yield chords
    for voice, events in voices:
        played = ", ".join(_events(events))
        if played:
            yield f"{_voice_name(voice)}: {played}" if hands else _capital(played)
    if bar.repeat_ended:
        yield "Repeat"


def _bar_name(bar: Bar, before: Bar | None) -> str:
    name = "Pickup" if bar.number == 0 else f"Bar {bar.number}"
    if before is not None and before.number == bar.number:
        name += ", continued"
    if bar.ending:
        name = f"{_ENDINGS.get(bar.ending, f'Ending {bar.ending}')}, {name[0].lower()}{name[1:]}"
    return f"{name}, repeat from here" if bar.repeat_begun else name


def _chords(passage: Passage, bar: Bar, within: Sequence[Symbol]) -> str:
    found = []
    for symbol in within:
        name = "no chord" if symbol.chord is None else pretty_chord(symbol.chord)
        if len(within) > 1 or symbol.onset != bar.onset:
            name += f" on beat {_beat(beat_of(passage, symbol.onset))}"
        found.append(name)
    if found in ([], ["no chord"]):
        return "No chord" if found else ""
    return f"{'Chords' if len(found) > 1 else 'Chord'} {', '.join(found)}"


def _beat(beat: Fraction) -> str:
    whole, part = divmod(beat, 1)
    if part == 0:
        return str(whole)
    return f"{whole} and a half" if part == Fraction(1, 2) else f"{whole} and {part}"


def _voice_name(voice: Voice) -> str:
    return _HANDS[voice.hand] + (", second voice" if voice.name.endswith("2") else "")


def _events(events: Sequence[Event]) -> Iterator[str]:
    within = [event for event in events if not event.hidden]
    if within and not any(event.heads for event in within):
        yield "rest"
        return
    for event in within:
        yield " ".join(_event(event))


def _event(event: Event) -> Iterator[str]:
    if event.graces:
        several = len(event.graces) > 1 or len(event.graces[0].heads) > 1
        yield f"grace {'notes' if several else 'note'} {', '.join(map(_grace, event.graces))} before"
    length = _length(event)
    if not event.heads:
        yield f"{length} rest"
        return
    yield _heads(event.heads)
    yield length
    if all(head.tied for head in event.heads):
        yield "tied on"
    if event.staccato:
        yield "staccato"
    if event.accent:
        yield "accented"


def _length(event: Event) -> str:
    if event.tuplet is None:
        return name_length(event.duration)
    actual, normal = event.tuplet.actual, event.tuplet.normal
    kind = _TUPLETS.get(actual, f"{actual} in the time of {normal}")
    return f"{kind} {name_length(event.duration * actual / normal)}"


def _heads(heads: tuple[Head, ...]) -> str:
    some_tied = any(head.tied for head in heads) and not all(head.tied for head in heads)
    return _listed(_head(head, tied=some_tied and head.tied) for head in heads)


def _grace(grace: Grace) -> str:
    return _listed(_head(head, tied=False) for head in grace.heads)


def _listed(names: Iterable[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last} together" if first else last


def _head(head: Head, *, tied: bool) -> str:
    marks = [pretty(str(head.pitch))]
    if head.ghost:
        marks.insert(0, "ghost note")
    if tied:
        marks.append("tied on")
    if head.finger is not None:
        marks.append(f"finger {head.finger}")
    return " ".join(marks)
