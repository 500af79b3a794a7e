"""What verovio set badly, moved within its drawing: words, numbers of bars, fingers."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from xml.etree.ElementTree import Element

SVG = "{http://www.w3.org/2000/svg}"
"""What the names of elements begin with."""

GROUP, PATH, TEXT = f"{SVG}g", f"{SVG}path", f"{SVG}text"
LINE = re.compile(r"M(-?\d+) (-?\d+) L(-?\d+) (-?\d+)")
"""A straight line."""

_TO_MIDDLE = 203
"""Units from where verovio begins a word under a note to the middle of the head."""

_WORD = 0.9
"""Size of a word under a note to verovio's, which sets words of sixteenths close."""

_LOWER = 60
"""Units that a word under a note moves down, where verovio lets it touch low heads."""

_OVER_STAFF = 80
"""Units between a bar's number and the staff."""

_OVER_BARLINE = 40
"""Units by which it reaches over its barline."""

_OVER_STEM = 40
"""Units between a finger and the end of a stem that verovio lets it touch."""

_BESIDE_STEM, _FINGER = 150, 250
"""Units from a finger's middle, and from its foot upwards, in which it would touch a stem."""

_UNDER_SYMBOL, _SYMBOL = 250, 700
"""Units that a finger stands below a chord symbol, and that most symbols are wide."""


def give_words_to_first(chord: Element) -> None:
    """Moves the words that verovio gives to a chord as a whole: they are its first note's."""
    first = next(child for child in chord if child.get("class") == "note")
    for verse in [child for child in chord if child.get("class") == "verse"]:
        chord.remove(verse)
        first.append(verse)


def column(chord: Element) -> int | None:
    """Finds where the words under a chord begin: with most of its heads, not with one pushed aside."""
    lefts = Counter(_units(text, "x") for verse in _of_class(chord, "verse") for text in verse.iter(TEXT))
    return min(lefts, key=lambda left: (-lefts[left], left), default=None)


def centre(verse: Element, left: int | None) -> None:
    """Sets a word, a little smaller, under the middle of its notehead; verovio begins it left of the head.

    Args:
        verse: The word.
        left: Where the words under its chord begin, or None for a note alone.
    """
    for text in verse.iter(TEXT):
        begin = _units(text, "x") if left is None else left
        text.set("x", str(begin + _TO_MIDDLE))
        text.set("y", str(_units(text, "y") + _LOWER))
        text.set("text-anchor", "middle")
        for span in text.iter():
            if (size := span.get("font-size", "0px")) != "0px":
                span.set("font-size", f"{round(_WORD * float(size.removesuffix('px')))}px")


def lower_number(measure: Element) -> None:
    """Sets the number of a bar close above its staff, where no chord symbol runs into it.

    It stands right of the barline, away from flags, or left of it where a signature follows.
    """
    groups = list(measure.iter(GROUP))
    top = next((int(y) for line in measure.iter(PATH) if (y := _level(line)) is not None), 0)
    signed = any(group.get("class") == "keySig" for group in groups)
    for group in groups:
        if group.get("class", "").startswith("mNum"):
            for text in group.iter(TEXT):
                text.set("y", str(top - _OVER_STAFF))
                if (barline := text.get("x", "0")) != "0":
                    over = _OVER_BARLINE if signed else -_OVER_BARLINE
                    text.set("x", str(int(barline) + over))
                    text.set("text-anchor", "end" if signed else "start")


def lift_fingers(measure: Element) -> None:
    """Sets fingers above the ends of the stems that they would touch, if no chord symbol stands there."""
    texts = [text for finger in _of_class(measure, "fing") for text in finger]
    if not texts:
        return
    drawn = [path.get("d", "") for stem in _of_class(measure, "stem") for path in stem]
    lines = [tuple(map(int, line.groups())) for one in drawn if (line := LINE.fullmatch(one)) is not None]
    symbols = [
        (_units(text, "x"), _units(text, "y"))
        for one in _of_class(measure, "harm")
        for text in one.iter(TEXT)
    ]
    for text in texts:
        x, y = _units(text, "x"), _units(text, "y")
        lowest = [foot for left, foot in symbols if -_BESIDE_STEM < x - left < _SYMBOL]
        ends = [min(one[1], one[3]) - _OVER_STEM for one in lines if abs(one[0] - x) < _BESIDE_STEM]
        lifted = min([y, *(end for end in ends if 0 < y - end < _FINGER)])
        text.set("y", str(min(y, max([lifted, *(foot + _UNDER_SYMBOL for foot in lowest)]))))


def _of_class(element: Element, kind: str) -> Iterator[Element]:
    return (group for group in element.iter(GROUP) if group.get("class") == kind)


def _level(line: Element) -> str | None:
    match = LINE.fullmatch(line.get("d", ""))
    return None if match is None else match[2]


def _units(text: Element, name: str) -> int:
    try:
        return int(text.get(name, ""))
    except ValueError as error:
        raise ValueError("verovio placed a text in an unknown way") from error
