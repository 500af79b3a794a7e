"""Hand-made passages, written in a short hand of the tests' own.

A voice is a string of events parted by spaces, `|` marks are only for the eye. An event is
`HEADS:LENGTH` with marks behind it: heads are pitches joined by `+` (or `z`, a rest; `x`, a
hidden one), the length is in quarter notes as sounded. Behind a pitch: `~` ties it, `*` makes it a ghost
note, `!3` gives a finger. Behind the length: `_` beams to the next event, `.` staccato, `>`
accent, `(` and `)` slurs, `3[`, `3` and `3]` a triplet's first, inner and last event (`5:4[`
any other). In front of the event: `{D5}` a grace note, `{/D5}` a slashed one.
"""

import re
from dataclasses import replace
from fractions import Fraction

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
    Tuplet,
    Voice,
)
from transposary.pitch import Interval, NoteName, Pitch
from transposary.theory.chords import parse_chord

_EVENT = re.compile(
    r"(?P<graces>(?:\{/?[^}]+\})*)(?P<heads>[^:{}]+):(?P<length>[\d/]+)"
    r"(?P<tuplet>,\d+(?::\d+)?[\[\]]?)?(?P<marks>[_.>()]*)"
)
_HEAD = re.compile(r"(?P<pitch>[A-G](?:bb|b|##|#)?\d)(?P<tied>~?)(?P<ghost>\*?)(?:!(?P<finger>\d))?")


def passage(
    key: str, meter: str, *, pickup: str = "0", chords: tuple[tuple[str, str], ...] = (), **voices: str
) -> Passage:
    """Builds a passage, its bars counted off."""
    lines = {name.upper(): events(text, -Fraction(pickup)) for name, text in voices.items()}
    bars = full_bars(parse_meter(meter), next(iter(lines.values()))[-1].end, Fraction(pickup))
    return Passage(
        keys=((bars[0].onset, parse_key(key)),),
        bars=bars,
        voices=tuple(Voice(name, line, ((bars[0].onset, _clef(name)),)) for name, line in lines.items()),
        symbols=tuple(symbol(onset, text, bars) for onset, text in chords),
    )


def parse_meter(text: str) -> Meter:
    """Reads `4/4`, `C` or `C|`."""
    if text in ("C", "C|"):
        return Meter(4, 4, "C") if text == "C" else Meter(2, 2, "C|")
    count, unit = text.split("/")
    return Meter(int(count), int(unit))


def parse_key(text: str) -> Key:
    """Reads `Eb` or `F# minor`."""
    tonic, _, mode = text.partition(" ")
    return Key(NoteName.parse(tonic), Mode(mode or "major"))


