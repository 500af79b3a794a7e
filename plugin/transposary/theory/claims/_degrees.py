"""What the claims that count degrees share.

They differ in which notes they count (every note of a line, the lowest or the highest of each
chord struck) and in what they count from (the tonic, or the root of the sounding chord). Each
of them is another reading of the others' words.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum, auto

from transposary.notes import Note
from transposary.passage import Key, Mode, Passage
from transposary.pitch import Degree, NoteName
from transposary.problems import Fault
from transposary.theory.claims._kind import CountedClaim, Reading
from transposary.theory.counting import Fact, Line, Moment, Truth, read_groups, with_keys
from transposary.theory.degrees import degree_over, degrees
from transposary.theory.scales import key_degrees
from transposary.theory.strikes import Strike, chords_of, hand_voices, line_voices, strikes, where

_DEGREE = re.compile(r"(b*|#*)(1[0-3]|[1-9])")
_TWINS = tuple(Degree(number, alter) for number in range(1, 8) for alter in (-2, -1, 0, 1, 2))

ALONG_THE_SCALE = "counted along the key's own scale; claims count from the major scale"
BY_SOUND = "by its sound; the notes are spelled otherwise"


class Pick(Enum):
    """Which notes are counted."""

    LINE = auto()
    LOWEST = auto()
    HIGHEST = auto()


@dataclass(frozen=True, slots=True)
class Lens:
    """A way of counting degrees.

    Attributes:
        pick: Which notes are counted.
        over_chord: Whether from the root of the sounding chord, else from the tonic.
    """

    pick: Pick
    over_chord: bool = False

    def choose(self, together: Sequence[Note]) -> Note:
        """Picks the lowest or highest of notes that sound together, given lowest first."""
        return together[0 if self.pick is Pick.LOWEST else -1]


_LENSES = {
    "degrees": Lens(Pick.LINE),
    "chord_degrees": Lens(Pick.LINE, over_chord=True),
    "bass": Lens(Pick.LOWEST),
    "chord_bass": Lens(Pick.LOWEST, over_chord=True),
    "top": Lens(Pick.HIGHEST),
    "chord_top": Lens(Pick.HIGHEST, over_chord=True),
}


def degree_claim(name: str) -> CountedClaim:
    """Makes one of the six claims that count degrees."""
    lens = _LENSES[name]

    def truths(passage: Passage, scope: str | None) -> tuple[Truth, ...]:
        return _truths(passage, _voices(passage, scope, lens), lens)

    def readings(passage: Passage, scope: str | None) -> Iterator[Reading]:
        return _readings(passage, scope, name)

    lacking = "no chord symbol stands over a note" if lens.over_chord else "nothing is struck"
    return CountedClaim(name, "degrees", "the notes", read_degrees, truths, readings, lacking)


def read_degrees(text: str) -> Line | Fault:
    """Reads degrees; a 9th counts as a 2nd, an 11th as a 4th, a 13th as a 6th, 8 as 1."""
    return with_keys(read_groups(text), _key_of)


def degree_key(degree: Degree) -> str:
    """Gives the key under which a degree is compared."""
    return str(degree.simple)


def _key_of(word: str) -> str | Fault:
    degree = _parse(word)
    if degree is None:
        hint = "write degrees as 1 b3 #4, from 1 to 13, with blanks between them"
        return Fault(0, f"a degree is expected, {word!r} found", hint)
    return degree_key(degree)


def _parse(word: str) -> Degree | None:
    match = _DEGREE.fullmatch(word)
    return Degree(int(match[2]), match[1].count("#") - match[1].count("b")) if match else None


def _voices(passage: Passage, scope: str | None, lens: Lens) -> tuple[str, ...]:
    return line_voices(passage, scope) if lens.pick is Pick.LINE else hand_voices(passage, scope)


def _truths(passage: Passage, voices: tuple[str, ...], lens: Lens) -> tuple[Truth, ...]:
    found = strikes(passage, voices)
    if lens.pick is Pick.LINE:
        return (_moments(passage, [(strike, strike.struck) for strike in found], lens),)
    picked = [(strike, (lens.choose(strike.sounding),)) for strike in found]
    # A held note may be said at every chord struck or once, when it is struck or comes to the edge.
    once = [
        (strike, notes)
        for index, (strike, notes) in enumerate(picked)
        if index == 0 or notes != picked[index - 1][1] or notes[0] in strike.struck
    ]
    return tuple(dict.fromkeys(_moments(passage, chosen, lens) for chosen in (once, picked)))


def _moments(passage: Passage, chosen: Sequence[tuple[Strike, tuple[Note, ...]]], lens: Lens) -> Truth:
    counted = degrees(passage)
    found: list[Moment] = []
    for strike, together in chosen:
        graces = [group for group in strike.graces if group[0].voice in {note.voice for note in together}]
        place = where(passage, strike.onset)
        for group, grace in (*((group, True) for group in graces), (together, False)):
            picked = group if lens.pick is Pick.LINE else (lens.choose(group),)
            facts = [fact for note in picked if (fact := _fact(passage, note, together[0], counted, lens))]
            if facts:
                found.append(Moment(strike.bar, place, tuple(facts), grace=grace))
    return tuple(found)


def _fact(passage: Passage, note: Note, struck: Note, counted: tuple[Degree, ...], lens: Lens) -> Fact | None:
    if not lens.over_chord:
        degree = counted[note.index]
        return Fact(str(degree), frozenset({degree_key(degree)}), str(note.pitch))
    led_to = struck if note.grace else note
    chords = [symbol.chord for symbol in chords_of(passage, led_to) if symbol.chord is not None]
    over = [degree_over(chord, note.pitch.name) for chord in chords]
    if not over:
        return None
    return Fact(str(over[0]), frozenset(map(degree_key, over)), str(note.pitch))


def _readings(passage: Passage, scope: str | None, name: str) -> Iterator[Reading]:
    own = _LENSES[name]
    voices = _voices(passage, scope, own)
    others = [
        (f"as {other}", passage, _voices(passage, scope, lens), lens)
        for other, lens in _LENSES.items()
        if other != name
    ]
    scopes = [(reading, passage, other, own) for reading, other in other_voices(passage, voices)]
    keys = [
        (reading, replace(passage, keys=((passage.bars[0].onset, key),)), voices, own)
        for reading, key in relatives(passage.key)
        if not own.over_chord
    ]
    for reading, moved, judged, lens in others + scopes + keys:
        for truth in _truths(moved, judged, lens):
            yield reading, truth
    for truth in _truths(passage, voices, own):
        if not own.over_chord and passage.key.mode is not Mode.MAJOR:
            yield ALONG_THE_SCALE, _rekeyed(truth, lambda degree: (along_scale(degree, passage.key),))
        yield BY_SOUND, _by_sound(truth)


def other_voices(passage: Passage, judged: tuple[str, ...]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Lists the other voices, hands and all together that a claim's words may be about."""
    readings: dict[tuple[str, ...], str] = {}
    for voice in passage.voices:
        readings[(voice.name,)] = f"for {voice.name}"
    for hand in passage.hands:
        readings.setdefault(hand_voices(passage, hand), f"for both voices of {hand}")
    readings.setdefault(hand_voices(passage, None), "for everything together")
    return ((reading, voices) for voices, reading in readings.items() if voices != judged)


