"""What a passage says, claim by claim, by the mutation test's own small rules.

A truth is a list of ways to say it; a way is a list of moments; a moment has its bar and, for each
note, the set of words that are true of it, the usual one first.
"""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from tests.theory.mutation.sounds import (
    WHITE,
    Sound,
    Struck,
    bar_of,
    beat_of,
    chords_at,
    degree,
    key_at,
    name_of,
    struck,
)
from transposary.passage import Chord, Passage


@dataclass(frozen=True)
class Said:
    """One moment: its bar, and for each note the words that are true of it."""

    bar: int
    words: tuple[tuple[str, ...], ...]


Way = list[Said]
Truth = Callable[[Passage, str | None], list[Way]]


def voices_of(passage: Passage, scope: str | None, *, hand: bool) -> set[str]:
    """Gives the voices that a scope means."""
    names = {voice.name for voice in passage.voices}
    if scope is None:
        return names
    return {name for name in names if name == scope or (hand and name[:2] == scope)}


def _from_tonic(passage: Passage, one: Sound) -> tuple[str, ...]:
    return (degree(one.step % 7, one.midi, name_of(key_at(passage, one.onset).tonic.fifths)),)


def _from_root(passage: Passage, one: Sound) -> tuple[str, ...]:
    return tuple(
        degree(one.step % 7, one.midi, name_of(chord.root.fifths))
        for chord in chords_at(passage, one)
        if chord is not None
    )


def _line(count: Callable[[Passage, Sound], tuple[str, ...]]) -> Truth:
    def truth(passage: Passage, scope: str | None) -> list[Way]:
        found = struck(passage, voices_of(passage, scope, hand=False))
        way = [_said(passage, one.onset, [count(passage, note) for note in one.new]) for one in found]
        return [[one for one in way if one.words]]

    return truth


def _edge(place: int, count: Callable[[Passage, Sound], tuple[str, ...]]) -> Truth:
    def truth(passage: Passage, scope: str | None) -> list[Way]:
        found = struck(passage, voices_of(passage, scope, hand=True))
        each = [(one, one.sounding[place]) for one in found]
        once = [
            (one, note)
            for index, (one, note) in enumerate(each)
            if note.onset == one.onset or index == 0 or each[index - 1][1] != note
        ]
        ways = [
            [_said(passage, one.onset, [count(passage, note)]) for one, note in way] for way in (once, each)
        ]
        return [[one for one in way if one.words] for way in ways]

    return truth


def _said(passage: Passage, onset: Fraction, words: list[tuple[str, ...]]) -> Said:
    return Said(bar_of(passage, onset), tuple(word for word in words if word))


def _intervals(passage: Passage, scope: str | None) -> list[Way]:
    voices = voices_of(passage, scope, hand=True)
    ways: list[Way] = []
    for only_new in (False, True):
        pairs: list[tuple[Fraction, int, str]] = []
        for rank, hand in enumerate(("LH", "RH")):
            for one in struck(passage, {name for name in voices if name[:2] == hand}):
                notes = one.new if only_new else one.sounding
                if len(notes) == 2:
                    pairs.append((one.onset, rank, interval(*notes)))
        ways.append([_said(passage, onset, [(name,)]) for onset, _, name in sorted(pairs)])
    return ways


