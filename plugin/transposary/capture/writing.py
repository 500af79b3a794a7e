"""Placed notes as a passage: voices, bars, ties, tuplets, rests and beams."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise

from transposary.capture.lengths import Placed
from transposary.passage import Bar, Clef, Event, Hand, Head, Key, Meter, Passage, Symbol, Tuplet, Voice
from transposary.pitch import Pitch
from transposary.problems import Fault
from transposary.reading.layout import FINEST, WRITABLE, beamed, one_note

_THREE_FOR_TWO = Fraction(3, 2)
_CLEFS = {Hand.RIGHT: Clef.TREBLE, Hand.LEFT: Clef.BASS}


@dataclass(frozen=True, slots=True)
class _Block:
    """What a voice strikes at one moment."""

    onset: Fraction
    end: Fraction
    numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Cell:
    """A stretch of time that is written as one triplet."""

    start: Fraction
    end: Fraction


def make_bars(placed: Sequence[Placed], meter: Meter) -> tuple[Bar, ...]:
    """Draws the barlines: a pickup if something is struck before the first downbeat, then whole bars."""
    first = min(one.onset for one in placed)
    last = max(one.end for one in placed)
    count = max(1, -(-last // meter.length))
    bars = [Bar(number + 1, number * meter.length, meter.length, meter) for number in range(int(count))]
    if first < 0:
        lead = min(meter.length, -(first // _step(first, meter)) * _step(first, meter))
        bars.insert(0, Bar(0, -lead, lead, meter))
    return tuple(bars)


def _step(first: Fraction, meter: Meter) -> Fraction:
    """Gives what a pickup is a multiple of: half a beat, or all of it where it is divided in three."""
    unit = _divided(meter)
    whole = meter.unit >= 8 or (first / unit).denominator % 3 == 0
    return unit if whole else unit / 2


def _divided(meter: Meter) -> Fraction:
    """Gives what a triplet fills: a quarter note, or the unit of a meter that counts shorter ones."""
    return min(Fraction(1), Fraction(4, meter.unit))


def check_rhythm(placed: Sequence[Placed], meter: Meter) -> Fault | None:
    """Refuses notes that begin or end where no note value leads to."""
    for hand in Hand:
        for blocks in _voices([one for one in placed if one.hand is hand]):
            cells = _cells(blocks, meter)
            for moment in sorted({edge for block in blocks for edge in (block.onset, block.end)}):
                cell = next((one for one in cells if one.start < moment < one.end), None)
                within = moment if cell is None else (moment - cell.start) * _THREE_FOR_TWO
                if within % FINEST:
                    bar = moment // meter.length + 1
                    text = f"in {meter}, notes of bar {bar} begin or end where no note value leads"
                    return Fault(0, text, "give another --pickup, --meter or --tempo")
    return None


def write_passage(
    placed: Sequence[Placed],
    bars: Sequence[Bar],
    key: Key,
    spelled: Mapping[int, Pitch],
    symbols: Sequence[Symbol],
) -> Passage:
    """Writes placed notes into bars.

    Args:
        placed: The notes, as `check_rhythm` lets them pass; what is too much for the two voices of a
            hand is shortened.
        bars: Bars that hold them.
        key: The key.
        spelled: The pitch of each note, by its place in `placed`.
        symbols: Chord symbols, each at the start of a bar or where something is struck.
    """
    pitches = {(one.onset, one.number): spelled[index] for index, one in enumerate(placed)}
    voices: list[Voice] = []
    cuts = [symbol.onset for symbol in symbols]
    for hand in Hand:
        own = [one for one in placed if one.hand is hand]
        for name, blocks in zip((hand.value, f"{hand.value}2"), _voices(own), strict=True):
            if blocks:
                events = _events(blocks, bars, pitches, cuts if not voices else ())
                voices.append(Voice(name, events, ((bars[0].onset, _clef(own, hand)),)))
    return Passage(((bars[0].onset, key),), tuple(bars), tuple(voices), tuple(symbols))


def _clef(notes: Sequence[Placed], hand: Hand) -> Clef:
    middle = sum(one.number for one in notes) / len(notes)
    if hand is Hand.LEFT and middle > 65:
        return Clef.TREBLE
    return Clef.BASS if hand is Hand.RIGHT and middle < 53 else _CLEFS[hand]


def _voices(notes: Sequence[Placed]) -> tuple[list[_Block], list[_Block]]:
    """Parts the notes of a hand into a line and what is held under it."""
    ordered = sorted(notes, key=lambda one: (one.onset, one.number))
    onsets = sorted({one.onset for one in ordered})
    after = dict(pairwise(onsets))
    line: list[_Block] = []
    held: list[_Block] = []
    for onset, group in groupby(ordered, key=lambda one: one.onset):
        struck = list(group)
        following = after.get(onset)
        lengths = sorted({one.length for one in struck})
        # What goes on under the next note is held; if all goes on, so is all of it.
        long = [one for one in struck if following is not None and one.end > following]
        if not long and len(lengths) > 1:
            long = [one for one in struck if one.length == lengths[-1]]
        short = [one for one in struck if one not in long]
        for voice, other, part in ((held, line, long), (line, held, short)):
            if part:
                free = not voice or voice[-1].end <= onset
                place = voice if free or (other and other[-1].end > onset) else other
                _put(place, part)
    if held and not any(_overlap(one, line) for one in held):
        return sorted([*line, *held], key=lambda one: one.onset), []
    return line, held


def _overlap(one: _Block, line: Sequence[_Block]) -> bool:
    return any(one.onset < other.end and other.onset < one.end for other in line)


def _put(voice: list[_Block], part: Sequence[Placed]) -> None:
    onset = part[0].onset
    end = max(one.end for one in part)
    numbers = tuple(sorted({one.number for one in part}))
    if voice and voice[-1].end > onset:
        if voice[-1].onset == onset:
            voice[-1] = replace(voice[-1], numbers=tuple(sorted({*voice[-1].numbers, *numbers})))
            return
        voice[-1] = replace(voice[-1], end=onset)
    voice.append(_Block(onset, end, numbers))


def _events(
    blocks: Sequence[_Block],
    bars: Sequence[Bar],
    pitches: Mapping[tuple[Fraction, int], Pitch],
    cuts: Sequence[Fraction],
) -> tuple[Event, ...]:
    cells = _cells(blocks, bars[0].meter)
    spans = list(_filled(blocks, bars))
    events: list[Event] = []
    for span in spans:
        heads = [pitches[span.onset, number] for number in span.numbers]
        pieces = [
            piece
            for start, end in _parts(span, bars, cells, cuts)
            for piece in _written(start, end, bars, cells)
        ]
        for index, (start, end) in enumerate(pieces):
            tied = index < len(pieces) - 1
            events.append(Event(start, end - start, tuple(Head(one, tied=tied) for one in heads)))
    for cell in cells:
        inside = [i for i, event in enumerate(events) if cell.start <= event.onset < cell.end]
        for i in inside:
            mark = Tuplet(3, 2, first=i == inside[0], last=i == inside[-1])
            events[i] = replace(events[i], tuplet=mark)
    return beamed(events, bars)


def _filled(blocks: Sequence[_Block], bars: Sequence[Bar]) -> Iterator[_Block]:
    now = bars[0].onset
    for block in blocks:
        if block.onset > now:
            yield _Block(now, block.onset, ())
        yield block
        now = block.end
    if now < bars[-1].end:
        yield _Block(now, bars[-1].end, ())


def _cells(blocks: Sequence[_Block], meter: Meter) -> tuple[_Cell, ...]:
    """Finds the beats, or halves of beats, that have to be written as triplets."""
    unit = _divided(meter)
    moments = {moment for block in blocks for moment in (block.onset, block.end)}
    thirds: dict[int, set[Fraction]] = {}
    for moment in moments:
        beat, part = divmod(moment, unit)
        if (part / unit).denominator % 3 == 0:
            thirds.setdefault(int(beat), set()).add(part / unit)
    found = []
    half = Fraction(1, 2)
    for beat, places in sorted(thirds.items()):
        start, end = beat * unit, (beat + 1) * unit
        others = {moment % unit / unit for moment in moments if start < moment < end}
        if half in others and (max(places) < half or min(places) > half):
            middle = start + unit / 2
            found.append(_Cell(start, middle) if max(places) < half else _Cell(middle, end))
        else:
            found.append(_Cell(start, end))
    return tuple(found)


def _parts(
    span: _Block, bars: Sequence[Bar], cells: Sequence[_Cell], cuts: Sequence[Fraction]
) -> Iterator[tuple[Fraction, Fraction]]:
    """Cuts a note or rest at barlines, at the edges of triplets and at chord symbols."""
    edges = {bar.onset for bar in bars} | {edge for cell in cells for edge in (cell.start, cell.end)}
    marks = sorted(edge for edge in edges | set(cuts) if span.onset < edge < span.end)
    yield from pairwise([span.onset, *marks, span.end])


def _written(
    start: Fraction, end: Fraction, bars: Sequence[Bar], cells: Sequence[_Cell]
) -> Iterator[tuple[Fraction, Fraction]]:
    """Cuts a stretch into lengths that a note can have."""
    bar = next(bar for bar in bars if start < bar.end)
    ratio = _THREE_FOR_TWO if any(cell.start <= start < cell.end for cell in cells) else Fraction(1)
    while start < end:
        length = end - start
        if ratio == 1:
            # A short bar at the beginning is counted from its end.
            place = start - bar.end + bar.meter.length if bar.number == 0 else start - bar.onset
            length = one_note(place, length, bar.meter)
        elif length * ratio not in WRITABLE:
            length = max(one for one in WRITABLE if one <= length * ratio) / ratio
        yield start, start + length
        start += length