def full_bars(meter: Meter, end: Fraction, pickup: Fraction = Fraction(0)) -> tuple[Bar, ...]:
    """Counts off the bars up to a moment."""
    first = (Bar(0, -pickup, pickup, meter),) if pickup else ()
    count = -(-end // meter.length)
    return first + tuple(Bar(n + 1, n * meter.length, meter.length, meter) for n in range(int(count)))


def with_bars(given: Passage, **changes: dict[int, object]) -> Passage:
    """Sets attributes of single bars, by their place: `double={0: True}`."""
    bars = list(given.bars)
    for name, values in changes.items():
        for place, value in values.items():
            bars[place] = replace(bars[place], **{name: value})
    return replace(given, bars=tuple(bars))


def events(text: str, onset: Fraction) -> tuple[Event, ...]:
    """Reads the events of a voice."""
    found: list[Event] = []
    for word in text.replace("|", " ").split():
        match = _EVENT.fullmatch(word)
        if match is None:
            raise ValueError(f"not an event: {word!r}")
        found.append(_event(match, onset))
        onset = found[-1].end
    return tuple(found)


def symbol(onset: str, text: str, bars: tuple[Bar, ...]) -> Symbol:
    """Puts a chord symbol, or `N.C.`, at its moment."""
    moment = Fraction(onset)
    bar = next((bar for bar in bars if moment < bar.end), bars[-1])
    return Symbol(moment, bar.number, None if text == "N.C." else chord(text))


def chord(text: str) -> Chord:
    """Reads a chord symbol."""
    read = parse_chord(text)
    assert isinstance(read, Chord), read
    return read


def up(given: Passage, interval: Interval) -> Passage:
    """Transposes a passage by an interval, the tests' own plain way."""

    def head(one: Head) -> Head:
        return replace(one, pitch=one.pitch.up(interval))

    def grace(one: Grace) -> Grace:
        return replace(one, heads=tuple(map(head, one.heads)))

    def event(one: Event) -> Event:
        return replace(one, heads=tuple(map(head, one.heads)), graces=tuple(map(grace, one.graces)))

    def moved(one: Symbol) -> Symbol:
        if one.chord is None:
            return one
        bass = one.chord.bass.up(interval) if one.chord.bass else None
        return replace(one, chord=replace(one.chord, root=one.chord.root.up(interval), bass=bass))

    return replace(
        given,
        keys=tuple((onset, replace(key, tonic=key.tonic.up(interval))) for onset, key in given.keys),
        voices=tuple(replace(voice, events=tuple(map(event, voice.events))) for voice in given.voices),
        symbols=tuple(map(moved, given.symbols)),
    )


def _event(match: re.Match[str], onset: Fraction) -> Event:
    marks = match["marks"]
    rest = match["heads"] in ("z", "x")
    return Event(
        onset=onset,
        duration=Fraction(match["length"]),
        heads=() if rest else tuple(map(_head, match["heads"].split("+"))),
        graces=tuple(map(_grace, re.findall(r"\{([^}]+)\}", match["graces"]))),
        beamed="_" in marks,
        tuplet=_tuplet(match["tuplet"]) if match["tuplet"] else None,
        staccato="." in marks,
        accent=">" in marks,
        slurs_begun=marks.count("("),
        slurs_ended=marks.count(")"),
        hidden=match["heads"] == "x",
    )


def _head(text: str) -> Head:
    match = _HEAD.fullmatch(text)
    if match is None:
        raise ValueError(f"not a note: {text!r}")
    finger = int(match["finger"]) if match["finger"] else None
    return Head(
        Pitch.parse(match["pitch"]), tied=bool(match["tied"]), finger=finger, ghost=bool(match["ghost"])
    )


def _grace(text: str) -> Grace:
    heads = tuple(map(_head, text.removeprefix("/").split("+")))
    return Grace(heads, slashed=text.startswith("/"))


def _tuplet(text: str) -> Tuplet:
    match = re.fullmatch(r",(\d+)(?::(\d+))?([\[\]]?)", text)
    if match is None:
        raise ValueError(f"not a tuplet: {text!r}")
    normal = int(match[2]) if match[2] else 2
    return Tuplet(int(match[1]), normal, first=match[3] == "[", last=match[3] == "]")


def _clef(name: str) -> Clef:
    return Clef.TREBLE if name.startswith("RH") else Clef.BASS


STEPPING_OUT = passage(
    "G",
    "4/4",
    lh="G2:2 A2:1 B2:1 | C3:2 z:2",
    chords=(("0", "G7"), ("4", "C7")),
)
"""Four bass notes."""

TWO_HANDS = passage(
    "Bb minor",
    "4/4",
    pickup="1",
    rh="F4:1/2_ Gb4:1/2 | Bb3+Db4+F4~:3/2 F4:1/2 z:1/2 A3+C4+Eb4+Gb4:3/2> | "
    "{/Cb5}Bb4:1/3,3[_ A4:1/3,3_ Ab4:1/3,3] Gb4:1/4_ F4:1/4_ E4:1/2 Eb4:2.",
    lh="z:1 | Bb2!5:1 z:1/2 F2*:1/2_ A1:1/2 F2:1/2 C2:1 | Bb1:4",
    chords=(("0", "Bbm"), ("2", "F7b9/A"), ("4", "Bbm7"), ("6", "Gbmaj7")),
)
"""A pickup, an accent, a slashed grace, a triplet, sixteenths, a ghost note, a fingering."""

HELD_UNDER_MOVING = passage(
    "Ab",
    "12/8",
    rh="Eb5:1/2_ F5:1/2_ Gb5:1/2 G5:1 Ab5:1/2 Eb5:3/2 C5:3/2 | Db5:3 C5:3",
    rh2="C4:3 Db4:3 | z:6",
    lh="Ab2:3/2 Eb3:3/2 Ab2:3 | Ab2:6",
    chords=(("0", "Ab7"), ("3", "Db6"), ("6", "Ebm7b5/A"), ("9", "N.C.")),
)
"""Two voices in the right hand, compound time."""
