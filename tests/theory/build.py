"""Small passages for tests, written in a line.

    build("C4 E4:1/2 [C4 E4 G4]:2 r {D4}E4 C4~", LH="C2:4", chords="0 C7; 4 F")

Notes last a quarter unless `:` gives quarters; `r` rests, `~` ties on, braces hold grace notes,
brackets notes together. What stands before a `|` is a pickup; all voices must have it.
"""

import re
from dataclasses import replace
from fractions import Fraction
from math import ceil

from transposary.passage import (
    Bar,
    Chord,
    Clef,
    Event,
    Grace,
    Head,
    Key,
    Meter,
    Mode,
    Passage,
    Symbol,
    Voice,
)
from transposary.pitch import NoteName, Pitch
from transposary.problems import Place
from transposary.theory.chords import parse_chord

_ITEM = re.compile(r"((?:\{[^}]*\})*)(\[[^\]]*\]|[^\s:\[{]+)(?::(\d+(?:/\d+)?))?")


def build(right: str = "", *, chords: str = "", key: str = "C", meter: str = "4/4", **others: str) -> Passage:
    """Makes a passage.

    Args:
        right: The line of the right hand, if it plays.
        chords: `ONSET SYMBOL` parted by semicolons, in quarters from bar 1.
        key: `C` or `A minor`.
        meter: Time signature.
        others: Lines of the voices RH2, LH and LH2.
    """
    count, unit = meter.split("/")
    time = Meter(int(count), int(unit))
    lines = {"RH": right, **others}
    start = -_length(next(filter(None, lines.values())).rpartition("|")[0])
    voices = tuple(
        _voice(name, lines[name].replace("|", ""), start)
        for name in ("RH", "RH2", "LH", "LH2")
        if lines.get(name)
    )
    end = max(voice.events[-1].end for voice in voices)
    bars = [Bar(0, start, -start, time)] if start else []
    numbers = range(1, ceil(end / time.length) + 1)
    bars += [Bar(number, (number - 1) * time.length, time.length, time) for number in numbers]
    tonic, _, mode = key.partition(" ")
    keys = ((start, Key(NoteName.parse(tonic), Mode(mode or "major"))),)
    passage = Passage(keys, tuple(bars), voices)
    symbols = tuple(_symbol(text, passage) for text in chords.split(";") if text.strip())
    return replace(passage, symbols=symbols)


def chord(text: str) -> Chord:
    """Makes a chord of its symbol."""
    found = parse_chord(text)
    assert isinstance(found, Chord), found
    return found


def _length(line: str) -> Fraction:
    return sum((Fraction(match[3] or 1) for match in _ITEM.finditer(line)), Fraction(0))


def _symbol(text: str, passage: Passage) -> Symbol:
    onset, name = text.split()
    moment = Fraction(onset)
    return Symbol(moment, passage.bar_at(moment).number, None if name == "N.C." else chord(name))


def _voice(name: str, line: str, start: Fraction) -> Voice:
    events = []
    onset = start
    for column, match in enumerate(_ITEM.finditer(line), start=1):
        duration = Fraction(match[3] or 1)
        graces = tuple(Grace(_heads(inside, column)) for inside in re.findall(r"\{([^}]*)\}", match[1]))
        heads = () if match[2] == "r" else _heads(match[2].strip("[]"), column)
        events.append(Event(onset, duration, heads, graces))
        onset += duration
    return Voice(name, tuple(events), ((start, Clef.TREBLE if name[0] == "R" else Clef.BASS),))


def _heads(inside: str, column: int) -> tuple[Head, ...]:
    place = Place("devices/x.md", 9, column)
    return tuple(
        Head(Pitch.parse(note.removesuffix("~")), tied=note.endswith("~"), place=place)
        for note in inside.split()
    )