def relatives(key: Key) -> Iterator[tuple[str, Key]]:
    """Lists the relative keys that an author may count from, as readings of a claim."""
    signature = NoteName(key.signature)
    if key.mode is not Mode.MAJOR:
        yield f"counted from {signature}, the relative major", Key(signature)
    if key.mode is not Mode.MINOR:
        minor = NoteName(signature.fifths + 3)
        yield f"counted from {minor}, the relative minor", Key(minor, Mode.MINOR)


def along_scale(degree: Degree, key: Key) -> Degree:
    """Counts a degree along the scale of the key: in minor the b3 becomes 3, the 7 becomes #7."""
    altered = {own.number: own.alter for own in key_degrees(key)}
    return Degree(degree.number, degree.alter - altered[degree.simple.number])


def _by_sound(truth: Truth) -> Truth:
    return _rekeyed(truth, twins)


def twins(degree: Degree) -> Iterator[Degree]:
    """Lists the degrees that sound as one does, whatever their spelling."""
    return (twin for twin in _TWINS if (twin.semitones - degree.semitones) % 12 == 0)


def _rekeyed(truth: Truth, keys_of: Callable[[Degree], Iterable[Degree]]) -> Truth:
    def rekey(fact: Fact) -> Fact:
        said = [degree for key in fact.keys if (degree := _parse(key))]
        return replace(fact, keys=frozenset(degree_key(key) for degree in said for key in keys_of(degree)))

    return tuple(replace(moment, facts=tuple(map(rekey, moment.facts))) for moment in truth)
