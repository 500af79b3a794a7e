"""The information fields that the reader understands: `K:`, `M:`, `L:` and `V:`.

Source: the ABC music standard 2.1, sections 3.1.6 (M:), 3.1.7 (L:), 3.1.14 (K:), 4.6
(clefs) and 7 (V:). Each function takes the value behind the colon and returns what it
means, or a `Fault` with the offset within the value.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from transposary.passage import Clef, Key, Meter, Mode
from transposary.pitch import NoteName
from transposary.problems import Fault
from transposary.reading.abc.findings import cut

VOICE_NAMES = ("RH", "RH2", "LH", "LH2")
INFORMATIVE = frozenset("XTCORZNSBDFGHAr")
"""Fields that carry no notes; read past."""
MAX_COUNT = 32
"""Largest upper number of a meter."""

_MODES = {
    "maj": Mode.MAJOR,
    "ion": Mode.MAJOR,
    "min": Mode.MINOR,
    "aeo": Mode.MINOR,
    "dor": Mode.DORIAN,
    "phr": Mode.PHRYGIAN,
    "lyd": Mode.LYDIAN,
    "mix": Mode.MIXOLYDIAN,
    "loc": Mode.LOCRIAN,
}
_TONIC = re.compile(r"([A-G][#b♯♭]?)([A-Za-z]*)")
_WORD = re.compile(r"\S+")
_METER = re.compile(r"([0-9]{1,3})/([0-9]{1,3})")
_LENGTH = re.compile(r"([0-9]{1,3})(?:/([0-9]{1,3}))?")
_KEY_HINT = "write a tonic and a mode, such as K: G, K: Am, K: D dorian, and clef=bass if it is meant"
_CLEF_HINT = "the clefs are treble, bass, alto and tenor; write octaves with , and '"


@dataclass(frozen=True, slots=True)
class KeyField:
    """What a `K:` field says; None for what it leaves as it is."""

    key: Key | None
    clef: Clef | None


@dataclass(frozen=True, slots=True)
class VoiceField:
    """What a `V:` field says."""

    name: str
    clef: Clef | None


def parse_key_field(value: str) -> KeyField | Fault:
    """Reads the value of `K:`: a tonic, a mode and a clef, or a clef alone."""
    words = [(match[0], match.start()) for match in _WORD.finditer(value)]
    if not words:
        return Fault(0, "K: names no key", _KEY_HINT)
    key: Key | None = None
    clef: Clef | None = None
    first = _TONIC.fullmatch(words[0][0])
    if first is not None:
        name, attached = first.groups()
        del words[0]
        mode: Mode | Fault = Mode.MAJOR
        if attached:
            mode = _parse_mode(attached, first.start(2), name)
        elif words and "=" not in words[0][0] and words[0][0].lower() not in (*Clef, "clef"):
            mode = _parse_mode(*words.pop(0), name)
        if isinstance(mode, Fault):
            return mode
        key = Key(NoteName.parse(name), mode)
        if abs(key.signature) > 7:
            return Fault(0, f"{key} would need {abs(key.signature)} accidentals", "use the enharmonic key")
    for word, offset in words:
        found = _parse_clef(word, offset)
        if isinstance(found, Fault):
            return found
        clef = found
    return KeyField(key, clef)


def _parse_mode(word: str, offset: int, tonic: str) -> Mode | Fault:
    if word == "m":
        return Mode.MINOR
    if word == "M":
        # Section 3.1.14 ignores capitals, which makes it minor; musicians write M for major.
        return Fault(offset, f"{tonic}M can mean major or minor", f"write K: {tonic} or K: {tonic}m")
    mode = _MODES.get(word.lower()[:3])
    if mode is None:
        return Fault(
            offset,
            f"expected a mode, found {cut(word)}",
            "the modes are major, minor, dorian, phrygian, lydian, mixolydian and locrian",
        )
    return mode


def _parse_clef(word: str, offset: int) -> Clef | Fault:
    name = word.removeprefix("clef=")
    if name in tuple(Clef):
        return Clef(name)
    if word in ("none", "HP", "Hp"):
        return Fault(offset, f"K: {word} gives no tonic to count from", _KEY_HINT)
    if word.startswith(("clef=", *Clef)):
        return Fault(offset, f"the clef {cut(name)} is not read", _CLEF_HINT)
    return Fault(offset, f"expected a key or a clef, found {cut(word)}", _KEY_HINT)


def parse_meter_field(value: str) -> Meter | Fault:
    """Reads the value of `M:`: `4/4`, `12/8`, `C`, `C|`."""
    text = value.strip()
    at = len(value) - len(value.lstrip())
    if text == "C":
        return Meter(4, 4, "C")
    if text == "C|":
        return Meter(2, 2, "C|")
    match = _METER.fullmatch(text)
    if match is None:
        return Fault(
            at,
            f"expected a meter, found {cut(text) or 'nothing'}",
            "write it as M: 4/4, M: 12/8, M: C or M: C|",
        )
    count, unit = int(match[1]), int(match[2])
    if not 1 <= count <= MAX_COUNT or unit not in (1, 2, 4, 8, 16, 32):
        return Fault(at, f"no meter has the form {text}", f"1 to {MAX_COUNT} over 1, 2, 4, 8, 16 or 32")
    return Meter(count, unit)


def parse_unit_field(value: str) -> Fraction | Fault:
    """Reads the value of `L:` and gives the unit note length in quarter notes."""
    text = value.strip()
    match = _LENGTH.fullmatch(text)
    count, unit = (int(match[1]), int(match[2] or 1)) if match is not None else (0, 0)
    if count != 1 or unit not in (1, 2, 4, 8, 16, 32, 64, 128):
        at = len(value) - len(value.lstrip())
        return Fault(at, f"expected a unit note length, found {cut(text) or 'nothing'}", "write it as L: 1/8")
    return Fraction(4, unit)


def default_unit(meter: Meter) -> Fraction:
    """Gives the unit note length in quarter notes where there is no `L:` (section 3.1.7)."""
    return Fraction(1, 4) if Fraction(meter.count, meter.unit) < Fraction(3, 4) else Fraction(1, 2)


def parse_voice_field(value: str) -> VoiceField | Fault:
    """Reads the value of `V:`: one of our voice names and perhaps a clef."""
    words = [(match[0], match.start()) for match in _WORD.finditer(value)]
    hint = "the voices are V:RH, V:RH2, V:LH and V:LH2"
    if not words:
        return Fault(0, "V: names no voice", hint)
    name, at = words[0]
    if name not in VOICE_NAMES:
        return Fault(at, f"expected a voice, found {cut(name)}", hint)
    clef: Clef | None = None
    for word, offset in words[1:]:
        text = word.removeprefix("clef=")
        if text not in tuple(Clef):
            what = f"the clef {cut(text)}" if word.startswith("clef=") else cut(word)
            return Fault(
                offset, f"{what} is not read in V:", f"after the name only clef= may stand; {_CLEF_HINT}"
            )
        if name.endswith("2"):
            return Fault(offset, f"{name} shares a staff with {name[:2]}", f"give the clef in V:{name[:2]}")
        clef = Clef(text)
    return VoiceField(name, clef)
