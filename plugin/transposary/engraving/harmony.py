"""Chord symbols as MusicXML `harmony` elements.

The kind is chosen by the chord's tones and not by its letters. What the kind leaves open
stands in `degree` elements; the author's own letters are the printed text.

Source: MusicXML 4.0 XSD, types kind-value, degree, degree-alter and root-step.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape

from transposary.passage import Chord, Symbol
from transposary.pitch import Degree, NoteName, pretty

ROOM = "\u00a0\u00a0"
"""No-break spaces that keep a chord symbol apart from the next."""

_KINDS = {
    name: tuple(map(Degree.parse, spelled.split()))
    for name, spelled in {
        "major": "1 3 5",
        "minor": "1 b3 5",
        "augmented": "1 3 #5",
        "diminished": "1 b3 b5",
        "dominant": "1 3 5 b7",
        "major-seventh": "1 3 5 7",
        "minor-seventh": "1 b3 5 b7",
        "diminished-seventh": "1 b3 b5 bb7",
        "augmented-seventh": "1 3 #5 b7",
        "half-diminished": "1 b3 b5 b7",
        "major-minor": "1 b3 5 7",
        "major-sixth": "1 3 5 6",
        "minor-sixth": "1 b3 5 6",
        "dominant-ninth": "1 3 5 b7 9",
        "major-ninth": "1 3 5 7 9",
        "minor-ninth": "1 b3 5 b7 9",
        "dominant-11th": "1 3 5 b7 9 11",
        "major-11th": "1 3 5 7 9 11",
        "minor-11th": "1 b3 5 b7 9 11",
        "dominant-13th": "1 3 5 b7 9 11 13",
        "major-13th": "1 3 5 7 9 11 13",
        "minor-13th": "1 b3 5 b7 9 11 13",
        "suspended-second": "1 2 5",
        "suspended-fourth": "1 4 5",
        "power": "1 5",
    }.items()
}


@dataclass(frozen=True, slots=True)
class Change:
    """How a chord differs from its kind: a degree added, altered or subtracted.

    Attributes:
        type: `add`, `alter` or `subtract`.
        number: The degree.
        alter: Semitones; of an addition over the major scale with a minor seventh, as the
            standard counts them, of an alteration over the kind's own degree.
    """

    type: str
    number: int
    alter: int


@lru_cache(maxsize=512)
def kind_of(tones: tuple[Degree, ...]) -> tuple[str, tuple[Change, ...]]:
    """Chooses the kind of the 4.0 enumeration with the fewest changes.

    Additions come before subtractions and altered tensions; but a thirteenth chord without its
    eleventh is still one.
    Pure, and asked once a key and symbol, so its results are remembered.
    """
    best = min(_KINDS, key=lambda name: _cost(_KINDS[name], tones))
    return best, _changes(tones, _KINDS[best])


def harmony_element(chord: Chord | None, *, offset: int) -> str:
    """Writes one chord symbol for any reader; None is `N.C.`.

    The offset counts the divisions between the next note written and the symbol.
    """
    return harmony_around(harmony_content(chord), offset=offset)


def harmony_content(chord: Chord | None) -> str:
    """Writes what a chord symbol says; None is `N.C.`."""
    if chord is None:
        return '<root><root-step text="">C</root-step></root><kind text="N.C.">none</kind>'
    kind, changes = kind_of(chord.tones)
    bass = "" if chord.bass is None else _note_name("bass", chord.bass)
    changed = "".join(map(_degree_element, changes))
    text = escape(pretty(chord.suffix))
    return f'{_note_name("root", chord.root)}<kind text="{text}">{kind}</kind>{bass}{changed}'


def printed_content(symbol: Symbol) -> str:
    """Writes a chord symbol as verovio has to measure it: nothing but its letters, and some room.

    From a full element verovio prints degrees although they are marked as not to be printed,
    and sets accidentals in a font of its own.
    """
    text = escape(f"{symbol}{ROOM}")
    return f'<root><root-step text="{text}">C</root-step></root><kind text="">other</kind>'


def harmony_around(content: str, *, offset: int) -> str:
    """Writes the element around what a chord symbol says."""
    tail = f"<offset>{offset}</offset>" if offset else ""
    return f"<harmony>{content}{tail}</harmony>"


def _changes(wanted: Sequence[Degree], given: Sequence[Degree]) -> tuple[Change, ...]:
    extra = [tone for tone in wanted if tone not in given]
    changes: list[Change] = []
    for tone in given:
        if tone in wanted:
            continue
        other = next((one for one in extra if one.number == tone.number), None)
        if other is None:
            changes.append(Change("subtract", tone.number, 0))
        else:
            extra.remove(other)
            changes.append(Change("alter", tone.number, other.alter - tone.alter))
    changes += [Change("add", tone.number, tone.alter + (tone.number == 7)) for tone in extra]
    return tuple(changes)


def _cost(given: Sequence[Degree], tones: Sequence[Degree]) -> tuple[int, int, int]:
    changes = _changes(tones, given)
    odd = sum(
        (change.type == "subtract" and change.number != 11) or (change.type == "alter" and change.number >= 9)
        for change in changes
    )
    return (len(changes), odd, -len(given))


def _note_name(element: str, name: NoteName) -> str:
    # A written <root-alter>0</root-alter> would be engraved as a natural.
    alter = f"<{element}-alter>{name.alter}</{element}-alter>" if name.alter else ""
    return f"<{element}><{element}-step>{name.letter}</{element}-step>{alter}</{element}>"


def _degree_element(change: Change) -> str:
    return (
        f'<degree print-object="no"><degree-value>{change.number}</degree-value>'
        f"<degree-alter>{change.alter}</degree-alter><degree-type>{change.type}</degree-type></degree>"
    )
