"""Note heads, chords and grace notes: the parts of the music that contain notes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from transposary.pitch import LETTERS
from transposary.problems import Fault
from transposary.reading.abc.elements import GraceTones, Tone, WrittenSymbol, WrittenTuplet
from transposary.reading.abc.findings import SYNTAX, Findings, cut
from transposary.reading.abc.lengths import parse_length
from transposary.reading.abc.marks import Mark, parse_decoration
from transposary.reading.abc.tokens import Kind, Token

GRACE_UNIT = Fraction(1, 2)
"""Written length of a grace note without a number, in quarter notes: an eighth.

The standard (4.12) leaves it to the software.
"""
_NOTE = re.compile(r"(\^\^?|__?|=)?([A-Ga-g])([,']*)(.*)")
_ACCIDENTALS = {"^^": 2, "^": 1, "=": 0, "_": -1, "__": -2}
_CHORD_ENDS = (Kind.NEWLINE, Kind.BAR, Kind.FIELD, Kind.INLINE, Kind.CHORD_OPEN, Kind.GRACE_OPEN)
_GRACE_ENDS = (Kind.NEWLINE, Kind.BAR, Kind.FIELD, Kind.INLINE, Kind.GRACE_OPEN)


class Cursor:
    """A place in a sequence of tokens."""

    def __init__(self, tokens: Sequence[Token]) -> None:
        self._tokens = tokens
        self._index = 0

    def peek(self) -> Token | None:
        """Gives the next token without taking it; None at the end."""
        return self._tokens[self._index] if self._index < len(self._tokens) else None

    def take(self) -> Token | None:
        """Takes the next token; None at the end."""
        token = self.peek()
        self._index += 1
        return token


@dataclass(slots=True)
class Marks:
    """What was written before a note and still waits for it."""

    offset: int | None = None
    graces: list[GraceTones] = field(default_factory=list)
    symbol: WrittenSymbol | None = None
    staccato: bool = False
    accent: bool = False
    ghost: bool = False
    fingers: list[int] = field(default_factory=list)
    slurs: int = 0
    tuplet: WrittenTuplet | None = None

    def wait(self, offset: int) -> None:
        """Remembers where the first waiting mark stands."""
        if self.offset is None:
            self.offset = offset

    def decorate(self, decoration: Mark | int) -> None:
        """Takes in a decoration."""
        if decoration is Mark.ACCENT:
            self.accent = True
        elif decoration is Mark.GHOST:
            self.ghost = True
        elif isinstance(decoration, int):
            self.fingers.append(decoration)


def read_tone(token: Token, findings: Findings) -> tuple[Tone, Fraction | None]:
    """Reads a note token into its head and its length; the length is None where unreadable."""
    match = _NOTE.fullmatch(token.text)
    if match is None:
        raise ValueError(f"not a note token: {token.text!r}")
    sign, letter, marks, length = match.groups()
    octave = (5 if letter.islower() else 4) + marks.count("'") - marks.count(",")
    tone = Tone(7 * octave + LETTERS.index(letter.upper()), _ACCIDENTALS.get(sign), token.offset)
    # Moved by a tritone, octave 9 would leave what MIDI can say.
    if not 0 <= octave <= 8:
        findings.add(
            token.offset,
            SYNTAX,
            f"{cut(token.text)} lies outside the octaves 0 to 8",
            "take octave marks away",
        )
        return tone, None
    return tone, read_length(length, token.offset + match.start(4), findings)


def read_length(text: str, offset: int, findings: Findings) -> Fraction | None:
    """Reads a length multiplier and notes a problem where it is none."""
    length = parse_length(text)
    if length is None:
        findings.add(
            offset, SYNTAX, f"the length {cut(text)} is not read", "write lengths as 2, /, //, /4 or 3/2"
        )
    return length


def read_chord(
    opening: Token, cursor: Cursor, findings: Findings
) -> tuple[tuple[Tone, ...], Fraction] | None:
    """Reads a chord behind its bracket: the heads and the length; None where unreadable."""
    tones: list[Tone] = []
    lengths: list[Fraction] = []
    marks = Marks()
    readable = True
    while (token := cursor.peek()) is not None and token.kind not in _CHORD_ENDS:
        cursor.take()
        if token.kind is Kind.CHORD_CLOSE:
            outer = read_length(token.text[1:], token.offset + 1, findings)
            if outer is None or not readable or not _is_whole(tones, lengths, marks, opening, findings):
                return None
            return tuple(tones), lengths[0] * outer
        if token.kind is Kind.NOTE:
            tone, length = read_tone(token, findings)
            tones.append(_marked(tone, marks, findings))
            lengths.append(length or Fraction(1))
            marks = Marks()
            readable = readable and length is not None
        elif token.kind is Kind.TIE and tones:
            tones[-1] = replace(tones[-1], tied=True)
        elif token.kind is Kind.DECORATION:
            readable = _decorate_head(token, marks, findings) and readable
        elif token.kind is not Kind.SPACE and readable:
            findings.add(
                token.offset, SYNTAX, f"{cut(token.text)} does not belong inside a chord", _chord_hint(token)
            )
            readable = False
    findings.add(opening.offset, SYNTAX, "the chord is not closed", "write ] behind its last note")
    return None


def _chord_hint(token: Token) -> str:
    if token.kind in (Kind.STACCATO, Kind.STRING, Kind.SLUR_OPEN, Kind.TUPLET):
        return "put it before the ["
    if token.kind is Kind.SLUR_CLOSE:
        return "put it behind the ]"
    return "a chord holds notes, ties, fingerings and !ghost!"


def _is_whole(
    tones: list[Tone], lengths: list[Fraction], marks: Marks, opening: Token, findings: Findings
) -> bool:
    if not tones:
        findings.add(opening.offset, SYNTAX, "the chord holds no note", "write notes between [ and ]")
        return False
    if marks.offset is not None:
        findings.add(
            marks.offset, SYNTAX, "no note follows this decoration in the chord", "move it before its note"
        )
        return False
    if len(set(lengths)) > 1:
        findings.add(
            opening.offset,
            SYNTAX,
            "the notes of the chord have different lengths",
            "give them one length, behind the ], or write the held note in a second voice",
        )
        return False
    return True


def _decorate_head(token: Token, marks: Marks, findings: Findings) -> bool:
    decoration = parse_decoration(token.text)
    if decoration is Mark.ACCENT:
        decoration = Fault(0, f"{cut(token.text)} does not belong inside a chord", "put it before the [")
    if isinstance(decoration, Fault):
        findings.add_fault(token.offset, SYNTAX, decoration)
        return False
    marks.wait(token.offset)
    marks.decorate(decoration)
    return True


def _marked(tone: Tone, marks: Marks, findings: Findings) -> Tone:
    if len(marks.fingers) > 1:
        findings.add(
            tone.offset, SYNTAX, f"{len(marks.fingers)} fingerings stand before one note", "leave one"
        )
    return replace(tone, finger=marks.fingers[0] if marks.fingers else None, ghost=marks.ghost)


def read_graces(opening: Token, cursor: Cursor, findings: Findings) -> tuple[GraceTones, ...] | None:
    """Reads grace notes behind their brace; None where unreadable."""
    slashed = opening.text == "{/"
    graces: list[GraceTones] = []
    marks = Marks()
    readable = True
    while (token := cursor.peek()) is not None and token.kind not in _GRACE_ENDS:
        cursor.take()
        if token.kind is Kind.GRACE_CLOSE:
            if readable and not graces:
                findings.add(
                    opening.offset, SYNTAX, "the braces hold no grace note", "write notes between { and }"
                )
            return tuple(graces) if readable and graces else None
        group: tuple[tuple[Tone, ...], Fraction] | None = None
        if token.kind is Kind.NOTE:
            tone, length = read_tone(token, findings)
            group = None if length is None else ((_marked(tone, marks, findings),), length)
        elif token.kind is Kind.CHORD_OPEN:
            group = read_chord(token, cursor, findings)
        elif token.kind is Kind.DECORATION:
            readable = _decorate_head(token, marks, findings) and readable
            continue
        elif token.kind is Kind.SPACE:
            continue
        elif readable:
            findings.add(
                token.offset, SYNTAX, f"{cut(token.text)} does not belong among grace notes", "leave it out"
            )
        marks = Marks()
        readable = readable and group is not None
        if group is not None:
            graces.append(GraceTones(group[0], slashed, group[1] * GRACE_UNIT))
    findings.add(opening.offset, SYNTAX, "the grace notes are not closed", "write } behind the last of them")
    return None
