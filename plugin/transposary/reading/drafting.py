"""A passage from what a player says about it: degrees, the places where they fall, and chords.

For those who do not write ABC. Each note lasts until the next one or the end of its bar; the
register is one that suits the hand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from transposary.passage import Bar, Clef, Hand, Key, Meter, Passage, Symbol, Voice
from transposary.pitch import OCTAVE, Degree, NoteName, Pitch
from transposary.problems import Fault, Problem, SourceText
from transposary.reading.chart import read_chart
from transposary.reading.gathering import Gathering
from transposary.reading.layout import Strike, lay_out
from transposary.song import ChartBar
from transposary.theory.beats import Spoken, name_place, parse_place
from transposary.theory.counting import Group, read_groups, read_words

RULE = "new.device"

# Where the first note lies at lowest, and where none goes beyond; the ranges are common practice.
_BASS = (Pitch.parse("E2"), Pitch.parse("E1"), Pitch.parse("G4"))
_LEFT_CHORDS = (Pitch.parse("C3"), Pitch.parse("A2"), Pitch.parse("C5"))
_RIGHT = (Pitch.parse("G3"), Pitch.parse("C3"), Pitch.parse("C7"))
_SECOND_BEAT = 2
_CLEFS = {Hand.LEFT: Clef.BASS, Hand.RIGHT: Clef.TREBLE}
# Parts of a beat that can stand together: halves to eighths, or thirds.
_SIMPLE = (frozenset({1, 2, 4, 8}), frozenset({1, 3}))
_COMPOUND = (frozenset({1, 2, 3, 6}),)


@dataclass(frozen=True, slots=True)
class Sketch:
    """What a player says.

    Attributes:
        key: The key.
        meter: The meter.
        degrees: Degrees of the key, bars parted by `|`, notes together in parentheses.
        rhythm: Where they are struck, counted aloud; None for evenly.
        chords: Chord symbols as in a chart.
        hand: The hand that plays.
        pickup: Whether the first bar of degrees and rhythm is a pickup, before the first chord.
    """

    key: Key
    meter: Meter
    degrees: SourceText
    rhythm: SourceText | None
    chords: SourceText
    hand: Hand
    pickup: bool = False


@dataclass(frozen=True, slots=True)
class _Said:
    """Degrees struck together."""

    degrees: tuple[Degree, ...]
    offset: int


def draft_passage(sketch: Sketch) -> tuple[Passage | None, tuple[Problem, ...]]:
    """Writes a sketch out in notes.

    Returns:
        The passage, or None where the sketch cannot be followed; and why not.
    """
    found = Gathering()
    said = found.parsed(sketch.degrees, _read_degrees, RULE)
    places = (
        found.parsed(sketch.rhythm, lambda text: _read_rhythm(text, sketch.meter), RULE)
        if sketch.rhythm
        else None
    )
    chart = found.take(read_chart(sketch.chords, sketch.meter, sketch.key))
    if said is None or (sketch.rhythm and places is None):
        return None, tuple(found.problems)
    if places is None:
        places = [_evenly(len(bar), sketch.meter) for bar in said]
    found.problems += [*_check_pickup(sketch, places), *_check_counts(sketch, said, places, chart)]
    if found.problems:
        return None, tuple(found.problems)
    bars = _bars(sketch, places)
    symbols = tuple(_symbols(chart, bars[1:] if sketch.pickup else bars))
    onsets = [
        bar.onset + (place - bar.beat_at(bar.onset)) * sketch.meter.beat
        for bar, own in zip(bars, places, strict=True)
        for place in own
    ]
    pitches = _pitches([one.degrees for bar in said for one in bar], sketch)
    strikes = [Strike(onset, struck) for onset, struck in zip(onsets, pitches, strict=True)]
    events = lay_out(strikes, bars, [symbol.onset for symbol in symbols])
    voice = Voice(sketch.hand.value, events, ((bars[0].onset, _CLEFS[sketch.hand]),))
    return Passage(((bars[0].onset, sketch.key),), bars, (voice,), symbols), ()


def _bars(sketch: Sketch, places: Sequence[Sequence[Fraction]]) -> tuple[Bar, ...]:
    """Lists the bars; a pickup begins with the beat in which its first note is struck."""
    length = sketch.meter.length
    count = len(places) - sketch.pickup
    full = tuple(Bar(i + 1, i * length, length, sketch.meter) for i in range(count))
    if not sketch.pickup:
        return full
    short = length - (int(places[0][0]) - 1) * sketch.meter.beat
    return (Bar(0, -short, short, sketch.meter), *full)


def _check_pickup(sketch: Sketch, places: Sequence[Sequence[Fraction]]) -> Iterator[Problem]:
    if not sketch.pickup:
        return
    if sketch.rhythm is None:
        yield Problem(sketch.degrees.start, RULE, "a pickup needs --rhythm, which says where it begins")
    elif not places[0] or places[0][0] < _SECOND_BEAT:
        text = "expected a pickup that begins on beat 2 or later"
        yield Problem(sketch.rhythm.start, RULE, text, 'write it before the first `|`, such as "4 | 1 3"')


def _read_degrees(text: str) -> list[list[_Said]] | Fault:
    bare, lead = _without_outer_bars(text)
    line = read_groups(bare)
    if isinstance(line, Fault):
        return replace(line, offset=line.offset + lead)
    bars: list[list[_Said]] = [[] for _ in range(line.bars + 1)]
    for group in line.groups:
        degrees = _degrees(group)
        if isinstance(degrees, Fault):
            return replace(degrees, offset=degrees.offset + lead)
        bars[group.bar].append(_Said(degrees, group.offset + lead))
    return bars


def _degrees(group: Group) -> tuple[Degree, ...] | Fault:
    if group.grace:
        return Fault(
            group.offset,
            "expected degrees, found a grace note",
            "write grace notes into the notation afterwards",
        )
    degrees = []
    for word in group.words:
        try:
            degree = Degree.parse(word.text)
        except ValueError:
            return Fault(word.offset, f"expected a degree such as 1, b3 or #4, found `{word.text}`")
        if degree.number > 7:
            return Fault(
                word.offset, f"expected a degree from 1 to 7, found `{word.text}`", f"write {degree.simple}"
            )
        degrees.append(degree)
    return tuple(degrees)


def _read_rhythm(text: str, meter: Meter) -> list[list[Fraction]] | Fault:
    bare, lead = _without_outer_bars(text)
    line = read_words(bare)
    if isinstance(line, Fault):
        return replace(line, offset=line.offset + lead)
    bars: list[list[Fraction]] = [[] for _ in range(line.bars + 1)]
    said = [Spoken()] * len(bars)
    for group in line.groups:
        word, own = group.words[0], bars[group.bar]
        read = parse_place(word.text, said[group.bar])
        if isinstance(read, Fault):
            return replace(read, offset=word.offset + lead + read.offset)
        place, said[group.bar] = read
        fault = _check_place(place, own, meter, word.text)
        if fault:
            return replace(fault, offset=word.offset + lead)
        own.append(place)
    return bars


def _check_place(place: Fraction, before: Sequence[Fraction], meter: Meter, word: str) -> Fault | None:
    if place >= meter.beats + 1:
        return Fault(0, f"a bar of {meter} has {meter.beats} beats, found `{word}`")
    if before and place <= before[-1]:
        last = name_place(before[-1], compound=meter.compound)
        return Fault(0, f"expected a place behind {last}, found `{word}`", "part the bars by `|`")
    parts = {place.denominator, *(one.denominator for one in before if int(one) == int(place))}
    if not any(parts <= known for known in (_COMPOUND if meter.compound else _SIMPLE)):
        text = f"a draft cannot divide the beat at `{word}`"
        return Fault(0, text, "leave it out, and add it to the notation afterwards")
    return None


def _without_outer_bars(text: str) -> tuple[str, int]:
    """Takes barlines at both ends off, which would count as empty bars."""
    bare = text.lstrip(" |")
    return bare.rstrip(" |"), len(text) - len(bare)


def _evenly(count: int, meter: Meter) -> list[Fraction]:
    return [1 + Fraction(i) * meter.beats / count for i in range(count)]


def _check_counts(
    sketch: Sketch,
    said: Sequence[Sequence[_Said]],
    places: Sequence[Sequence[Fraction]],
    chart: Sequence[ChartBar],
) -> Iterator[Problem]:
    """Finds where degrees, rhythm and chords do not agree with each other."""
    sources = [(sketch.chords, len(chart) + sketch.pickup, "chords")]
    if sketch.rhythm:
        sources.append((sketch.rhythm, len(places), "rhythm"))
    for source, bars, name in sources:
        if bars != len(said):
            text = f"the degrees have {_number(len(said), 'bar')}, the {name} {_has(name)} {bars}"
            text += " with the pickup" if sketch.pickup else ""
            yield Problem(source.start, RULE, text, "part the bars of both by `|`")
    for number, (own, struck) in enumerate(zip(said, places, strict=False), 0 if sketch.pickup else 1):
        place = sketch.degrees.place(own[0].offset) if own else sketch.degrees.start
        if len(own) != len(struck):
            counts = f"{_number(len(own), 'degree')} for {_number(len(struck), 'place')} of the rhythm"
            text = f"bar {number} has {counts}"
            yield Problem(place, RULE, text, "notes struck together are written (1 3 5)")
        elif any(_check_place(one, struck[:i], sketch.meter, "") for i, one in enumerate(struck)):
            text = f"{len(own)} notes do not fall evenly on the {sketch.meter.beats} beats of bar {number}"
            yield Problem(place, RULE, text, 'say where they fall, such as --rhythm "1 3 4"')


def _number(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _has(name: str) -> str:
    return "have" if name.endswith("s") else "has"


def _symbols(chart: Sequence[ChartBar], bars: Sequence[Bar]) -> Iterator[Symbol]:
    for written, bar in zip(chart, bars, strict=True):
        for one in written.chords:
            yield Symbol(bar.onset + (one.beat - 1) * bar.meter.beat, bar.number, one.chord)


def _pitches(moments: Sequence[tuple[Degree, ...]], sketch: Sketch) -> list[tuple[Pitch, ...]]:
    """Leads a line through degrees, each as near to the one before as it can be."""
    chords = any(len(moment) > 1 for moment in moments)
    left = _LEFT_CHORDS if chords else _BASS
    start, lowest, highest = left if sketch.hand is Hand.LEFT else _RIGHT
    line: list[tuple[Pitch, ...]] = []
    for moment in moments:
        names = [degree.above(sketch.key.tonic) for degree in moment]
        bottom = _nearest(names[0], line[-1][0]) if line else _above(names[0], start)
        line.append(_turned_back(_stacked(names, bottom), lowest, highest))
    return line


def _above(name: NoteName, floor: Pitch) -> Pitch:
    """Gives the lowest pitch of a name that is not below another pitch."""
    pitch = Pitch.parse(f"{name}{floor.octave - 1}")
    while pitch.midi < floor.midi:
        pitch = pitch.up(OCTAVE)
    return pitch


def _nearest(name: NoteName, before: Pitch) -> Pitch:
    """Gives the pitch of a name nearest to another one, the higher of two."""
    above = _above(name, before)
    below = above.up(-OCTAVE)
    return below if before.midi - below.midi < above.midi - before.midi else above


def _stacked(names: Sequence[NoteName], bottom: Pitch) -> tuple[Pitch, ...]:
    pitches = [bottom]
    for name in names[1:]:
        pitches.append(_above(name, pitches[-1]) if name != pitches[-1].name else pitches[-1].up(OCTAVE))
    return tuple(pitches)


def _turned_back(moment: tuple[Pitch, ...], lowest: Pitch, highest: Pitch) -> tuple[Pitch, ...]:
    """Moves what would leave the register back into it by an octave."""
    if moment[-1].midi > highest.midi:
        return tuple(pitch.up(-OCTAVE) for pitch in moment)
    if moment[0].midi < lowest.midi:
        return tuple(pitch.up(OCTAVE) for pitch in moment)
    return moment
