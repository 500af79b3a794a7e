"""The header of a tune: the fields up to and including `K:`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

from transposary.passage import Clef, Key, Meter
from transposary.problems import Fault
from transposary.reading.abc.fields import (
    INFORMATIVE,
    default_unit,
    parse_key_field,
    parse_meter_field,
    parse_unit_field,
    parse_voice_field,
)
from transposary.reading.abc.findings import SYNTAX, Findings
from transposary.reading.abc.groups import Cursor
from transposary.reading.abc.tokens import Kind, Token

_Value = TypeVar("_Value")
_MENDING = {
    "Q": "the tempo stands in the front matter: tempo: 92",
    "w": "the reader takes no lyrics; leave the line out",
    "W": "the reader takes no lyrics; leave the line out",
    "P": "write the passage out in the order in which it is played",
    "s": "write the symbols before their notes",
    "U": "write the decoration itself before each note",
    "m": "write the notes out",
    "+": "write the field on one line",
}


@dataclass(frozen=True, slots=True)
class Header:
    """What the header says.

    Attributes:
        key: The key, None where it could not be read.
        meter: The time signature, None where it could not be read.
        unit: Unit note length in quarter notes, None where it could not be read.
        clef: Clef given in `K:`, or None.
        voices: Voices declared, with their clefs.
    """

    key: Key | None
    meter: Meter | None
    unit: Fraction | None
    clef: Clef | None
    voices: dict[str, Clef | None]


def refuse_field(token: Token, findings: Findings) -> None:
    """Notes that a field is no part of the subset."""
    letter = token.text.lstrip("[")[0]
    hint = _MENDING.get(letter, "leave it out; the fields that say something are M:, L:, K: and V:")
    findings.add(token.offset, SYNTAX, f"the field {letter}: is not read", hint)


def refuse_directive(token: Token, findings: Findings) -> None:
    """Notes that a `%%` line, which instructs a typesetting program, is no part of the subset."""
    name = token.text.split(maxsplit=1)[0]
    findings.add(token.offset, SYNTAX, f"the instruction {name} is not read", "leave it out")


def read_header(cursor: Cursor, findings: Findings) -> Header:
    """Reads the fields up to `K:` and leaves the cursor behind it."""
    fields = _take_fields(cursor, findings)
    meter = _only(fields, "M", parse_meter_field, "give the meter, such as M: 4/4", findings)
    key = _only(fields, "K", parse_key_field, "give the key, such as K: G", findings)
    unit = default_unit(meter) if meter is not None else None
    if any(token.text[0] == "L" for token in fields):
        unit = _only(fields, "L", parse_unit_field, "", findings)
    voices: dict[str, Clef | None] = {}
    for token in fields:
        voice = None
        if token.text[0] == "V":
            voice = good_or_noted(parse_voice_field(token.text[2:]), token.offset + 2, findings)
        if voice is not None:
            voices[voice.name] = voice.clef
    if key is not None and key.key is None:
        at = next(token.offset for token in fields if token.text[0] == "K")
        findings.add(at, SYNTAX, "K: gives a clef but no key", "give the key too, such as K: G clef=bass")
    if key is None:
        return Header(None, meter, unit, None, voices)
    return Header(key.key, meter, unit, key.clef, voices)


def _take_fields(cursor: Cursor, findings: Findings) -> list[Token]:
    """Takes the fields up to `K:`, or up to the first music where there is no `K:`."""
    fields: list[Token] = []
    while (token := cursor.peek()) is not None:
        if token.kind is Kind.DIRECTIVE:
            refuse_directive(token, findings)
        elif token.kind is Kind.FIELD:
            letter = token.text[0]
            if letter in "MLKV":
                fields.append(token)
            elif letter not in INFORMATIVE:
                refuse_field(token, findings)
        elif token.kind not in (Kind.NEWLINE, Kind.SPACE):
            break
        cursor.take()
        if fields and fields[-1].text[0] == "K":
            break
    return fields


def _only(
    fields: list[Token],
    letter: str,
    parse: Callable[[str], _Value | Fault],
    hint: str,
    findings: Findings,
) -> _Value | None:
    tokens = [token for token in fields if token.text[0] == letter]
    if not tokens:
        findings.add(0, SYNTAX, f"the header has no {letter}:", hint)
        return None
    if len(tokens) > 1:
        findings.add(tokens[1].offset, SYNTAX, f"the header has two {letter}: fields", "leave one")
    return good_or_noted(parse(tokens[0].text[2:]), tokens[0].offset + 2, findings)


def good_or_noted(value: _Value | Fault, at: int, findings: Findings) -> _Value | None:
    """Gives a parsed value, or notes the problem and gives None."""
    if isinstance(value, Fault):
        findings.add_fault(at, SYNTAX, value)
        return None
    return value
