"""Hypothesis strategies for the values of the domain."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, product

from hypothesis import strategies as st

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
from transposary.problems import Fault
from transposary.reading.abc.lengths import is_printable, written_length
from transposary.theory.chords import parse_chord
from transposary.theory.suffixes import tones_of

_COMMON_TIME = Meter(4, 4)
_ITEMS = ("b5", "#5", "b9", "#9", "#11", "b13", "sus4", "sus2", "add9", "add11", "add13", "no3", "no5")
_BASES = (
    *("", "m", "dim", "aug", "5", "6", "m6", "69", "m69", "7", "maj7", "m7", "mMaj7", "m7b5", "dim7", "+7"),
    *("+maj7", "dim(maj7)", "9", "maj9", "m9", "mMaj9", "ø9", "11", "maj11", "m11", "ø11", "13", "maj13"),
    *("m13", "mMaj13", "alt", "-", "Δ", "ø", "o", "°7", "-7-5", "7+", "2", "6/9", "7M"),
)


def _all_suffixes() -> Iterator[str]:
    for base, count in product(_BASES, range(3)):
        for items in combinations(_ITEMS, count):
            suffix = base + (f"({','.join(items)})" if items else "")
            if not isinstance(tones_of(suffix), Fault):
                yield suffix


SUFFIXES = tuple(_all_suffixes())


def note_names(*, signs: int = 1) -> st.SearchStrategy[NoteName]:
    """Note names with at most so many accidentals."""
    return st.integers(-1 - 7 * signs, 5 + 7 * signs).map(NoteName)


def pitches(*, low: str = "C2", high: str = "C6") -> st.SearchStrategy[Pitch]:
    """Pitches with at most one accidental between two white keys."""
    steps = range(Pitch.parse(low).step, Pitch.parse(high).step + 1)
    return st.sampled_from([Pitch(step, alter) for step in steps for alter in (0, -1, 1)])


def intervals(*, octaves: int = 2) -> st.SearchStrategy[Interval]:
    """Directed intervals as musicians name them: perfect, major, minor, augmented, diminished."""
    natural = pitches(low="C4", high="B4").filter(lambda pitch: pitch.alter == 0)
    shift = st.integers(-octaves, octaves).map(lambda count: Interval(7 * count, 12 * count))
    plain = st.builds(lambda one, other: one.to(other), natural, natural)
    bent = st.integers(-1, 1).map(lambda alter: Interval(0, alter))
    return st.builds(lambda one, other, turn: one + other + turn, plain, shift, bent)


def keys() -> st.SearchStrategy[Key]:
    """Keys whose signature has at most seven accidentals."""
    return st.builds(
        lambda signature, mode: Key(NoteName(signature - mode.fifths), mode),
        st.integers(-7, 7),
        st.sampled_from(Mode),
    )


def suffixes() -> st.SearchStrategy[str]:
    """What follows the root of a chord: a base with up to two changes, where the trade allows them."""
    return st.sampled_from(SUFFIXES)


def chords(*, signs: int = 1) -> st.SearchStrategy[Chord]:
    """Chords of the whole grammar, half of them with a bass."""

    def make(root: NoteName, suffix: str, bass: NoteName | None) -> Chord:
        chord = parse_chord(f"{root}{suffix}" + (f"/{bass}" if bass is not None else ""))
        assert isinstance(chord, Chord), chord
        return chord

    return st.builds(make, note_names(signs=signs), suffixes(), st.none() | note_names(signs=signs))


_SHORT = st.sampled_from((Fraction(1), Fraction(2), Fraction(1, 2)))
_TOGETHER = st.lists(pitches(), max_size=3, unique_by=lambda pitch: pitch.midi).map(
    lambda found: sorted(found, key=lambda pitch: pitch.midi)
)
_GRACES = st.sampled_from([(), (Pitch.parse("D#4"),), (Pitch.parse("Gb5"),)])


@st.composite
def passages(draw: st.DrawFn) -> Passage:
    """Passages of one or two bars of 4/4 in one or two hands, with chords, ties and graces."""
    count = draw(st.integers(1, 2))
    bars = tuple(Bar(number + 1, Fraction(4 * number), Fraction(4), _COMMON_TIME) for number in range(count))
    names = draw(st.sampled_from((("RH",), ("LH",), ("RH", "LH"), ("RH", "RH2", "LH"))))
    voices = tuple(_voice(draw, name, count) for name in names)
    onsets = sorted(draw(st.sets(st.integers(0, 4 * count - 1), max_size=3)))
    symbols = tuple(Symbol(Fraction(onset), onset // 4 + 1, draw(st.none() | chords())) for onset in onsets)
    return Passage(((Fraction(0), draw(keys())),), bars, voices, symbols)


def _voice(draw: st.DrawFn, name: str, bars: int) -> Voice:
    events: list[Event] = []
    onset = Fraction(0)
    while onset < 4 * bars:
        length = min(draw(_SHORT), 4 - onset % 4)
        heads = tuple(Head(pitch) for pitch in draw(_TOGETHER))
        graces = tuple(Grace((Head(pitch),)) for pitch in draw(_GRACES) if heads)
        events.append(Event(onset, length, heads, graces))
        onset += length
    clef = Clef.TREBLE if name.startswith("RH") else Clef.BASS
    return Voice(name, _tied(draw, events), ((Fraction(0), clef),))


def _tied(draw: st.DrawFn, events: list[Event]) -> tuple[Event, ...]:
    """Repeats some events and ties them over."""
    if len(events) < 2 or not events[0].heads or not draw(st.booleans()):
        return tuple(events)
    first, second, *rest = events
    tied = Event(first.onset, first.duration, tuple(Head(head.pitch, tied=True) for head in first.heads))
    return (tied, Event(second.onset, second.duration, first.heads), *rest)


# Made once: building a strategy costs more than drawing from it.
_COIN = st.booleans()
_DICE = {count: st.integers(0, count - 1) for count in (4, 5, 6, 8, 10, 20)}
_STACKS = st.lists(pitches(), min_size=1, max_size=3, unique_by=lambda pitch: pitch.midi)
_GRACED = st.lists(pitches(), min_size=1, max_size=2)
_GRACE_LENGTHS = st.sampled_from((Fraction(1, 2), Fraction(1, 4)))
_FINGERS = st.none() | st.integers(1, 5)
_MARKS = st.integers(0, 15)
_CLEFS = st.sampled_from(Clef)
_TUPLETS = st.sampled_from(((3, 2, (1, 1, 1)), (3, 2, (2, 1)), (5, 4, (1,) * 5), (2, 3, (1, 1))))
_LENGTHS = (Fraction(3), Fraction(2), Fraction(3, 2), Fraction(1), Fraction(1, 2), Fraction(1, 4))


@st.composite
def tunes(draw: st.DrawFn) -> Passage:
    """Passages with everything that the notation of an entry can say.

    Pickups, repeats with endings, changes of key, meter and clef, two voices in a hand,
    chords, ties, tuplets, graces, beams, slurs, fingerings, ghost notes, chord symbols.
    """
    names = draw(st.sampled_from((("RH",), ("LH",), ("RH", "LH"), ("RH", "RH2"), ("RH", "LH", "LH2"))))
    bars = _bars(draw)
    key = draw(keys())
    changes = [(bars[0].onset, key)]
    for bar in bars[1:]:
        if bar.number > 0 and _one_in(draw, 10) and (key := draw(keys())) != changes[-1][1]:
            changes.append((bar.onset, key))
    voices = tuple(_line(draw, name, bars) for name in names)
    clefs = {voice.name: voice.clefs for voice in voices}
    voices = tuple(replace(voice, clefs=clefs[voice.name[:2]]) for voice in voices)
    onsets = sorted({event.onset for voice in voices for event in voice.events})
    symbols = tuple(
        Symbol(onset, next(bar.number for bar in bars if onset < bar.end), draw(st.none() | chords()))
        for onset in onsets
        if _one_in(draw, 6)
    )
    return Passage(tuple(changes), bars, voices, symbols)


def _bars(draw: st.DrawFn) -> tuple[Bar, ...]:
    meters = st.sampled_from((Meter(4, 4), Meter(3, 4), Meter(6, 8), Meter(2, 2), Meter(5, 4), Meter(9, 8)))
    meter = draw(meters)
    pickup = draw(st.sampled_from((Fraction(0), Fraction(0), Fraction(1, 2), Fraction(1))))
    bars = [Bar(0, -pickup, pickup, meter)] if pickup else []
    now = Fraction(0)
    for number in range(1, draw(st.integers(1, 4)) + 1):
        meter = draw(meters) if _one_in(draw, 6) else meter
        bars.append(Bar(number, now, meter.length, meter))
        now += meter.length
    if pickup and bars[1].meter != bars[0].meter:
        bars[0] = replace(bars[0], meter=bars[1].meter)
    return tuple(_signs(draw, bars))


def _signs(draw: st.DrawFn, bars: list[Bar]) -> list[Bar]:
    """Sets repeats, endings and double barlines."""
    first, last = (1 if bars[0].number == 0 else 0), len(bars) - 1
    shape = draw(st.sampled_from(("plain", "double", "repeat", "endings")))
    if shape == "double":
        bars[first] = replace(bars[first], double=True)
    elif shape == "repeat":
        bars[first] = replace(bars[first], repeat_begun=True)
        bars[last] = replace(bars[last], repeat_ended=True)
    elif shape == "endings" and last - first >= 2:
        bars[first] = replace(bars[first], repeat_begun=True)
        bars[last - 1] = replace(bars[last - 1], ending="1", repeat_ended=True, ending_closed=True)
        bars[last] = replace(bars[last], ending="2", ending_closed=True)
    return bars


def _line(draw: st.DrawFn, name: str, bars: Sequence[Bar]) -> Voice:
    clef = draw(_CLEFS) if draw(_COIN) else Clef.BASS if name == "LH" else Clef.TREBLE
    events = [event for bar in bars for event in _filled(draw, bar)]
    events = _held(draw, _slurred(draw, events))
    clefs = [(events[0].onset, clef)]
    for event in events[1:]:
        if _one_in(draw, 20) and (clef := draw(_CLEFS)) is not clefs[-1][1]:
            clefs.append((event.onset, clef))
    return Voice(name, tuple(_beamed(draw, events, bars)), tuple(clefs))


def _filled(draw: st.DrawFn, bar: Bar) -> list[Event]:
    """Fills a bar with events, some of them in tuplets."""
    if bar.number and _one_in(draw, 8):
        return [Event(bar.onset, bar.duration, hidden=draw(_COIN))]
    events: list[Event] = []
    now = bar.onset
    while now < bar.end:
        length = draw(st.sampled_from([one for one in _LENGTHS if one <= bar.end - now]))
        ratio = draw(_TUPLETS) if length <= 2 and _one_in(draw, 4) else None
        if ratio is None:
            events.append(_sounding(draw, now, length))
        else:
            events.extend(_tupled(draw, now, length, ratio))
        now += length
    return events


def _tupled(
    draw: st.DrawFn, now: Fraction, length: Fraction, ratio: tuple[int, int, tuple[int, ...]]
) -> list[Event]:
    """Divides a length into a tuplet whose notes take shares of it; (3:2:2 has a long and a short one."""
    actual, normal, shares = ratio
    sizes = [length * share / sum(shares) for share in shares]
    if not all(is_printable(size * actual / normal) for size in sizes):
        return [_sounding(draw, now, length)]
    events = []
    for index, size in enumerate(sizes):
        member = Tuplet(actual, normal, first=index == 0, last=index == len(sizes) - 1)
        events.append(replace(_sounding(draw, now, size), tuplet=member))
        now += size
    return events


def _sounding(draw: st.DrawFn, onset: Fraction, length: Fraction) -> Event:
    if _one_in(draw, 6):
        return Event(onset, length, hidden=draw(_COIN))
    marks = draw(_MARKS)
    graces = tuple(
        Grace(
            (Head(pitch),),
            slashed=draw(_COIN),
            quarters=draw(_GRACE_LENGTHS),
        )
        for pitch in (draw(_GRACED) if marks == 1 else ())
    )
    heads = tuple(
        Head(
            pitch,
            finger=draw(_FINGERS) if marks == 2 else None,
            ghost=marks == 3 and draw(_COIN),
        )
        for pitch in _stacked(draw)
    )
    return Event(onset, length, heads, graces, staccato=marks == 4, accent=marks in (4, 5))


def _slurred(draw: st.DrawFn, events: list[Event]) -> list[Event]:
    """Sets a slur between two notes."""
    sounding = [index for index, event in enumerate(events) if event.heads]
    if len(sounding) > 1 and draw(_COIN):
        first = draw(st.sampled_from(sounding[:-1]))
        last = draw(st.sampled_from([index for index in sounding if index > first]))
        events[first] = replace(events[first], slurs_begun=1)
        events[last] = replace(events[last], slurs_ended=1)
    return events


def _held(draw: st.DrawFn, events: list[Event]) -> list[Event]:
    """Ties some heads over by giving the next event the same pitches."""
    for index in range(len(events) - 1):
        one, other = events[index], events[index + 1]
        if one.heads and other.heads and _one_in(draw, 5):
            tied = [draw(_COIN) for _ in one.heads]
            events[index] = replace(
                one, heads=tuple(replace(head, tied=tie) for head, tie in zip(one.heads, tied, strict=True))
            )
            events[index + 1] = replace(other, heads=tuple(Head(head.pitch) for head in one.heads))
    return events


def _beamed(draw: st.DrawFn, events: list[Event], bars: Sequence[Bar]) -> list[Event]:
    starts = {bar.onset for bar in bars}

    def short(event: Event) -> bool:
        return bool(event.heads) and written_length(event) < 1

    for index in range(len(events) - 1):
        one, other = events[index], events[index + 1]
        if short(one) and short(other) and other.onset not in starts and draw(_COIN):
            events[index] = replace(one, beamed=True)
    return events


def _stacked(draw: st.DrawFn) -> list[Pitch]:
    return sorted(draw(_STACKS), key=lambda pitch: pitch.midi)


def _one_in(draw: st.DrawFn, count: int) -> bool:
    return draw(_DICE[count]) == count - 1


_SLIPS = (
    *"-:|#&*!%@`\"'[]{}(),<>/\\^_=~0179AGbz \t\n",
    *("\r\n", "--- ", "\ufeff", "\x00", "é", "\u2028", "- ", ": ", "|:", "[K:", "!x!", "(3"),
)
"""What a slip may put in: the signs that mean something in YAML, ABC, charts and claims."""


@st.composite
def slips_in(draw: st.DrawFn, text: str) -> str:
    """Mistypes a text in up to three places."""
    for _ in range(draw(st.integers(1, 3))):
        start = draw(st.integers(0, len(text)))
        gone = draw(st.integers(0, 6))
        text = text[:start] + draw(st.sampled_from(_SLIPS)) + text[start + gone :]
    return text


@st.composite
def sketch_options(draw: st.DrawFn) -> dict[str, str]:
    """Draws what a player may say of a new device: the options of `transposary new device`."""
    meter = draw(st.sampled_from([(4, 4, 4), (3, 4, 3), (5, 4, 5), (2, 2, 2), (6, 8, 2), (12, 8, 4)]))
    beats = meter[2]
    parts = (
        ("", "ta", "la", "li")
        if meter[1] == 8
        else draw(st.sampled_from([("", "e", "&", "a"), ("", "trip", "let")]))
    )
    places = [f"{beat}{part}" for beat in range(1, beats + 1) for part in parts]
    degree = st.sampled_from(["1", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7", "(1 3 5)", "(b7 3)"])
    degrees, rhythm, chords = [], [], []
    for _ in range(draw(st.integers(1, 3))):
        struck = sorted(draw(st.sets(st.sampled_from(range(len(places))), min_size=1, max_size=6)))
        rhythm.append(" ".join(places[place] for place in struck))
        degrees.append(" ".join(draw(degree) for _ in struck))
        chords.append(
            draw(st.sampled_from(["C7", "N.C.", "Dm7b5", " ".join(["F", *"/" * (beats - 2), "Bb6"])]))
        )
    return {
        "key": draw(st.sampled_from(["C", "G", "Ab", "F# minor", "D dorian", "Bb mixolydian"])),
        "meter": f"{meter[0]}/{meter[1]}",
        "degrees": " | ".join(degrees),
        "rhythm": " | ".join(rhythm),
        "chords": " | ".join(chords),
        "hand": draw(st.sampled_from(["LH", "RH"])),
    }


def chart_texts() -> st.SearchStrategy[str]:
    """Draws charts, right and wrong ones."""
    chords = st.sampled_from(["C", "F7", "Bbmaj7/D", "N.C.", "%", "/", "/", "X", "D.C.", "Gm7b5"])
    signs = st.sampled_from(
        ["|", "|", "|", "||", "|:", ":|", "|1", ":|2", "[K:F]", "[M:3/4]", "!fine!", "!x!"]
    )
    return st.lists(chords | signs, max_size=24).map(" ".join)


def claim_words() -> st.SearchStrategy[str]:
    """Lines like those that authors claim, right, wrong and unreadable."""
    words = st.sampled_from(
        [
            *(
                "1",
                "2",
                "b3",
                "♭3",
                "3",
                "#4",
                "5",
                "b7",
                "9",
                "13",
                "8",
                "0",
                "(1 3)",
                "(3 5)",
                "{b3}",
                "{2 b3}",
            ),
            *("|", "||", "(", ")", "{", "}", "()", ",", "1&", "e", "&", "a", "la", "2+1/3", "2+5/3", "ta"),
            *(
                "I",
                "ii7",
                "V7",
                "V7(b9)",
                "Imaj7",
                "I/5",
                "V7/ii",
                "N.C.",
                "%",
                "x",
                "♯",
                "M3",
                "P5",
                "m6",
                "P6",
            ),
            *("major triad,", "minor 7th 1st inversion,", "rootless,", "open", "13", "\u00a0", "é"),
        ]
    )
    return st.lists(words, max_size=8).map(" ".join)
