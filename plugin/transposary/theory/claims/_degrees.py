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
from transposary.theory.degrees import degree_of, degree_over
from transposary.theory.scales import key_degrees
from transposary.theory.strikes import Hearing, Strike, chords_of, hand_voices, line_voices

_DEGREE = re.compile(r"(b*|#*)(1[0-3]|[1-9])")
_SPELLED = tuple(Degree(number, alter) for number in range(1, 8) for alter in (-2, -1, 0, 1, 2))
_BY_SOUND = tuple(
    tuple(one for one in _SPELLED if one.semitones % 12 == semitones) for semitones in range(12)
)

BY_SOUND = "by its sound; the notes are spelled otherwise"


Counting = Callable[[Degree], Iterable[Degree]]


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

    def truths(hearing: Hearing, scope: str | None) -> tuple[Truth, ...]:
        return _truths(hearing, _voices(hearing.passage, scope, lens), lens)

    def readings(hearing: Hearing, scope: str | None) -> Iterator[Reading]:
        return _readings(hearing, scope, name)

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


def _truths(hearing: Hearing, voices: tuple[str, ...], lens: Lens) -> tuple[Truth, ...]:
    found = hearing.strikes(voices)
    if lens.pick is Pick.LINE:
        return (_moments(hearing, [(strike, strike.struck) for strike in found], lens),)
    picked = [(strike, (lens.choose(strike.sounding),)) for strike in found]
    # A held note may be said at every chord struck or once, when it is struck or comes to the edge.
    once = [
        (strike, notes)
        for index, (strike, notes) in enumerate(picked)
        if index == 0 or notes != picked[index - 1][1] or notes[0] in strike.struck
    ]
    ways = (once, picked) if len(once) < len(picked) else (once,)
    return tuple(_moments(hearing, way, lens) for way in ways)


def _moments(hearing: Hearing, chosen: Sequence[tuple[Strike, tuple[Note, ...]]], lens: Lens) -> Truth:
    found: list[Moment] = []
    for strike, together in chosen:
        graces = [group for group in strike.graces if group[0].voice in {note.voice for note in together}]
        for group, grace in (*((group, True) for group in graces), (together, False)):
            picked = group if lens.pick is Pick.LINE else (lens.choose(group),)
            facts = [fact for note in picked if (fact := _fact(hearing, note, together[0], lens))]
            if facts:
                found.append(Moment(strike.bar, strike.onset, tuple(facts), grace=grace))
    return tuple(found)


def _fact(hearing: Hearing, note: Note, struck: Note, lens: Lens) -> Fact | None:
    if not lens.over_chord:
        degree = degree_of(hearing.passage, note)
        return Fact(str(degree), frozenset({degree_key(degree)}), str(note.pitch))
    led_to = struck if note.grace else note
    chords = (symbol.chord for symbol in chords_of(hearing.passage, led_to))
    over = [degree_over(chord, note.pitch.name) for chord in chords if chord is not None]
    if not over:
        return None
    return Fact(str(over[0]), frozenset(map(degree_key, over)), str(note.pitch))


def _readings(hearing: Hearing, scope: str | None, name: str) -> Iterator[Reading]:
    passage, own = hearing.passage, _LENSES[name]
    voices = _voices(passage, scope, own)
    others = [(f"as {other}", _voices(passage, scope, lens), lens) for other, lens in _LENSES.items()]
    scopes = [(reading, other, own) for reading, other in other_voices(passage, voices)]
    for reading, judged, lens in others + scopes:
        for truth in _truths(hearing, judged, lens):
            yield reading, truth
    for truth in _truths(hearing, voices, own):
        if not own.over_chord:
            for reading, count in other_countings(passage.key):
                yield reading, _rekeyed(truth, count)
        yield BY_SOUND, _rekeyed(truth, twins)


def other_voices(passage: Passage, judged: tuple[str, ...]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Lists the other voices, hands and all together that a claim's words may be about."""
    readings: dict[tuple[str, ...], str] = {}
    for voice in passage.voices:
        readings[(voice.name,)] = f"for {voice.name}"
    for hand in passage.hands:
        readings.setdefault(hand_voices(passage, hand), f"for both voices of {hand}")
    readings.setdefault(hand_voices(passage, None), "for everything together")
    return ((reading, voices) for voices, reading in readings.items() if voices != judged)


def other_countings(key: Key) -> Iterator[tuple[str, Counting]]:
    """Lists what an author may count from instead of the tonic's major scale, as readings.

    Each comes with how it counts what is a degree of the key: from a relative key, or along the
    key's own scale, in which the b3 of a minor key is 3 and its 7 is #7.
    """

    def from_tonic(tonic: NoteName) -> Counting:
        return lambda degree: (Degree.between(tonic, degree.above(key.tonic)),)

    major = NoteName(key.signature)
    minor = NoteName(key.signature + 3)
    if key.mode is not Mode.MAJOR:
        yield f"counted from {major}, the relative major", from_tonic(major)
    if key.mode is not Mode.MINOR:
        yield f"counted from {minor}, the relative minor", from_tonic(minor)
    if key.mode is not Mode.MAJOR:
        altered = {own.number: own.alter for own in key_degrees(key)}
        along = "counted along the key's own scale; claims count from the major scale"
        yield along, lambda degree: (Degree(degree.number, degree.alter - altered[degree.simple.number]),)


def twins(degree: Degree) -> tuple[Degree, ...]:
    """Lists the degrees that sound as one does, whatever their spelling."""
    return _BY_SOUND[degree.semitones % 12]


def _rekeyed(truth: Truth, count: Counting) -> Truth:
    def rekey(fact: Fact) -> Fact:
        said = [degree for key in fact.keys if (degree := _parse(key))]
        return replace(fact, keys=frozenset(degree_key(other) for degree in said for other in count(degree)))

    return tuple(replace(moment, facts=tuple(map(rekey, moment.facts))) for moment in truth)
