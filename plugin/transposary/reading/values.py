"""Short values of fields, from their texts: meter, feel, range, bars."""

from __future__ import annotations

import re

from transposary.glossary import BarRange
from transposary.passage import Feel, FeelKind, Meter
from transposary.pitch import Pitch
from transposary.problems import Fault
from transposary.theory.numerals import Numeral, parse_numeral

_METER = re.compile(r"([1-9]\d?)\s*/\s*(1|2|4|8|16|32)")
_SIGNS = {"C": Meter(4, 4, "C"), "C|": Meter(2, 2, "C|")}
_FEEL = re.compile(r"([A-Za-z]+)(?:\s+(8|16))?")
_RANGE = re.compile(r"\s*(\S+?)\s*[-–—]\s*(\S+)\s*")
_BARS = re.compile(r"(?P<first>\d{1,4})(?:\s*[-–—]\s*(?P<last>\d{1,4}))?")
_SECTION_BARS = re.compile(rf"(?P<section>.*\S)\s+{_BARS.pattern}")


def parse_meter(text: str) -> Meter | Fault:
    """Reads a time signature: `4/4`, `12/8`, `C`, `C|`."""
    match = _METER.fullmatch(text)
    if match:
        return Meter(int(match[1]), int(match[2]))
    sign = _SIGNS.get(text)
    return sign or Fault(0, f"expected a meter such as 4/4 or 12/8, found `{text}`")


def parse_feel(text: str) -> Feel | Fault:
    """Reads how off-beats are played: `straight`, `swing`, `swing 16`, `shuffle`."""
    match = _FEEL.fullmatch(text)
    if match and match[1].lower() in tuple(FeelKind):
        return Feel(FeelKind(match[1].lower()), int(match[2] or 8))
    kinds = ", ".join(FeelKind)
    return Fault(0, f"expected one of {kinds}, with 16 behind it for swung sixteenths, found `{text}`")


def parse_range(text: str) -> tuple[Pitch, Pitch] | Fault:
    """Reads a lowest and a highest pitch: `E1-C4`; middle C is C4."""
    match = _RANGE.fullmatch(text)
    expected = "expected a lowest and a highest pitch such as E1-C4"
    if match is None:
        return Fault(0, f"{expected}, found `{text}`", "middle C is C4")
    pitches = []
    for group in (1, 2):
        try:
            pitches.append(Pitch.parse(match[group]))
        except ValueError:
            return Fault(match.start(group), f"{expected}, found `{match[group]}`", "middle C is C4")
    low, high = pitches
    if low.midi >= high.midi:
        return Fault(0, f"{expected}, found {low} above {high}", f"write {high}-{low}")
    return low, high


def parse_bars(text: str) -> BarRange | Fault:
    """Reads bars of a song: `5-6`, `7`, or `B 3-4` for those of a section."""
    match = _BARS.fullmatch(text.strip())
    section = None
    if match is None:
        match = _SECTION_BARS.fullmatch(text.strip())
        section = match["section"] if match else None
    if match is None:
        return Fault(0, f"expected bars such as 5-6, or B 3-4 for those of a section, found `{text}`")
    first = int(match["first"])
    last = int(match["last"] or first)
    if last < first:
        return Fault(0, f"the last bar stands before the first, found `{text}`", f"write {last}-{first}")
    return BarRange(first, last, section)


def parse_over(text: str) -> tuple[Numeral, ...] | Fault:
    """Reads what a chart shows where a device can be played: Roman numerals, bars parted by `|`."""
    numerals = []
    for match in re.finditer(r"[^\s|]+", text):
        numeral = parse_numeral(match[0])
        if isinstance(numeral, Fault):
            return Fault(match.start() + numeral.offset, numeral.text, numeral.hint)
        numerals.append(numeral)
    return tuple(numerals) or Fault(0, f"expected Roman numerals such as I | IV, found `{text}`")
