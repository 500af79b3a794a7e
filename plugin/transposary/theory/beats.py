"""Counting aloud: the words for the places of a bar.

A place is a beat and, where needed, a syllable for the part of the beat: `2` is the second beat,
`2&` the half of it. A syllable alone belongs to the beat named last: `1 e & a`.

    simple time     halves and quarters   1 e & a
                    triplets              1 trip let
                    sextuplets            1 ta trip & let letta
    compound time   the beats' eighths    1 la li
                    sixteenths            1 ta la lata li lita

`ta` halves the third named last, so `1 ta la ta li ta` says the same as `1 ta la lata li lita`.
`trip let` and `la li` both name thirds of the beat, and serve in simple and in compound time.
Any other place is written as the beat and a fraction of it: `2+3/8`.

Source: `1 e & a` and `1 trip let` are common practice, no source; `la li` and `ta` are the
syllables of the Eastman counting system, from memory.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from transposary.problems import Fault

_SYLLABLES = {
    "": Fraction(0),
    "e": Fraction(1, 4),
    "&": Fraction(1, 2),
    "and": Fraction(1, 2),
    "a": Fraction(3, 4),
    "trip": Fraction(1, 3),
    "let": Fraction(2, 3),
    "la": Fraction(1, 3),
    "li": Fraction(2, 3),
    "tripta": Fraction(1, 2),
    "letta": Fraction(5, 6),
    "lata": Fraction(1, 2),
    "lita": Fraction(5, 6),
}
_SIMPLE = ("", "e", "&", "a", "trip", "let", "ta", "letta")
_COMPOUND = ("", "la", "li", "ta", "lata", "lita", "e", "a")
_TA = Fraction(1, 6)
_PLACE = re.compile(r"(\d{0,2})(\+(\d{1,3})/([1-9]\d{0,2})|[a-z]*|&)")
_HINT = "count beats as 1 2, their parts as 1 e & a, 1 trip let or 1 la li, anything else as 2+3/8"


@dataclass(frozen=True, slots=True)
class Spoken:
    """The place said last, which the next syllable may lean on.

    Attributes:
        beat: The beat named last, or 0 where none was named.
        third: The third of that beat named last (0, 1/3, 2/3), which `ta` divides.
    """

    beat: int = 0
    third: Fraction = Fraction(0)


def parse_place(word: str, last: Spoken) -> tuple[Fraction, Spoken] | Fault:
    """Reads one word of counting.

    Args:
        word: Such as `2`, `2&`, `&`, `lata`, `2+3/8`.
        last: What was said before it in the bar.

    Returns:
        The beat as a number from 1 (`2&` is 5/2), and what was said; or what is wrong.
    """
    match = _PLACE.fullmatch(word)
    known = match is not None and (match[3] or match[2] == "ta" or match[2] in _SYLLABLES)
    if match is None or not known or (match[3] and not match[1]):
        return Fault(0, f"a place to count is expected, {word!r} found", _HINT)
    beat = int(match[1]) if match[1] else last.beat
    if beat == 0:
        return Fault(0, f"no beat is named before {word!r}", "name the beat in front: 1 & or 1&")
    third = Fraction(0) if match[1] else last.third
    if match[3]:
        part = Fraction(int(match[3]), int(match[4]))
    else:
        part = third + _TA if match[2] == "ta" else _SYLLABLES[match[2]]
    if part >= 1:
        return Fault(0, f"{word!r} is past its beat", "the fraction behind + is less than a beat")
    return beat + part, Spoken(beat, _third_below(part))


def say_place(place: Fraction, last: Spoken, *, compound: bool) -> tuple[str, Spoken]:
    """Writes a place of a bar, leaning on what was said before it where one would when speaking."""
    beat = int(place)
    part = place - beat
    number = "" if beat == last.beat and part else str(beat)
    said = Spoken(beat, _third_below(part))
    for syllable in _COMPOUND if compound else _SIMPLE:
        value = _TA if syllable == "ta" else _SYLLABLES[syllable]
        if value == part:
            return f"{number}{syllable}", said
    return f"{beat}+{part}", said


def name_place(place: Fraction, *, compound: bool) -> str:
    """Names a place of a bar for a message: `2`, `2&`."""
    return say_place(place, Spoken(), compound=compound)[0]


def _third_below(part: Fraction) -> Fraction:
    return Fraction(int(part * 3), 3)
