"""Intervals in words: `minor third`, `perfect fifth`, `augmented fourth`."""

from __future__ import annotations

from transposary.pitch import Interval

_NUMBERS = (
    *("unison", "second", "third", "fourth", "fifth", "sixth", "seventh", "octave"),
    *("ninth", "tenth", "eleventh", "twelfth", "thirteenth", "fourteenth", "double octave"),
)
_QUALITIES = {"P": "perfect", "M": "major", "m": "minor", "A": "augmented", "d": "diminished"}
_TIMES = ("", "", "doubly ", "triply ")


def name_interval(interval: Interval) -> str:
    """Names an interval in words, without its direction."""
    text = str(interval).removeprefix("-")
    letters = text.rstrip("0123456789")
    number = int(text[len(letters) :])
    name = _NUMBERS[number - 1] if number <= len(_NUMBERS) else f"{number}th"
    if letters == "P" and name in ("unison", "octave", "double octave"):
        return name
    times = _TIMES[len(letters)] if len(letters) < len(_TIMES) else f"{len(letters)} times "
    return f"{times}{_QUALITIES[letters[0]]} {name}"
