"""Where notes are struck, counted aloud.

    rhythm: "1 2& 4 | 2 3"

The words are `1 e & a`, `1 trip let`, and in compound time `1 la li`. Of one voice
where one is named, else of everything together. Grace notes and notes tied over are not struck.
The beat is the meter's: a dotted quarter in 6/8 and 12/8, a half in 2/2.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from transposary.problems import Fault
from transposary.theory.beats import Spoken, parse_place, say_place
from transposary.theory.claims._degrees import other_voices
from transposary.theory.claims._kind import CountedClaim, Reading
from transposary.theory.counting import Fact, Group, Line, Moment, Truth, read_words
from transposary.theory.strikes import Hearing, beat_of, line_voices

_LACKING = "nothing is struck"


def _read(text: str) -> Line | Fault:
    line = read_words(text)
    if isinstance(line, Fault):
        return line
    groups: list[Group] = []
    said = Spoken()
    for group in line.groups:
        if groups and groups[-1].bar != group.bar:
            said = Spoken()
        word = group.words[0]
        read = parse_place(word.text, said)
        if isinstance(read, Fault):
            return replace(read, offset=word.offset)
        place, said = read
        groups.append(replace(group, words=(replace(word, key=str(place)),)))
    return replace(line, groups=tuple(groups))


def _truths(hearing: Hearing, scope: str | None) -> tuple[Truth, ...]:
    return (_moments(hearing, line_voices(hearing.passage, scope)),)


def _moments(hearing: Hearing, voices: tuple[str, ...], unit: Fraction | None = None) -> Truth:
    """Counts where voices strike, in beats or in a unit given in quarter notes."""
    found: list[Moment] = []
    said = Spoken()
    for strike in hearing.strikes(voices):
        meter = hearing.passage.bar_at(strike.onset).meter
        if not found or found[-1].bar != strike.bar:
            said = Spoken()
        beat = beat_of(hearing.passage, strike.onset)
        place = beat if unit is None else (beat - 1) * meter.beat / unit + 1
        text, said = say_place(place, said, compound=meter.compound)
        pitches = " ".join(str(note.pitch) for note in strike.struck)
        found.append(Moment(strike.bar, strike.onset, (Fact(text, frozenset({str(place)}), pitches),)))
    return tuple(found)


def _readings(hearing: Hearing, scope: str | None) -> Iterator[Reading]:
    voices = line_voices(hearing.passage, scope)
    for reading, others in other_voices(hearing.passage, voices):
        yield reading, _moments(hearing, others)
    meter = hearing.passage.meter
    for unit, name in ((Fraction(1, 2), "eighths"), (Fraction(1), "quarters"), (Fraction(2), "halves")):
        if unit != meter.beat:
            yield f"counted in {name}, which is not the beat of {meter}", _moments(hearing, voices, unit)


CLAIM = CountedClaim("rhythm", "strokes", "the notes", _read, _truths, _readings, _LACKING, keeps_words=False)
