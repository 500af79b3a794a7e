"""Note lengths as ABC writes them."""

from __future__ import annotations

import re
from fractions import Fraction

from transposary.passage import Event

MAX_DIGITS = 3
"""Longer numbers are refused before they are computed with."""
MAX_SLASHES = 7
_LENGTH = re.compile(r"([0-9]*)(/*)([0-9]*)")
_LONGEST = Fraction(2)
_SHORTEST = Fraction(1, 128)


def parse_length(text: str) -> Fraction | None:
    """Reads a multiplier such as `3`, `/`, `//`, `/4` or `3/2`; None where it is none.

    Source: the ABC music standard 2.1, section 4.3 (`/` is short for `/2`, `//` for `/4`).
    """
    match = _LENGTH.fullmatch(text)
    if match is None:
        return None
    above, slashes, below = match.groups()
    if max(len(above), len(below)) > MAX_DIGITS or len(slashes) > (1 if below else MAX_SLASHES):
        return None
    numerator = int(above or 1)
    denominator = int(below) if below else 2 ** len(slashes)
    if numerator == 0 or denominator == 0:
        return None
    return Fraction(numerator, denominator)


def write_length(multiplier: Fraction) -> str:
    """Writes a multiplier so that `parse_length` reads it back."""
    above = str(multiplier.numerator) if multiplier.numerator != 1 else ""
    if multiplier.denominator == 1:
        return above
    return f"{above}/{multiplier.denominator if multiplier.denominator != 2 else ''}"


def written_length(event: Event) -> Fraction:
    """Gives the length that an event's sign shows, before its tuplet shortens it, in quarter notes."""
    tuplet = event.tuplet
    return event.duration if tuplet is None else event.duration * tuplet.actual / tuplet.normal


def is_printable(quarters: Fraction) -> bool:
    """Tells whether one note, with up to three dots, shows a length.

    From a 128th to a breve; the standard (4.3) leaves the look of any other length undefined.
    """
    whole = quarters / 4
    if not _SHORTEST <= whole < 2 * _LONGEST:
        return False
    odd = whole.numerator
    while odd % 2 == 0:
        odd //= 2
    return odd in (1, 3, 7, 15) and whole.denominator & (whole.denominator - 1) == 0


def split_length(quarters: Fraction, unit: Fraction) -> tuple[Fraction, Fraction] | None:
    """Splits a length that no single note shows into two that do, in units; None if none do."""
    power = Fraction(8)
    while power >= Fraction(1, 32):
        rest = quarters - power
        if rest > 0 and is_printable(power) and is_printable(rest):
            return power / unit, rest / unit
        power /= 2
    return None
