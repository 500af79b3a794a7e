"""Writes a passage as ABC, in the subset that the reader takes.

What `read_abc` makes of the text is the passage again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from transposary.passage import Bar, Clef, Event, Grace, Hand, Head, Key, Meter, Mode, Passage, Symbol, Voice
from transposary.reading.abc.accidentals import Accidentals, write_pitch
from transposary.reading.abc.assembly import default_normal
from transposary.reading.abc.groups import GRACE_UNIT
from transposary.reading.abc.lengths import write_length, written_length

_UNITS = (Fraction(1), Fraction(1, 2), Fraction(1, 4))
_BARS_A_LINE = 4


def write_abc(passage: Passage) -> str:
    """Writes a passage as the fields and the music of a tune.

    Raises:
        ValueError: A chord symbol, or a clef, changes where no note or rest begins, or a
            note has a triple accidental; ABC has no sign for either.
    """
    unit = _unit(passage)
    lines = [f"M: {_meter(passage.meter)}", f"L: 1/{4 / unit}"]
    only = passage.voices[0] if len(passage.voices) == 1 else None
    clef = only.clefs[0][1] if only is not None else None
    inferred = only is not None and (clef is Clef.BASS) == (only.hand is Hand.LEFT)
    lines.append(
        f"K: {_key(passage.key)}" + (f" clef={clef}" if inferred and clef is not Clef.TREBLE else "")
    )
    waiting = {symbol.onset: symbol for symbol in passage.symbols}
    for voice in passage.voices:
        if not inferred:
            lines.append(_voice(voice))
        writer = _VoiceWriter(passage, voice, unit, waiting)
        lines.extend(writer.lines())
    if waiting:
        raise ValueError(f"no note or rest begins under the chord symbol {min(waiting.values(), key=_onset)}")
    return "\n".join(lines) + "\n"


def _onset(symbol: Symbol) -> Fraction:
    return symbol.onset


def _unit(passage: Passage) -> Fraction:
    lengths = [written_length(event) for voice in passage.voices for event in voice.events]
    return next(
        (unit for unit in _UNITS if all((one / unit).denominator == 1 for one in lengths)), _UNITS[-1]
    )


def _meter(meter: Meter) -> str:
    return meter.symbol or str(meter)


def _key(key: Key) -> str:
    if key.mode is Mode.MAJOR:
        return str(key.tonic)
    return f"{key.tonic}m" if key.mode is Mode.MINOR else f"{key.tonic} {key.mode}"


def _voice(voice: Voice) -> str:
    usual = Clef.BASS if voice.hand is Hand.LEFT else Clef.TREBLE
    clef = voice.clefs[0][1]
    return f"V:{voice.name}" + (f" clef={clef}" if clef is not usual and not voice.name.endswith("2") else "")


def _barline(before: Bar | None, after: Bar | None) -> str:
    """Writes what stands between two bars, the sign of an ending included."""
    ended = before is not None and before.repeat_ended
    begun = after is not None and after.repeat_begun
    double = before is not None and before.double
    if ended:
        line = "::" if begun else ":|"
    elif begun:
        line = "||:" if double else "|:"
    elif double:
        line = "||"
    elif before is None:
        line = ""
    else:
        line = "|]" if after is None else "|"
    ending = f"[{after.ending}" if after is not None and after.ending else ""
    return " ".join(part for part in (line, ending) if part)


class _VoiceWriter:
    """Writes the music of one voice and takes the chord symbols that it has room for."""

    def __init__(
        self, passage: Passage, voice: Voice, unit: Fraction, waiting: dict[Fraction, Symbol]
    ) -> None:
        self._passage = passage
        self._voice = voice
        self._unit = unit
        self._waiting = waiting
        self._keys = dict(passage.keys[1:])
        self._clefs = {} if voice.name.endswith("2") else dict(voice.clefs[1:])
        self._accidentals = Accidentals(passage.key.signature)
        self._held: dict[int, int] = {}

    def lines(self) -> Iterator[str]:
        bars = self._passage.bars
        for first in range(0, len(bars), _BARS_A_LINE):
            line = [_barline(None, bars[0])] if first == 0 else []
            for index in range(first, min(first + _BARS_A_LINE, len(bars))):
                following = bars[index + 1] if index + 1 < len(bars) else None
                line.append(self._changes(bars, index) + self._bar(bars[index]))
                line.append(_barline(bars[index], following))
            yield " ".join(part for part in line if part)
        if self._clefs:
            raise ValueError(f"no note or rest of {self._voice.name} begins where its clef changes")

    def _changes(self, bars: Sequence[Bar], index: int) -> str:
        self._accidentals.new_bar()
        bar = bars[index]
        text = ""
        if index and bar.meter != bars[index - 1].meter:
            text += f"[M:{_meter(bar.meter)}]"
        key = self._keys.get(bar.onset)
        if key is not None:
            self._accidentals = Accidentals(key.signature)
            text += f"[K:{_key(key)}]"
        return f"{text} " if text else ""

    def _bar(self, bar: Bar) -> str:
        events = [event for event in self._voice.events if bar.onset <= event.onset < bar.end]
        text = ""
        for index, event in enumerate(events):
            text += self._event(event, _members(events, index), bar)
            if not event.beamed:
                text += " "
        return text.rstrip()

    def _event(self, event: Event, members: int, bar: Bar) -> str:
        clef = self._clefs.pop(event.onset, None)
        symbol = self._waiting.pop(event.onset, None)
        text = f"[K: clef={clef}]" if clef is not None else ""
        if event.tuplet is not None and event.tuplet.first:
            text += _tuplet(event.tuplet.actual, event.tuplet.normal, members, bar.meter)
        text += "(" * event.slurs_begun
        text += "".join(self._graces(event.graces))
        text += f'"{symbol}"' if symbol is not None else ""
        text += "!accent!" * event.accent + "." * event.staccato
        text += self._heads(event)
        return text + ")" * event.slurs_ended

    def _graces(self, graces: Sequence[Grace]) -> Iterator[str]:
        """Writes runs of graces of one kind in one pair of braces each."""
        for index, grace in enumerate(graces):
            if index == 0 or graces[index - 1].slashed != grace.slashed:
                yield "{/" if grace.slashed else "{"
            yield self._chord(grace.heads, write_length(grace.quarters / GRACE_UNIT), {})
            if index == len(graces) - 1 or graces[index + 1].slashed != grace.slashed:
                yield "}"

    def _heads(self, event: Event) -> str:
        length = write_length(written_length(event) / self._unit)
        if not event.heads:
            self._held = {}
            return ("x" if event.hidden else "z") + length
        text = self._chord(event.heads, length, self._held)
        self._held = {head.pitch.step: head.pitch.alter for head in event.heads if head.tied}
        return text

    def _chord(self, heads: Sequence[Head], length: str, held: Mapping[int, int]) -> str:
        if len(heads) == 1:
            return self._head(heads[0], held) + length + "-" * heads[0].tied
        tied = all(head.tied for head in heads)
        inside = "".join(self._head(head, held) + ("" if tied else "-" * head.tied) for head in heads)
        return f"[{inside}]{length}" + "-" * tied

    def _head(self, head: Head, held: Mapping[int, int]) -> str:
        pitch = head.pitch
        marks = ("!ghost!" if head.ghost else "") + (f"!{head.finger}!" if head.finger else "")
        held_over = held.get(pitch.step)
        read = self._accidentals.read(pitch.step) if held_over is None else (held_over, held_over)
        if read == (pitch.alter, pitch.alter):
            return marks + write_pitch(pitch.step, None)
        self._accidentals.write(pitch.step, pitch.alter)
        return marks + write_pitch(pitch.step, pitch.alter)


def _members(events: Sequence[Event], index: int) -> int:
    """Counts the events of the tuplet that begins at `index`."""
    for count, event in enumerate(events[index:], start=1):
        if event.tuplet is None or event.tuplet.last:
            return count
    return len(events) - index


def _tuplet(actual: int, normal: int, members: int, meter: Meter) -> str:
    if members == actual:
        return f"({actual}" if normal == default_normal(actual, meter) else f"({actual}:{normal}"
    return f"({actual}:{normal}:{members}"
