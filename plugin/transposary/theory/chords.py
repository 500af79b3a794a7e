"""Chord symbols, as players write them.

A symbol is a root, a suffix (see `suffixes`) and, behind a slash, a bass. Words that stand
where chords stand (`Coda`, `D.C.`, `A MINOR`) are never taken for chords.
"""

from __future__ import annotations

import re

from transposary.passage import Chord
from transposary.pitch import NoteName, pretty
from transposary.problems import Fault
from transposary.theory.chord_readings import reading_of
from transposary.theory.chord_vocabulary import near_suffixes
from transposary.theory.suffixes import plain_suffix, tones_of

_NAME = r"[A-G](?:bb|b|##|#|♭♭|♭|♯♯|♯|x|)"
_SYMBOL = re.compile(rf"(?P<root>{_NAME})(?P<suffix>.*?)(?:/(?P<bass>[A-Ha-h].*))?", re.DOTALL)
_OLD_BASS = re.compile(r"([a-g])([+-]?)")
_WORDS = re.compile(
    r"D(\.\s?|)[CS]\.?(\s.*)?|.*\b(coda|fine|segno|capo|major|minor|solo|break|fill|bass|ending|end|tacet)\b.*",
    re.IGNORECASE,
)
_NO_CHORD = re.compile(r"N\.?\s?C\.?", re.IGNORECASE)


def is_no_chord(text: str) -> bool:
    """Tells whether a text says that no chord is played: `N.C.`."""
    return _NO_CHORD.fullmatch(text.strip()) is not None


def parse_chord(text: str) -> Chord | Fault:
    """Reads a chord symbol, such as `C7`, `F♯m7♭5/E`, `Bb6/9`, `C^7`.

    Args:
        text: The symbol alone; `N.C.` is no chord (see `is_no_chord`).

    Returns:
        The chord, or what is wrong with the symbol and how to mend it.
    """
    if _WORDS.fullmatch(text):
        return Fault(0, f"expected a chord symbol, found the words '{text}'")
    match = _SYMBOL.fullmatch(text)
    if match is None:
        return _no_root(text)
    suffix = match["suffix"]
    tones = tones_of(suffix)
    if isinstance(tones, Fault):
        at = len(match["root"])
        return Fault(
            at + tones.offset, f"'{text}' is no chord symbol: {tones.text}", tones.hint or _near(match)
        )
    bass = None
    if match["bass"] is not None:
        if re.fullmatch(_NAME, match["bass"]) is None:
            return _bass_fault(match)
        bass = NoteName.parse(match["bass"])
    root = NoteName.parse(match["root"])
    return Chord(root, suffix, tones, None if bass == root else bass)


def reading_note(chord: Chord) -> str | None:
    """Says how a symbol is read that the trade reads in more than one way, else None."""
    return reading_of(plain_suffix(chord.suffix))


def pretty_chord(chord: Chord) -> str:
    """Writes a chord symbol with ♭ and ♯, for readers."""
    return pretty(str(chord))


def _no_root(text: str) -> Fault:
    expected = "expected a chord symbol, which begins with a root A to G"
    if not text:
        return Fault(0, f"{expected}, found nothing")
    as_written = text[0].upper() + text[1:]
    if text[0] in "abcdefg" and not isinstance(parse_chord(as_written), Fault):
        return Fault(0, f"{expected}, found '{text}'", f"write the root as a capital: '{as_written}'")
    if text[0] == "H" and not isinstance(parse_chord("B" + text[1:]), Fault):
        return Fault(0, f"{expected}, found '{text}'", f"the note H is called B here: write 'B{text[1:]}'")
    return Fault(0, f"{expected}, found '{text}'")


def _near(match: re.Match[str]) -> str:
    under = "" if match["bass"] is None else f"/{match['bass']}"
    small = match["suffix"].lower()
    known = near_suffixes(match["suffix"]) if isinstance(tones_of(small), Fault) else [small]
    near = [f"'{match['root']}{suffix}{under}'" for suffix in known]
    return f"did you mean {' or '.join(near)}?" if near else ""


def _bass_fault(match: re.Match[str]) -> Fault:
    bass, text = match["bass"], match[0]
    old = _OLD_BASS.fullmatch(bass)
    hint = ""
    if old is not None:
        sign = {"+": "#", "-": "b", "": ""}[old[2]]
        hint = f"write '{text[: match.start('bass')]}{old[1].upper()}{sign}'"
    return Fault(match.start("bass"), f"expected a bass note A to G behind the slash, found '{bass}'", hint)
