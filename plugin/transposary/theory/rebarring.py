"""A passage laid into other bars: times moved, notes tied over the barlines that they cross."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import zip_longest

from transposary.passage import Bar, Clef, Event, Key, Passage, Symbol, Voice
from transposary.problems import Fault
from transposary.theory.thirds import WRITTEN, Span, in_triplets, is_dyadic, triplets

_LONGEST = Fraction(8)
_SHORTEST = Fraction(1, 16)
_ODD = (1, 3, 7)
_TUPLET = "a tuplet has no place in its bars"

Moved = Callable[[Fraction], Fraction]


@dataclass(frozen=True, slots=True)
class Frame:
    """What a passage is laid into.

    Attributes:
        bars: Bars that hold every note.
        keys: Changes of key as (onset, key), the first from the start.
        symbols: Chord symbols in order of onset.
    """

    bars: tuple[Bar, ...]
    keys: tuple[tuple[Fraction, Key], ...]
    symbols: tuple[Symbol, ...]


def rebar(passage: Passage, moved: Moved, frame: Frame) -> Passage | Fault:
    """Lays the notes of a passage into bars, with the keys and chord symbols of these.

    A note that crosses a barline, that no single value shows, or under which a chord changes in
    all voices, is tied. Thirds of a beat are written as triplets in simple time. What has no time
    left there is left out, as are repeat signs; rests are written anew.

    Args:
        passage: In the key in which it is wanted.
        moved: Turns times of the passage into times of the bars, in the same order.
        frame: The bars.

    Returns:
        The passage, or why its times do not go into these bars; the offset says nothing.
    """
    voices: list[Voice] = []
    changes = frozenset(symbol.onset for symbol in frame.symbols)
    for voice in passage.voices:
        laid = _laid(voice, moved, frame.bars, changes)
        if isinstance(laid, Fault):
            return laid
        voices.append(laid)
    for symbol in frame.symbols:
        if any(event.onset == symbol.onset for voice in voices for event in voice.events):
            continue
        at = _to_cut(voices, symbol.onset)
        if at is None:
            return Fault(0, f"{symbol} comes within a tuplet")
        voices[at] = replace(voices[at], events=tuple(_cut(voices[at].events, symbol.onset, frame.bars)))
    regular = moved(passage.end) - moved(passage.bars[0].onset) == passage.end - passage.bars[0].onset
    beams = {moved(event.onset) for voice in passage.voices for event in voice.events if event.beamed}
    return Passage(
        frame.keys,
        frame.bars,
        tuple(
            replace(
                voice,
                events=tuple(_beamed(voice.events, frame.bars, beams if regular else None)),
                clefs=_clefs(voice, moved, frame.bars[0].onset),
            )
            for voice in voices
        ),
        frame.symbols,
    )


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A stretch of time that no note crosses unless it is tied."""

    start: Fraction
    end: Fraction
    bar: Bar
    triplet: bool = False


def _stretches(bars: Sequence[Bar], cuts: Sequence[Fraction], cells: Sequence[Span] = ()) -> list[_Stretch]:
    found = []
    for bar in bars:
        inner = sorted({moment for moment in cuts if bar.onset < moment < bar.end})
        found += [
            _Stretch(start, end, bar, (start, end) in cells)
            for start, end in zip([bar.onset, *inner], [*inner, bar.end], strict=True)
        ]
    return found


def _laid(voice: Voice, moved: Moved, bars: Sequence[Bar], changes: frozenset[Fraction]) -> Voice | Fault:
    notes = [event for event in voice.events if event.heads and event.tuplet is None]
    cells = triplets([(moved(event.onset), moved(event.end)) for event in notes], bars, changes)
    stretches = _stretches(bars, [moment for cell in cells for moment in cell], cells)
    if _torn(voice.events, moved):
        return Fault(0, _TUPLET)
    pieces: list[Event] = []
    for event in voice.events:
        found = _moved(event, moved, stretches)
        if isinstance(found, Fault):
            return found
        pieces += found
    rests = [event for event in voice.events if not event.heads]
    hidden = bool(rests) and all(rest.hidden for rest in rests)
    filled = list(_filled(list(_let_go(pieces)), stretches, hidden=hidden))
    return replace(voice, events=in_triplets(filled, cells))


def _torn(events: Sequence[Event], moved: Moved) -> bool:
    """Whether the members of a tuplet would change by different shares."""
    share: Fraction | None = None
    for event in events:
        if event.tuplet is None:
            continue
        own = (moved(event.end) - moved(event.onset)) / event.duration
        if own != (own if event.tuplet.first else share):
            return True
        share = own
    return False


def _let_go(pieces: Sequence[Event]) -> Iterator[Event]:
    """Ends the ties of notes whose next part has been left out."""
    for piece, following in zip_longest(pieces, pieces[1:]):
        going = following is not None and following.onset == piece.end
        held = {head.pitch for head in following.heads} if going and following is not None else set()
        yield replace(
            piece,
            heads=tuple(replace(head, tied=head.tied and head.pitch in held) for head in piece.heads),
        )


def _moved(event: Event, moved: Moved, stretches: Sequence[_Stretch]) -> list[Event] | Fault:
    """Moves an event and ties it where it has to be; rests outside of tuplets are left out."""
    onset, end = moved(event.onset), moved(event.end)
    one = replace(event, onset=onset, duration=end - onset, beamed=False)
    tuplet = event.tuplet
    if tuplet is not None and not (_shown(one.duration) and is_dyadic(onset)):
        written = one.duration * tuplet.actual / tuplet.normal
        whole = any(
            stretch.start <= onset and end <= stretch.end and not stretch.triplet for stretch in stretches
        )
        if _shown(written) and whole:
            return [one]
        return Fault(0, _TUPLET)
    if not event.heads or onset == end:
        return []
    if not all(_writable(moment, stretches) for moment in (onset, end)):
        return Fault(0, "a part of a beat has no place in its beats")
    return list(_tied(replace(one, tuplet=None), list(_lengths(onset, end, stretches))))


