"""Turns the elements of one voice into events: key, meter, accidentals, tuplets, bars.

Onsets are counted from the start of the music here; `reader` moves them so that bar 1
begins at 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from transposary.passage import Clef, Event, Grace, Head, Key, Meter, Symbol, Tuplet
from transposary.pitch import LETTERS, Pitch
from transposary.problems import Problem
from transposary.reading.abc.accidentals import Accidentals, write_pitch
from transposary.reading.abc.elements import (
    Barline,
    BarRest,
    Change,
    Element,
    Gap,
    GraceTones,
    Strike,
    Tone,
    WrittenSymbol,
    WrittenTuplet,
)
from transposary.reading.abc.findings import BARS, SYNTAX, TIES, Findings
from transposary.reading.abc.lengths import is_printable, split_length, write_length, written_length


@dataclass(slots=True)
class DraftBar:
    """A bar of one voice while it is assembled.

    Attributes:
        offset: Where its first element stands.
        onset: Its start, counted from the start of the music.
        meter: The time signature in force.
        duration: What its events add up to.
        opening: The barlines, and the sign of an ending, before it.
        unclear: Something in it could not be read, so that its length says nothing.
    """

    offset: int
    onset: Fraction
    meter: Meter
    opening: tuple[Barline, ...] = ()
    duration: Fraction = Fraction(0)
    unclear: bool = False


@dataclass(slots=True)
class DraftVoice:
    """A voice while it is assembled; onsets count from the start of the music.

    Attributes:
        bars: Its bars.
        closing: The barlines behind the last one.
        events: Its events, and in `offsets` where each stands.
        gaps: Indices of the events before which something could not be read.
        keys: Changes of key as (onset, key, offset); the first one is the header's.
        clefs: Changes of clef as (onset, clef).
        symbols: Chord symbols, each with its offset; their bars are not known yet.
    """

    bars: list[DraftBar] = field(default_factory=list)
    closing: list[Barline] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    offsets: list[int] = field(default_factory=list)
    gaps: set[int] = field(default_factory=set)
    keys: list[tuple[Fraction, Key, int]] = field(default_factory=list)
    clefs: list[tuple[Fraction, Clef]] = field(default_factory=list)
    symbols: list[tuple[Symbol, int]] = field(default_factory=list)


@dataclass(slots=True)
class _OpenTuplet:
    sign: WrittenTuplet
    normal: int
    count: int
    taken: int = 0


class Assembler:
    """Assembles one voice."""

    def __init__(self, key: Key, meter: Meter, unit: Fraction, clef: Clef, findings: Findings) -> None:
        self._findings = findings
        self._unit = unit
        self._meter = meter
        self._accidentals = Accidentals(key.signature)
        self._opening: list[Barline] = []
        self._bar: DraftBar | None = None
        self._tuplet: _OpenTuplet | None = None
        self._held: dict[int, int] = {}
        self._now = Fraction(0)
        self._idle: Change | None = None
        self.voice = DraftVoice(keys=[(Fraction(0), key, 0)], clefs=[(Fraction(0), clef)])

    def assemble(self, elements: Sequence[Element]) -> DraftVoice:
        """Takes all elements of the voice, in order."""
        for element in elements:
            match element:
                case Strike():
                    self._strike(element)
                case BarRest():
                    self._bar_rest(element)
                case Barline():
                    self._barline(element)
                case Change():
                    self._change(element)
                case Gap():
                    self._gap(element)
        self._close()
        if self._idle is not None:
            text = "a change behind the last note changes nothing"
            self._findings.add(self._idle.offset, BARS, text, "leave it out, or write what follows")
        self.voice.closing = self._opening
        return self.voice

    def _open(self, offset: int) -> DraftBar:
        if self._bar is None:
            self._bar = DraftBar(offset, self._now, self._meter, tuple(self._opening))
            self._opening = []
            self._accidentals.new_bar()
        return self._bar

    def _close(self) -> None:
        if self._tuplet is not None:
            tuplet, self._tuplet = self._tuplet, None
            text = f"the tuplet has {tuplet.taken} of its {tuplet.count} notes when the bar ends"
            self._findings.add(
                tuplet.sign.offset, TIES, text, "write them in one bar, or say how many: (p:q:r"
            )
            self._open(tuplet.sign.offset).unclear = True
        if self._bar is not None:
            self.voice.bars.append(self._bar)
            self._bar = None

    def _gap(self, gap: Gap) -> None:
        self._open(gap.offset).unclear = True
        self._tuplet = None
        self._held = {}
        self.voice.gaps.add(len(self.voice.events))

    def _barline(self, barline: Barline) -> None:
        if barline.closes:
            self._close()
        elif self._bar is not None:
            self._findings.add(barline.offset, BARS, "an ending begins within a bar", "write | before it")
            self._close()
        self._opening.append(barline)

    def _change(self, change: Change) -> None:
        self._idle = change
        if change.unit is not None:
            self._unit = change.unit
        if change.clef is not None:
            self.voice.clefs = [
                *(one for one in self.voice.clefs if one[0] != self._now),
                (self._now, change.clef),
            ]
        if change.key is None and change.meter is None:
            return
        if self._bar is not None and self._bar.duration:
            what = "key" if change.key is not None else "meter"
            text = f"the {what} changes within a bar"
            self._findings.add(change.offset, BARS, text, "change it at the beginning of a bar")
            self._bar.unclear = True
        if change.meter is not None:
            self._meter = change.meter
            if self._bar is not None:
                self._bar.meter = change.meter
        if change.key is not None:
            self._accidentals = Accidentals(change.key.signature)
            kept = [one for one in self.voice.keys if one[0] != self._now]
            self.voice.keys = [*kept, (self._now, change.key, change.offset)]

    def _bar_rest(self, rest: BarRest) -> None:
        if self._bar is not None and (self._bar.duration or self._bar.unclear):
            self._findings.add(
                rest.offset, BARS, "a rest of whole bars begins within a bar", "write z with its length"
            )
            self._bar.unclear = True
            return
        for index in range(rest.count):
            if index:
                self._close()
            bar = self._open(rest.offset)
            if index == 0 and rest.symbol is not None:
                self._symbol(rest.symbol)
            event = Event(
                self._now, self._meter.length, hidden=rest.hidden, place=self._findings.place(rest.offset)
            )
            self._append(event, rest.offset, bar)

    def _strike(self, strike: Strike) -> None:
        bar = self._open(strike.offset)
        if strike.symbol is not None:
            self._symbol(strike.symbol)
        written = strike.length * self._unit
        membership, factor = self._in_tuplet(strike, bar)
        fills_bar = not strike.tones and membership is None and written == self._meter.length
        if not fills_bar and not is_printable(written):
            self._refuse_length(strike, written)
            bar.unclear = True
        graces = tuple(self._grace(grace) for grace in strike.graces)
        heads = self._heads(strike)
        event = Event(
            self._now,
            written * factor,
            heads,
            graces,
            strike.joined and bool(heads) and written < 1,
            membership,
            strike.staccato,
            strike.accent,
            strike.slurs_begun,
            strike.slurs_ended,
            strike.hidden,
            self._findings.place(strike.offset),
        )
        self._append(event, strike.offset, bar)

    def _append(self, event: Event, offset: int, bar: DraftBar) -> None:
        events = self.voice.events
        if events and events[-1].beamed and (not event.heads or written_length(event) >= 1):
            events[-1] = replace(events[-1], beamed=False)
        events.append(event)
        self.voice.offsets.append(offset)
        self._idle = None
        bar.duration += event.duration
        self._now += event.duration
        self._held = {head.pitch.step: head.pitch.alter for head in event.heads if head.tied}

    def _refuse_length(self, strike: Strike, written: Fraction) -> None:
        parts = split_length(written, self._unit)
        what = "note" if strike.tones else "rest"
        text = f"a length of {written / 4} of a whole note is no single {what}"
        name = "C" if strike.tones else "z"
        tie = "-" if strike.tones else " "
        hint = "write lengths that one note with up to three dots shows"
        if parts is not None:
            first, second = (name + write_length(part) for part in parts)
            hint = f"write two {what}s, such as {first}{tie}{second}"
        self._findings.add(strike.offset, SYNTAX, text, hint)

    def _in_tuplet(self, strike: Strike, bar: DraftBar) -> tuple[Tuplet | None, Fraction]:
        if strike.tuplet is not None:
            if self._tuplet is not None:
                text = f"a tuplet begins before the one at hand has its {self._tuplet.count} notes"
                self._findings.add(
                    strike.tuplet.offset, TIES, text, "finish the first, or say how many: (p:q:r"
                )
                bar.unclear = True
            sign = strike.tuplet
            normal = sign.normal or default_normal(sign.actual, self._meter)
            self._tuplet = _OpenTuplet(sign, normal, sign.count or sign.actual)
        tuplet = self._tuplet
        if tuplet is None:
            return None, Fraction(1)
        tuplet.taken += 1
        last = tuplet.taken == tuplet.count
        if last:
            self._tuplet = None
        actual = tuplet.sign.actual
        return Tuplet(actual, tuplet.normal, tuplet.taken == 1, last), Fraction(tuplet.normal, actual)

    def _grace(self, grace: GraceTones) -> Grace:
        if not is_printable(grace.quarters):
            self._findings.add(
                grace.tones[0].offset, SYNTAX, "a grace note has a length that no note shows", "write 2 or /"
            )
        heads = _sorted([self._head(tone, {}) for tone in grace.tones])
        tied = next((tone for tone in grace.tones if tone.tied), None)
        if tied is not None:
            self._findings.add(
                tied.offset, TIES, "a grace note is tied", "write it as a note, or leave the tie out"
            )
        return Grace(heads, grace.slashed, grace.quarters)

    def _heads(self, strike: Strike) -> tuple[Head, ...]:
        held = self._held
        heads = _sorted([self._head(tone, held) for tone in strike.tones])
        pitches = [head.pitch for head in heads]
        if len(set(pitches)) < len(pitches):
            twice = next(pitch for pitch in pitches if pitches.count(pitch) > 1)
            self._findings.add(strike.offset, SYNTAX, f"{twice} stands twice in the chord", "leave one")
        return heads

    def _head(self, tone: Tone, held: dict[int, int]) -> Head:
        # A tied note keeps its accidental behind the barline without a new one.
        held_over = tone.accidental is None and tone.step in held
        alter = held[tone.step] if held_over else self._alter(tone)
        pitch = Pitch(tone.step, alter)
        return Head(pitch, tone.tied, tone.finger, tone.ghost, self._findings.place(tone.offset))

    def _alter(self, tone: Tone) -> int:
        if tone.accidental is not None:
            self._accidentals.write(tone.step, tone.accidental)
            return tone.accidental
        here, anywhere = self._accidentals.read(tone.step)
        if here != anywhere:
            letter = LETTERS[tone.step % 7]
            text = f"the accidental of the other {letter} in this bar is not counted for this one"
            either = f"{write_pitch(tone.step, here)} or {write_pitch(tone.step, anywhere)}"
            hint = f"write {either} so that every reader takes it alike"
            place = self._findings.place(tone.offset)
            self._findings.note(Problem.remark(place, "reading.accidentals", text, hint))
            self._accidentals.settle(tone.step, here)
        return here

    def _symbol(self, symbol: WrittenSymbol) -> None:
        place = self._findings.place(symbol.offset)
        self.voice.symbols.append((Symbol(self._now, 0, symbol.chord, place), symbol.offset))


def _sorted(heads: list[Head]) -> tuple[Head, ...]:
    return tuple(sorted(heads, key=lambda head: (head.pitch.midi, head.pitch.step)))


def default_normal(actual: int, meter: Meter) -> int:
    """Gives q where `(p` or `(p::r` leaves it out (section 4.13)."""
    if actual in (2, 4, 8):
        return 3
    if actual in (3, 6):
        return 2
    return 3 if meter.unit == 8 and meter.count in (6, 9, 12) else 2
