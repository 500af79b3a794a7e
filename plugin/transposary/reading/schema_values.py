"""The kinds of values that fields take: strict, with positions, in words of our own.

Each is a type for the models of `schema`: it takes the scalars of the tree as they were
written, so that YAML's guesses (`no`, `1:30`, a `#` that starts a comment) are seen and
refused, and gives texts that still know where they stood.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Annotated, TypeVar

from pydantic import PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from transposary.problems import Place, SourceText
from transposary.reading.nearest import nearest
from transposary.reading.tree import Looks, Scalar, Unread, quoted

_EMPTY = "fill it in, or take the line out"
_FEW_DIGITS = re.compile(r"[0-9]{1,9}")

TROUBLE = "trouble"
"""Type of the errors that these validators raise; their context holds a `Trouble`."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """What is wrong with one value.

    Attributes:
        text: What was expected and what was found; empty where it has been reported already.
        offer: The value to write instead, as it stands behind the colon, or empty.
        hint: How to mend it where no value can be offered.
        place: Where, if not where the value begins.
    """

    text: str
    offer: str = ""
    hint: str = ""
    place: Place | None = None


def _raise(trouble: Trouble) -> PydanticCustomError:
    return PydanticCustomError(TROUBLE, "see the trouble", {TROUBLE: trouble})


def found(value: object) -> str:
    """Says what stands in the place of a value."""
    match value:
        case Scalar():
            return f"found {_called(value)}"
        case list():
            return "found a list"
        case _:
            return "found several fields"


def _called(scalar: Scalar) -> str:
    text = scalar.source.value
    match scalar.looks:
        case Looks.NOTHING:
            return "nothing"
        case Looks.TEXT:
            return f"`{_short(text)}`" if text.strip() else "nothing"
        case Looks.WHOLE if text.isdigit():
            return f"the number {_short(text)}"
        case Looks.WHOLE if ":" in text:
            return f"`{_short(text)}`, which YAML reads as a number counted in sixties"
        case _:
            return f"`{_short(text)}`, which YAML reads as {scalar.looks.value}"


def _short(text: str) -> str:
    flat = " ".join(text.split())
    return flat if len(flat) <= 40 else f"{flat[:38]}…"


def _scalar(value: object, expected: str) -> Scalar:
    match value:
        case Scalar(looks=Looks.NOTHING, comment=None):
            raise _raise(Trouble(f"expected {expected}, found nothing", "", _EMPTY))
        case Scalar():
            return value
        case Unread():
            raise _raise(Trouble(""))
        case _:
            raise _raise(Trouble(f"expected {expected}, {found(value)}"))


def _text_reader(expected: str, *, strict: bool, numbers: bool = False) -> Callable[[object], SourceText]:
    """Makes a reader of texts.

    Args:
        expected: What the field wants, for messages.
        strict: Whether any comment behind an unquoted text is suspicious, not only one
            that begins like `#4`.
        numbers: Whether an unquoted whole number will do.
    """

    def read(value: object) -> SourceText:
        scalar = _scalar(value, expected)
        source, comment = scalar.source, scalar.comment
        if comment and (strict or comment.value[1:2].strip()):
            whole = quoted(f"{source.value} {comment.value}".strip())
            text = f"YAML drops `{_short(comment.value)}` as a comment; a text with ` #` wants quotes"
            raise _raise(Trouble(text, whole, _not_meant(comment.value), comment.start))
        if scalar.looks is Looks.NOTHING or not source.value.strip():
            raise _raise(Trouble(f"expected {expected}, found nothing", "", _EMPTY))
        if scalar.looks is not Looks.TEXT and not (numbers and source.value.isdigit()):
            raise _raise(Trouble(f"expected {expected}, {found(scalar)}", quoted(source.value)))
        return source

    return read


def _not_meant(comment: str) -> str:
    """Says what to do with a real comment; what begins like `#4` is none."""
    return "put a comment on a line of its own" if comment.startswith("# ") else ""


def _number_reader(low: int, high: int) -> Callable[[object], int]:
    expected = f"a whole number from {low} to {high}"

    def read(value: object) -> int:
        scalar = _scalar(value, expected)
        bare, _, unit = scalar.source.value.strip().partition(" ")
        fits = _FEW_DIGITS.fullmatch(bare) is not None and low <= int(bare) <= high
        if fits and scalar.looks is Looks.WHOLE:
            return int(bare)
        what = f"{expected} without quotation marks" if fits and not unit else expected
        raise _raise(Trouble(f"expected {what}, {found(scalar)}", str(int(bare)) if fits else ""))

    return read


_Word = TypeVar("_Word", bound=StrEnum)


def _word_reader(words: type[_Word]) -> Callable[[object], _Word]:
    known = [word.value for word in words]
    expected = f"one of {', '.join(known)}" if len(known) > 1 else known[0]

    def read(value: object) -> _Word:
        scalar = _scalar(value, expected)
        text = scalar.source.value
        if text in known and scalar.looks is Looks.TEXT:
            return words(text)
        near = nearest(text, known)
        raise _raise(Trouble(f"expected {expected}, {found(scalar)}", near or ""))

    return read


def _read_date(value: object) -> date:
    expected = "a date such as 2026-03-14"
    scalar = _scalar(value, expected)
    try:
        return date.fromisoformat(scalar.source.value)
    except ValueError:
        # YAML takes any digits in this order for a date, also those of a day that never was.
        text = f"found `{_short(scalar.source.value)}`" if scalar.looks is Looks.DATE else found(scalar)
        raise _raise(Trouble(f"expected {expected}, {text}")) from None


def _read_link(value: object) -> SourceText:
    source = _text_reader("a link", strict=False)(value)
    if source.value.startswith(("https://", "http://")) and not any(c.isspace() for c in source.value):
        return source
    raise _raise(Trouble(f"expected a link that begins with https://, found `{_short(source.value)}`"))


def as_list(value: object) -> object:
    """Takes one value for a list of one."""
    return [value] if isinstance(value, Scalar) else value


_STRING = WithJsonSchema({"type": "string", "minLength": 1})
_STRING_OR_NUMBER = WithJsonSchema({"type": ["string", "integer"]})

Text = Annotated[SourceText, PlainValidator(_text_reader("a text", strict=True)), _STRING]
"""Free text; any unquoted ` #` in it is refused."""

Word = Annotated[SourceText, PlainValidator(_text_reader("a text", strict=False)), _STRING]
"""A name or a formula short enough that a comment behind it is one."""

ClaimText = Annotated[
    SourceText, PlainValidator(_text_reader("a claim in quotation marks", strict=True)), _STRING
]
"""What the author says about the notes."""

BarsText = Annotated[
    SourceText,
    PlainValidator(_text_reader("bars such as 5-6", strict=False, numbers=True)),
    _STRING_OR_NUMBER,
]
"""Bars, or a single bar."""

DegreesText = Annotated[
    SourceText,
    PlainValidator(_text_reader("degrees in quotation marks", strict=True, numbers=True)),
    _STRING_OR_NUMBER,
]
"""Degrees; one without accidental needs no quotation marks."""

Date = Annotated[date, PlainValidator(_read_date), WithJsonSchema({"type": "string", "format": "date"})]
Link = Annotated[SourceText, PlainValidator(_read_link), WithJsonSchema({"type": "string", "format": "uri"})]


def whole_number(low: int, high: int) -> tuple[PlainValidator, WithJsonSchema]:
    """Gives what makes an `int` of a model a whole number between two others."""
    schema = {"type": "integer", "minimum": low, "maximum": high}
    return PlainValidator(_number_reader(low, high)), WithJsonSchema(schema)


def one_of(words: type[StrEnum]) -> tuple[PlainValidator, WithJsonSchema]:
    """Gives what makes a field of a model one word of an enumeration."""
    return PlainValidator(_word_reader(words)), WithJsonSchema({"enum": [word.value for word in words]})