def _writable(moment: Fraction, stretches: Sequence[_Stretch]) -> bool:
    cells = (one for one in stretches if one.triplet and one.start < moment < one.end)
    cell = next(cells, None)
    return is_dyadic(moment if cell is None else (moment - cell.start) * WRITTEN)


def _shown(length: Fraction) -> bool:
    """Whether one note with up to two dots shows a length."""
    odd = length.numerator
    while odd % 2 == 0:
        odd //= 2
    return is_dyadic(length) and odd in _ODD and _SHORTEST <= length <= _LONGEST


def _lengths(onset: Fraction, end: Fraction, stretches: Sequence[_Stretch]) -> Iterator[Fraction]:
    for stretch in stretches:
        start, stop = max(onset, stretch.start), min(end, stretch.end)
        # Within a triplet, lengths are chosen as written, and its third part is what a beat is elsewhere.
        scale, origin, beat = Fraction(1), stretch.bar.onset, stretch.bar.meter.beat
        if stretch.triplet:
            scale, origin, beat = WRITTEN, stretch.start, (stretch.end - stretch.start) / 2
        while start < stop:
            length = (stop - start) * scale
            if not _shown(length):
                length = _part((start - origin) * scale, length, beat)
            yield length / scale
            start += length / scale


def _part(offset: Fraction, length: Fraction, beat: Fraction) -> Fraction:
    """Takes a part that one value shows: up to the next beat, or as much as there is."""
    to_beat = -offset % beat
    if 0 < to_beat < length and _shown(to_beat):
        return to_beat
    power = _LONGEST
    while power > length:
        power /= 2
    return power


def _tied(event: Event, lengths: Sequence[Fraction]) -> Iterator[Event]:
    onset = event.onset
    for number, length in enumerate(lengths):
        first, last = number == 0, number == len(lengths) - 1
        yield replace(
            event,
            onset=onset,
            duration=length,
            heads=tuple(
                replace(head, tied=head.tied or not last, finger=head.finger if first else None)
                for head in event.heads
            ),
            graces=event.graces if first else (),
            staccato=event.staccato and first,
            accent=event.accent and first,
            slurs_begun=event.slurs_begun if first else 0,
            slurs_ended=event.slurs_ended if last else 0,
        )
        onset += length


def _filled(pieces: Sequence[Event], stretches: Sequence[_Stretch], *, hidden: bool) -> Iterator[Event]:
    now = stretches[0].start
    for piece in pieces:
        yield from _rests(now, piece.onset, stretches, hidden=hidden)
        yield piece
        now = piece.end
    yield from _rests(now, stretches[-1].end, stretches, hidden=hidden)


def _rests(onset: Fraction, end: Fraction, stretches: Sequence[_Stretch], *, hidden: bool) -> Iterator[Event]:
    for stretch in stretches:
        start, stop = max(onset, stretch.start), min(end, stretch.end)
        if stop - start == stretch.bar.meter.length and not stretch.triplet:
            yield Event(start, stop - start, hidden=hidden)
            continue
        for length in _lengths(start, stop, [stretch]):
            yield Event(start, length, hidden=hidden)
            start += length


def _to_cut(voices: Sequence[Voice], moment: Fraction) -> int | None:
    """Chooses the voice to be cut at a moment: one that rests there, else the lowest that can be."""
    found = [
        (bool(event.heads), -at, at)
        for at, voice in enumerate(voices)
        for event in voice.events
        if event.onset < moment < event.end and event.tuplet is None
    ]
    return min(found)[2] if found else None


def _cut(events: Sequence[Event], moment: Fraction, bars: Sequence[Bar]) -> Iterator[Event]:
    stretches = _stretches(bars, (moment,))
    for event in events:
        if not event.onset < moment < event.end:
            yield event
        elif event.heads:
            yield from _tied(event, list(_lengths(event.onset, event.end, stretches)))
        else:
            yield from _rests(event.onset, event.end, stretches, hidden=event.hidden)


def _beamed(events: Sequence[Event], bars: Sequence[Bar], beams: set[Fraction] | None) -> Iterator[Event]:
    """Beams short notes: as in the passage if its beams are known, else those of each beat."""
    for event, following in zip(events, [*events[1:], None], strict=True):
        joined = following is not None and _short(event) and _short(following)
        if joined:
            bar = next(bar for bar in bars if event.onset < bar.end)
            same_beat = bar.beat_at(event.onset) // 1 == bar.beat_at(event.end) // 1
            joined = event.end < bar.end and (same_beat if beams is None else event.onset in beams)
        yield replace(event, beamed=joined)


def _short(event: Event) -> bool:
    tuplet = event.tuplet
    written = event.duration if tuplet is None else event.duration * tuplet.actual / tuplet.normal
    return bool(event.heads) and written < 1


def _clefs(voice: Voice, moved: Moved, start: Fraction) -> tuple[tuple[Fraction, Clef], ...]:
    """Moves changes of clef; those that come where nothing begins any more are left out."""
    begun = {event.onset for event in voice.events}
    (_, clef), *later = voice.clefs
    return ((start, clef), *((moved(onset), one) for onset, one in later if moved(onset) in begun))
