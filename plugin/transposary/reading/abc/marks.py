"""What stands around notes: decorations, chord symbols, tuplet signs and barlines.

Each function takes the text of one token and returns what it means, or a `Fault` with the
offset within it. Sources: the ABC music standard 2.1, sections 4.8 to 4.10, 4.13, 4.14,
4.18 and 4.19; `!ghost!` is our own.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from enum import Enum, auto

from transposary.passage import Chord
from transposary.problems import Fault
from transposary.reading.abc.elements import Barline, WrittenTuplet
from transposary.reading.abc.findings import cut
from transposary.theory.chords import is_no_chord, parse_chord


class Mark(Enum):
    """The decorations of the subset that are no fingering."""

    ACCENT = auto()
    GHOST = auto()


_DECORATIONS: dict[str, Mark | int] = {
    ">": Mark.ACCENT,
    "accent": Mark.ACCENT,
    "emphasis": Mark.ACCENT,
    "ghost": Mark.GHOST,
    **{str(finger): finger for finger in range(1, 6)},
}
_DECORATION_HINT = "the decorations are !accent!, !ghost!, !1! to !5! and a dot for staccato"


def parse_decoration(text: str) -> Mark | int | Fault:
    """Reads `!accent!`, `!ghost!` or a fingering `!1!` to `!5!`."""
    name = text.strip("!")
    found = _DECORATIONS.get(name)
    if found is not None:
        return found
    near = difflib.get_close_matches(name, _DECORATIONS, n=1)
    hint = f"did you mean !{near[0]}!?" if near else f"leave it out; {_DECORATION_HINT}"
    return Fault(0, f"the decoration {cut(text)} is not read", hint)


@dataclass(frozen=True, slots=True)
class NoChord:
    """The symbol `N.C.`."""


def parse_symbol(text: str) -> Chord | NoChord | Fault:
    """Reads a quoted chord symbol or `N.C.`; annotations are refused."""
    name = text[1:-1]
    if not name.strip():
        return Fault(0, "the quotes hold no chord symbol", "write a chord symbol, or leave the quotes out")
    if name[0] in "^_<>@":
        return Fault(
            1, f"the annotation {cut(text)} is not read", "put it into the prose; quotes hold chord symbols"
        )
    if is_no_chord(name):
        return NoChord()
    chord = parse_chord(name)
    if isinstance(chord, Fault):
        return Fault(
            chord.offset + 1, chord.text, chord.hint or "quotes hold chord symbols; put words into the prose"
        )
    return chord


_TUPLET = re.compile(r"\(([0-9]+)(?::([0-9]*))?(?::([0-9]*))?")


def parse_tuplet(text: str, offset: int) -> WrittenTuplet | Fault:
    """Reads `(3`, `(3:2`, `(3:2:2`, `(3::2`."""
    match = _TUPLET.fullmatch(text)
    actual, normal, count = (
        (int(match[1]), int(match[2] or 0), int(match[3] or 0))
        if match is not None and max(len(group or "") for group in match.groups()) < 3
        else (0, 0, 0)
    )
    if not 2 <= actual <= 9 or normal > 16 or count > 32:
        return Fault(
            0,
            f"the tuplet {cut(text)} is not read",
            "write (2 to (9, or (p:q:r with up to 9 notes in the time of q",
        )
    return WrittenTuplet(actual, normal or None, count or None, offset)


# Section 4.8: `::` is short for `:|` and `|:`; thick and thin lines are not told apart.
_BARLINES: dict[str, dict[str, bool]] = {
    "|": {},
    "||": {"double": True},
    "|]": {"double": True},
    "[|": {"double": True},
    "|:": {"repeat_begun": True},
    "||:": {"repeat_begun": True, "double": True},
    "[|:": {"repeat_begun": True, "double": True},
    ":|": {"repeat_ended": True},
    ":||": {"repeat_ended": True},
    ":|]": {"repeat_ended": True},
    "::": {"repeat_ended": True, "repeat_begun": True},
    ":|:": {"repeat_ended": True, "repeat_begun": True},
    ":||:": {"repeat_ended": True, "repeat_begun": True},
    ":|||:": {"repeat_ended": True, "repeat_begun": True},
}
_BAR = re.compile(r"(.*?)(?:\[?([0-9][0-9,-]*))?")


def parse_barline(text: str, offset: int) -> Barline | Fault:
    """Reads a barline, with the number of an ending behind it, or `[1` and `[2` alone."""
    match = _BAR.fullmatch(text)
    line, ending = (match[1], match[2] or "") if match is not None else (text, "")
    if ending not in ("", "1", "2"):
        return Fault(
            len(line), f"the ending {cut(ending)} is not read", "write first and second endings: [1 and [2"
        )
    if not line and ending:
        return Barline(offset, text, closes=False, ending=ending)
    flags = _BARLINES.get(line)
    if flags is None:
        return Fault(0, f"the barline {cut(line)} is not read", "the barlines are | || |] |: :| and ::")
    return Barline(offset, text, ending=ending, **flags)
