"""Chord symbols of a score: MusicXML's kind, degrees and printed text to our chords.

Source: MusicXML 4.0, types kind-value, degree-type and degree-alter. What a file prints is
kept where it says the same as its kind and degrees; else the kind and degrees count.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from transposary.passage import Chord
from transposary.pitch import Degree, NoteName
from transposary.problems import Fault
from transposary.theory.chords import is_no_chord, parse_chord

# By music21's names of the kinds, which differ from the standard's for sevenths.
_SUFFIXES = {
    "major": "",
    "minor": "m",
    "augmented": "+",
    "diminished": "dim",
    "dominant-seventh": "7",
    "dominant": "7",
    "major-seventh": "maj7",
    "minor-seventh": "m7",
    "diminished-seventh": "dim7",
    "augmented-seventh": "+7",
    "augmented-major-seventh": "+maj7",
    "half-diminished-seventh": "m7b5",
    "half-diminished": "m7b5",
    "minor-major-seventh": "mMaj7",
    "major-minor": "mMaj7",
    "major-sixth": "6",
    "minor-sixth": "m6",
    "dominant-ninth": "9",
    "major-ninth": "maj9",
    "minor-ninth": "m9",
    "minor-major-ninth": "mMaj9",
    "dominant-11th": "11",
    "major-11th": "maj11",
    "minor-11th": "m11",
    "dominant-13th": "13",
    "major-13th": "maj13",
    "minor-13th": "m13",
    "suspended-second": "sus2",
    "suspended-fourth": "sus4",
    "power": "5",
}


@dataclass(frozen=True, slots=True)
class Change:
    """A degree that a symbol adds, alters or subtracts.

    Attributes:
        type: `add`, `alter` or `subtract`.
        number: The degree, 1 to 13.
        alter: Semitones; of an addition over the major scale with a minor seventh, of an
            alteration over the kind's own degree.
    """

    type: str
    number: int
    alter: int


def chord_of(
    root: NoteName, bass: NoteName | None, kind: str, text: str | None, changes: Sequence[Change]
) -> Chord | Fault:
    """Reads a chord symbol of a score.

    Args:
        root: The root.
        bass: The bass where it is not the root, else None.
        kind: Name of the kind.
        text: What the score prints behind the root, or None.
        changes: The degrees changed.
    """
    under = f"/{bass}" if bass is not None else ""
    printed = _parsed(f"{root}{_ascii(text)}{under}") if text is not None else None
    base = _SUFFIXES.get(kind)
    plain = _parsed(f"{root}{base}") if base is not None else None
    if plain is None:
        if printed is not None:
            return printed
        return Fault(0, f"the chord {root}{text or ''} of the kind {kind or 'none'} is not read", _HINT)
    wanted = _changed(plain.tones, changes)
    # Players leave the eleventh out of a thirteenth chord, and the third out of an eleventh
    # chord; the standard's kinds do not.
    free = {"13th": {11}, "11th": {3}}.get(kind.rpartition("-")[2], set())
    if printed is not None and {tone.number for tone in set(printed.tones) ^ set(wanted)} <= free:
        return printed
    written = _parsed(f"{root}{base}{_items(plain.tones, wanted)}{under}")
    if written is not None and set(written.tones) == set(wanted):
        return written
    tones = " ".join(str(tone) for tone in wanted)
    return Fault(0, f"the chord {root}{text or ''} with the tones {tones} is not read", _HINT)


_HINT = "write it as players do, such as C7 or Ebm7b5"


def _parsed(text: str) -> Chord | None:
    chord = None if is_no_chord(text) else parse_chord(text)
    return chord if isinstance(chord, Chord) else None


def _ascii(text: str) -> str:
    return text.strip().replace("♭", "b").replace("♯", "#")


def _changed(tones: Sequence[Degree], changes: Sequence[Change]) -> tuple[Degree, ...]:
    found = {tone.number: tone for tone in tones}
    extra: list[Degree] = []
    for change in changes:
        if change.type == "subtract":
            found.pop(change.number, None)
        elif change.type == "alter" and change.number in found:
            found[change.number] = Degree(change.number, found[change.number].alter + change.alter)
        else:
            extra.append(Degree(change.number, change.alter - (change.number == 7)))
    return tuple(sorted({*found.values(), *extra}))


def _items(tones: Sequence[Degree], wanted: Sequence[Degree]) -> str:
    """Writes what a chord has more or less than its plain form, in parentheses."""
    numbers = {tone.number for tone in wanted}
    items = [str(tone) if tone.alter else f"add{tone.number}" for tone in wanted if tone not in tones]
    items += [f"no{tone.number}" for tone in tones if tone.number not in numbers]
    return f"({','.join(items)})" if items else ""
