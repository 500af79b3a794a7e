"""Hypothesis strategies for the values of the domain."""

from collections.abc import Iterator
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
    Voice,
)
from transposary.pitch import Interval, NoteName, Pitch
from transposary.problems import Fault
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


_LENGTHS = st.sampled_from((Fraction(1), Fraction(2), Fraction(1, 2)))
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
        length = min(draw(_LENGTHS), 4 - onset % 4)
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
