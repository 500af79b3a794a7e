"""Names for chord tones: the shortest symbol of the trade for any set that the grammar reads.

A set of tones is named from the nearest base chord, with what differs written behind it. The
same bases serve numerals, where case gives the third (`m7b5` is `ø7` behind a small numeral).
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from transposary.pitch import Degree
from transposary.problems import Fault
from transposary.theory.suffixes import tones_of


@dataclass(frozen=True, slots=True)
class Base:
    """A chord that others are named from.

    Attributes:
        suffix: How chord symbols write it.
        figure: How numerals write it.
        tones: Its tones.
    """

    suffix: str
    figure: str
    tones: frozenset[Degree]


# Nearest first: of two bases that need as many changes, the earlier one names the chord.
_CAPITAL = (
    " 5 sus4 sus2 6 69 7 maj7 7sus4 maj7sus4 9 maj9 9sus4 7sus2 maj7sus2 6sus2 13 maj13 13sus4 11 maj11 "
    "6sus4 69sus4 7alt aug 7#5 maj7#5"
)
_SMALL = "m dim m6 m69 m7 m(maj7) m7b5 dim7 dim(maj7) m9 m(maj9) m9b5 m11 m11b5 m13 m(maj11) m(maj13)"
_FIGURES = {
    "aug": "+",
    "7#5": "+7",
    "maj7#5": "+maj7",
    "dim": "o",
    "dim7": "o7",
    "dim(maj7)": "o(maj7)",
    "m7b5": "ø7",
    "m9b5": "ø9",
    "m11b5": "ø11",
    "m(maj7)": "maj7",
    "m(maj9)": "maj9",
    "m(maj11)": "maj11",
    "m(maj13)": "maj13",
}
_ALIASES = "maj M M7 min min7 -7 Δ7 ø7 o7 +7 add9 madd9 7b9 7#9 7#11 7b13"


def _base(suffix: str) -> Base:
    tones = tones_of(suffix)
    figure = suffix if suffix.startswith("maj") else suffix.removeprefix("m")
    return Base(suffix, _FIGURES.get(suffix, figure), frozenset(() if isinstance(tones, Fault) else tones))


BASES = tuple(_base(suffix) for suffix in (*_CAPITAL.split(" "), *_SMALL.split(" ")))


def has_minor_third(tones: Iterable[Degree]) -> bool:
    """Tells whether numerals write the chord small: it has a minor third and no major one."""
    thirds = {tone.alter for tone in tones if tone.number == 3}
    return -1 in thirds and 0 not in thirds


def suffix_of(tones: tuple[Degree, ...]) -> str:
    """Writes the suffix of a chord symbol for its tones; `tones_of` reads the same tones back.

    Raises:
        ValueError: The grammar reads no suffix as these tones.
    """
    base, changes = _nearest_base(tones)
    if not changes:
        return base.suffix
    if all(change[0] in "b#" for change in changes) and base.suffix[-1:].isdigit():
        return base.suffix + "".join(changes)
    return f"{base.suffix}({','.join(changes)})"


def figure_of(tones: tuple[Degree, ...]) -> str:
    """Writes what stands behind a numeral, whose case gives the third, for a chord's tones."""
    base, changes = _nearest_base(tones)
    return base.figure + (f"({','.join(changes)})" if changes else "")


def near_suffixes(suffix: str) -> list[str]:
    """Finds up to two known suffixes that look like a mistaken one, the nearest first."""
    known = [base.suffix for base in BASES if base.suffix] + _ALIASES.split()
    return difflib.get_close_matches(suffix, known, n=2, cutoff=0.6)


# Each call tries every base, and a glossary has few chords that come again and again.
@cache
def _nearest_base(tones: tuple[Degree, ...]) -> tuple[Base, tuple[str, ...]]:
    """Finds the base with the fewest changes that the grammar reads back as these tones."""
    wanted = frozenset(tones)
    small = has_minor_third(wanted)
    bases = [(base, _changes(base, wanted)) for base in BASES if has_minor_third(base.tones) == small]
    for base, changes in sorted(bases, key=lambda named: len(named[1])):
        read = tones_of(f"{base.suffix}({','.join(changes)})" if changes else base.suffix)
        if not isinstance(read, Fault) and frozenset(read) == wanted:
            return base, changes
    raise ValueError(f"no chord has the tones {' '.join(map(str, tones))}")


def _changes(base: Base, wanted: frozenset[Degree]) -> tuple[str, ...]:
    """Writes what to change in a base to get other tones."""
    missing = {tone.number for tone in base.tones - wanted}
    extra = sorted(wanted - base.tones, key=lambda tone: (tone.number, tone.alter))
    altered = {tone.number for tone in extra if tone.alter}
    changes = [str(tone) if tone.alter else f"add{tone}" for tone in extra]
    return (*changes, *(f"no{number}" for number in sorted(missing - altered)))
