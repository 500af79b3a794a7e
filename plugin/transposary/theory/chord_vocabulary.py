"""Names for chord tones: the shortest symbol of the trade for any set that the grammar reads.

A set of tones is named from the nearest base chord, with what differs written behind it. The
same bases serve numerals, where case gives the third (`m7b5` is `ø7` behind a small numeral).
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

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


def _base(suffix: str, figure: str) -> Base:
    tones = tones_of(suffix)
    if isinstance(tones, Fault):
        raise TypeError(f"no chord: {suffix}")
    return Base(suffix, figure, frozenset(tones))


_SAME_FIGURE = (
    *("", "5", "sus4", "sus2", "6", "69", "7", "maj7", "7sus4", "maj7sus4", "9", "maj9", "9sus4"),
    *("7sus2", "maj7sus2", "6sus2"),
    *("13", "maj13", "13sus4", "11", "maj11", "6sus4", "69sus4"),
)
_OTHER_FIGURE = (
    *(("m", ""), ("dim", "o"), ("aug", "+"), ("m6", "6"), ("m69", "69"), ("m7", "7"), ("m(maj7)", "maj7")),
    *(("m7b5", "ø7"), ("dim7", "o7"), ("dim(maj7)", "o(maj7)"), ("7#5", "+7"), ("maj7#5", "+maj7")),
    *(("m9", "9"), ("m(maj9)", "maj9"), ("m9b5", "ø9"), ("m11", "11"), ("m11b5", "ø11"), ("m13", "13")),
    *(("m(maj11)", "maj11"), ("m(maj13)", "maj13"), ("7alt", "7alt")),
)
BASES = tuple(_base(suffix, suffix) for suffix in _SAME_FIGURE) + tuple(
    _base(suffix, figure) for suffix, figure in _OTHER_FIGURE
)
_ALIASES = (
    "maj",
    "M",
    "M7",
    "min",
    "min7",
    "-7",
    "Δ7",
    "ø7",
    "o7",
    "+7",
    "add9",
    "madd9",
    "7b9",
    "7#9",
    "7#11",
    "7b13",
)


def has_minor_third(tones: Iterable[Degree]) -> bool:
    """Tells whether numerals write the chord small: it has a minor third and no major one."""
    thirds = {tone.alter for tone in tones if tone.number == 3}
    return -1 in thirds and 0 not in thirds


def suffix_of(tones: tuple[Degree, ...]) -> str:
    """Writes the suffix of a chord symbol for its tones; `tones_of` reads the same tones back."""
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
    known = [base.suffix for base in BASES if base.suffix] + list(_ALIASES)
    return difflib.get_close_matches(suffix, known, n=2, cutoff=0.6)


def _nearest_base(tones: tuple[Degree, ...]) -> tuple[Base, tuple[str, ...]]:
    wanted = frozenset(tones)
    named = [
        (len(changes), place, base, changes)
        for place, base in enumerate(BASES)
        if (changes := _changes(base, wanted)) is not None
    ]
    _, _, base, changes = min(named, key=lambda one: one[:2])
    return base, changes


def _changes(base: Base, wanted: frozenset[Degree]) -> tuple[str, ...] | None:
    """Writes what to change in a base to get other tones, or None where it would not be read back."""
    missing = {tone.number for tone in base.tones - wanted}
    extra = sorted(wanted - base.tones, key=lambda tone: (tone.number, tone.alter))
    altered = {tone.number for tone in extra if tone.alter}
    changes = [str(tone) if tone.alter else f"add{tone}" for tone in extra]
    changes += [f"no{number}" for number in sorted(missing - altered)]
    text = f"{base.suffix}({','.join(changes)})" if changes else base.suffix
    return tuple(changes) if frozenset_of(tones_of(text)) == wanted else None


def frozenset_of(tones: tuple[Degree, ...] | Fault) -> frozenset[Degree] | None:
    """Gives tones as a set, or None for a fault."""
    return None if isinstance(tones, Fault) else frozenset(tones)