def interval(low: Sound, high: Sound) -> str:
    """Names an interval by its letters and semitones."""
    steps = high.step - low.step
    if steps < 0:
        return "-" + interval(high, low)
    excess = high.midi - low.midi - 12 * (steps // 7) - WHITE[steps % 7]
    if steps % 7 in (0, 3, 4):
        quality = {0: "P"}.get(excess, "A" * excess if excess > 0 else "d" * -excess)
    else:
        quality = {0: "M", -1: "m"}.get(excess, "A" * excess if excess > 0 else "d" * (-excess - 1))
    return f"{quality}{steps + 1}"


PARTS = {
    Fraction(part): word
    for part, word in (
        *(("0", ""), ("1/4", "e"), ("1/2", "&"), ("3/4", "a"), ("1/3", "trip"), ("2/3", "let")),
        *(("1/6", "ta"), ("5/6", "letta")),
    )
}


def _rhythm(passage: Passage, scope: str | None) -> list[Way]:
    way = []
    for one in struck(passage, voices_of(passage, scope, hand=False)):
        beat = beat_of(passage, one.onset)
        part = beat - int(beat)
        way.append(_said(passage, one.onset, [(f"{int(beat)}{PARTS.get(part, f'+{part}')}",)]))
    return [way]


ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII")
FIGURES = {
    "1 3 5": "", "1 b3 5": "", "1 3 5 b7": "7", "1 b3 5 b7": "7", "1 3 5 7": "maj7", "1 b3 b5": "o",
    "1 b3 b5 bb7": "o7", "1 b3 b5 b7": "ø7", "1 4 5": "sus4", "1 4 5 b7": "7sus4", "1 3 5 b7 9": "9",
    "1 b3 5 b7 9": "9", "1 3 5 7 9": "maj9", "1 3 5 6": "6", "1 b3 5 6": "6", "1 3 5 b7 b9": "7(b9)",
}  # fmt: skip


def numeral(passage: Passage, onset: Fraction, chord: Chord | None) -> str:
    """Writes the numeral of a chord, or `?` for one whose figure is not in the table."""
    if chord is None:
        return "N.C."
    tones = " ".join(map(str, chord.tones))
    bass = chord.bass is not None
    if tones not in FIGURES or (bass and FIGURES[tones] == "6"):
        return "?"
    tonic = name_of(key_at(passage, onset).tonic.fifths)
    letter, pitch_class = name_of(chord.root.fifths)
    counted = degree(letter, pitch_class, tonic)
    roman = ROMAN[int(counted[-1]) - 1]
    small = roman.lower() if " b3 " in tones else roman
    under = f"/{degree(*name_of(chord.bass.fifths), tonic)}" if chord.bass is not None else ""
    return f"{counted[:-1]}{small}{FIGURES[tones]}{under}"


def _harmony(passage: Passage, _scope: str | None) -> list[Way]:
    each = [(one.onset, one.bar, one.chord) for one in passage.symbols]
    changes = each[:1] + [now for before, now in pairwise(each) if now[2] != before[2]]
    again = list(each)
    for bar in passage.bars:
        held = [one for one in each if one[0] < bar.onset]
        if held and all(one[0] != bar.onset for one in each):
            again.append((bar.onset, bar.number, held[-1][2]))
    return [
        [Said(bar, ((numeral(passage, onset, chord),),)) for onset, bar, chord in way]
        for way in (each, changes, sorted(again, key=lambda one: one[0]))
    ]


# Semitones over the root: those that must sound, and those that may be missing.
SHAPES = {
    "major triad": ("0 4 7", ""), "minor triad": ("0 3 7", ""), "diminished triad": ("0 3 6", ""),
    "augmented triad": ("0 4 8", ""), "sus4 triad": ("0 5 7", ""), "sus2 triad": ("0 2 7", ""),
    "open fifth": ("0 7", ""), "major 6th": ("0 4 7 9", ""), "minor 6th": ("0 3 7 9", ""),
    "diminished 7th": ("0 3 6 9", ""), "dominant 7th": ("0 4 10", "7"), "major 7th": ("0 4 11", "7"),
    "minor 7th": ("0 3 10", "7"), "half-diminished 7th": ("0 3 6 10", ""),
    "minor-major 7th": ("0 3 11", "7"), "dominant 9th": ("0 2 4 10", "7"), "major 9th": ("0 2 4 11", "7"),
    "minor 9th": ("0 2 3 10", "7"), "dominant 13th": ("0 4 9 10", "2 5 7"), "major 13th": ("0 4 9 11", "2 7"),
    "dominant 7th b9": ("0 1 4 10", "7"), "dominant 7th #9": ("0 3 4 10", "7"),
    "dominant 7th sus4": ("0 5 10", "7"), "dominant 9th sus4": ("0 2 5 10", "7"),
    "minor 11th": ("0 3 5 10", "2 7"), "major add9": ("0 2 4", "7"), "minor add9": ("0 2 3", "7"),
    "major 6/9": ("0 2 4 9", "7"), "minor 6/9": ("0 2 3 9", "7"), "dominant 13th sus4": ("0 5 9 10", "2 7"),
}  # fmt: skip
NUMBER_OF_THIRD = {"sus4 triad": 5, "dominant 7th sus4": 5, "dominant 9th sus4": 5, "sus2 triad": 2}


def _shapes(passage: Passage, scope: str | None) -> list[Way]:
    found = struck(passage, voices_of(passage, scope, hand=True))
    chords = [one for one in found if len({note.midi for note in one.sounding}) > 2]
    each = [Said(0, (tuple(_names(passage, one)),)) for one in chords]
    kept = [
        index
        for index, one in enumerate(chords)
        if index == 0 or each[index] != each[index - 1] or _keys(one) != _keys(chords[index - 1])
    ]
    return [[each[index] for index in kept], each]


def _keys(one: Struck) -> list[tuple[int, int]]:
    return [(note.step, note.midi) for note in one.sounding]


def _names(passage: Passage, one: Struck) -> list[str]:
    """Lists every name of the table, with its position, that the sounding notes have."""
    symbols = [chord for note in one.new for chord in chords_at(passage, note) if chord is not None]
    bass = one.sounding[0].midi
    names: dict[str, None] = {}
    for root, chord in [(chord.root.pitch_class, chord) for chord in symbols] + [
        (note.midi % 12, None) for note in one.sounding
    ]:
        over = {(note.midi - root) % 12 for note in one.sounding}
        for name in _matching(over | ({0} if chord else set())) or _by_third(over, chord):
            position = _position(name, (bass - root) % 12) if 0 in over else "rootless"
            names[f"{name} {position}"] = None
    return list(names)


def _matching(over: set[int]) -> list[str]:
    return [
        name
        for name, (needed, more) in SHAPES.items()
        if set(map(int, needed.split())) <= over <= set(map(int, f"{needed} {more}".split()))
    ]


def _by_third(over: set[int], chord: Chord | None) -> list[str]:
    if chord is None or not over & {10, 11} or over & {3, 4}:
        return []
    thirds = {tone.alter + 4 for tone in chord.tones if tone.number == 3}
    return [name for third in thirds for name in _matching(over | {0, third})]


def _position(name: str, bass: int) -> str:
    third = NUMBER_OF_THIRD.get(name)
    tall = any(mark in name for mark in ("7th", "9th", "11th", "13th"))
    numbers = {0: 0, 3: 1, 4: 1, 6: 2, 7: 2, 8: 2, 9: 3, 10: 3, 11: 3, 1: 4, 2: 4, 5: 5}
    if bass == third or ("sus" in name and bass == 5):
        place = 1
    elif name.startswith("dominant 7th #9") and bass == 3:
        place = 4
    elif bass == 9 and tall and name != "diminished 7th":
        place = 6
    else:
        place = numbers[bass]
    return (
        "root position"
        if place == 0
        else f"{('1st', '2nd', '3rd', '4th', '5th', '6th')[place - 1]} inversion"
    )


TRUTHS: dict[str, Truth] = {
    "degrees": _line(_from_tonic),
    "chord_degrees": _line(_from_root),
    "bass": _edge(0, _from_tonic),
    "chord_bass": _edge(0, _from_root),
    "top": _edge(-1, _from_tonic),
    "chord_top": _edge(-1, _from_root),
    "intervals": _intervals,
    "rhythm": _rhythm,
    "harmony": _harmony,
    "shapes": _shapes,
}
