"""The shape of each chord struck: its quality, its inversion, how its notes are spaced.

    shapes: ["minor 7th 3rd inversion", "dominant 9th rootless"]

A chord struck is all that sounds when something is struck, three notes at least; where never more
than two sound, two. One that is struck again unchanged may be said each time or once. Quality,
inversion and spacing may each be left unsaid, but not that the root is silent. A chord may have
several names (a 6th is an inverted minor 7th): each of them is true. Only a chord symbol tells of
a silent root.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import product

from transposary.passage import Passage
from transposary.problems import Fault
from transposary.theory.claims._degrees import other_voices
from transposary.theory.claims._kind import CountedClaim, Reading
from transposary.theory.counting import Fact, Group, Line, Moment, Truth, Word, with_keys
from transposary.theory.shape_words import ShapeWords, read_shape
from transposary.theory.shapes import ROOTLESS, Shape, name_chord, spacings
from transposary.theory.strikes import Hearing, Strike, chords_of, hand_voices


def _read(text: str) -> Line | Fault:
    groups = []
    for match in re.finditer(r"[^,\s][^,]*", text):
        word = Word(match[0].rstrip().replace("♭", "b").replace("♯", "#"), match.start())
        groups.append(Group((word,), match.start(), 0, grace=False))
    if not groups:
        return Fault(0, "the claim says nothing", "name the shapes or leave the line out")
    return with_keys(Line(tuple(groups), 0, len(text)), _key_of)


def _key_of(text: str) -> str | Fault:
    said = read_shape(text)
    return said if isinstance(said, Fault) else said.key


def _truths(hearing: Hearing, scope: str | None) -> tuple[Truth, ...]:
    return _ways_to_say(hearing, hand_voices(hearing.passage, scope))


def _ways_to_say(hearing: Hearing, voices: tuple[str, ...]) -> tuple[Truth, ...]:
    """Lists the chords as they change, and as they are struck."""
    found = hearing.strikes(voices)
    most = max((_keys_down(strike) for strike in found), default=0)
    chords = (strike for strike in found if _keys_down(strike) >= max(2, min(most, 3)))
    each = [_moment(hearing.passage, strike) for strike in chords]
    changes = [
        moment for index, moment in enumerate(each) if index == 0 or moment.facts != each[index - 1].facts
    ]
    return tuple(dict.fromkeys((tuple(changes), tuple(each))))


def _keys_down(strike: Strike) -> int:
    return len({note.pitch.midi for note in strike.sounding})


def _moment(passage: Passage, strike: Strike) -> Moment:
    pitches = [note.pitch for note in strike.sounding]
    chords = [symbol.chord for note in strike.struck for symbol in chords_of(passage, note)]
    shapes = [shape for chord in dict.fromkeys(chords or [None]) for shape in name_chord(pitches, chord)]
    spaced = spacings(pitches, shell=any(shape.shell for shape in shapes[:1]))
    keys = {ShapeWords("", "", spacing).key for spacing in spaced}
    for shape in shapes:
        keys |= _keys(shape, spacings(pitches, shell=shape.shell))
    # A chord without a name can still be said to be close or open.
    text = str(shapes[0]) if shapes else spaced[0]
    fact = Fact(text, frozenset(keys), f"{' '.join(map(str, pitches))}, {spaced[0]}")
    # Shapes are a list, in which bars are not marked.
    return Moment(0, strike.onset, (fact,))


def _keys(shape: Shape, spaced: tuple[str, ...]) -> set[str]:
    positions = (shape.position,) if shape.position == ROOTLESS else (shape.position, "")
    said = product((shape.quality, ""), positions, (*spaced, ""))
    return {ShapeWords(*words).key for words in said}


def _readings(hearing: Hearing, scope: str | None) -> Iterator[Reading]:
    for reading, voices in other_voices(hearing.passage, hand_voices(hearing.passage, scope)):
        for truth in _ways_to_say(hearing, voices):
            yield reading, truth


def _quoted(text: str) -> str:
    return "[" + ", ".join(f'"{one}"' for one in re.split(r"\s*,\s*", text)) + "]"


CLAIM = CountedClaim(
    "shapes",
    "chords",
    "the notes",
    _read,
    _truths,
    _readings,
    "nowhere do two notes sound at once",
    joint=", ",
    quote=_quoted,
)
