"""Names for what chords do one after the other: cadences and progressions of the trade.

A pattern is a row of steps, each a degree and the families it may have there. All patterns that
fit are named, a longer one in place of the shorter ones inside it. Cadences are those of the
textbooks (Open Music Theory, "Cadences"); the names of players' progressions are common practice,
no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from transposary.pitch import Degree
from transposary.theory.families import Family, family_of
from transposary.theory.numerals import Numeral

_LETTERS = {
    "M": frozenset({Family.MAJOR}),
    "D": frozenset({Family.DOMINANT}),
    "V": frozenset({Family.MAJOR, Family.DOMINANT, Family.SUSPENDED, Family.AUGMENTED}),
    "m": frozenset({Family.MINOR}),
    "h": frozenset({Family.HALF_DIMINISHED}),
    "o": frozenset({Family.DIMINISHED}),
    "T": frozenset({Family.MAJOR, Family.DOMINANT, Family.MINOR}),
    "2": frozenset({Family.MINOR, Family.HALF_DIMINISHED}),
    "S": frozenset({Family.MAJOR, Family.DOMINANT}),
}


@dataclass(frozen=True, slots=True)
class _Step:
    root: Degree
    families: frozenset[Family]
    bass: Degree | None = None


@dataclass(frozen=True, slots=True)
class _Pattern:
    name: str
    steps: tuple[_Step, ...]


@dataclass(frozen=True, slots=True)
class Progression:
    """A named run of chords.

    Attributes:
        name: The trade's name.
        first: Index of its first chord.
        last: Index of its last chord.
    """

    name: str
    first: int
    last: int


def _pattern(name: str, steps: str) -> _Pattern:
    """Reads `2:2 5:V 1:M`: degree, then families; `1:M/5` demands the fifth in the bass."""
    return _Pattern(name, tuple(_step(word) for word in steps.split()))


def _step(word: str) -> _Step:
    degree, _, rest = word.partition(":")
    letter, _, bass = rest.partition("/")
    return _Step(Degree.parse(degree), _LETTERS[letter], Degree.parse(bass) if bass else None)


PATTERNS = (
    _pattern("authentic cadence", "5:V 1:S"),
    _pattern("authentic cadence in minor", "5:V 1:m"),
    _pattern("plagal cadence", "4:S 1:S"),
    _pattern("minor plagal cadence", "4:m 1:S"),
    _pattern("deceptive cadence", "5:V 6:m"),
    _pattern("deceptive cadence in minor", "5:V b6:M"),
    _pattern("cadential six-four", "1:T/5 5:V"),
    _pattern("ii–V–I", "2:2 5:V 1:S"),
    _pattern("minor ii–V–i", "2:h 5:V 1:m"),
    _pattern("ii–V", "2:2 5:V"),
    _pattern("IV–V–I", "4:S 5:V 1:S"),
    _pattern("back-door cadence", "b7:D 1:S"),
    _pattern("back-door cadence", "4:m b7:D 1:S"),
    _pattern("tritone substitution", "b2:D 1:T"),
    _pattern("ii–V–I with a tritone substitution", "2:2 b2:D 1:T"),
    _pattern("turnaround", "1:T 6:m 2:2 5:V"),
    _pattern("turnaround with a secondary dominant", "1:T 6:D 2:2 5:V"),
    _pattern("turnaround from the third", "3:m 6:m 2:2 5:V"),
    _pattern("turnaround from the third", "3:m 6:D 2:2 5:V"),
    _pattern("turnaround with a passing diminished chord", "1:T #1:o 2:2 5:V"),
    _pattern("turnaround of dominants", "1:D 6:D 2:D 5:D"),
    _pattern("turnaround with lowered degrees", "1:S b3:S b6:S b2:S"),
    _pattern("Aeolian cadence", "b6:M b7:S 1:T"),
    _pattern("Mixolydian cadence", "b7:M 1:S"),
    _pattern("passing diminished chord to the second degree", "1:T #1:o 2:2"),
    _pattern("climb through a diminished chord to the tonic over its fifth", "4:S #4:o 1:S/5"),
    _pattern("descending minor tetrachord", "1:m b7:S b6:S 5:V"),
)


def progressions(chords: Sequence[Numeral | None]) -> tuple[Progression, ...]:
    """Names the cadences and progressions in a row of numerals, in order.

    A row that ends on the dominant ends with a half cadence. `N.C.` (None) ends every pattern.
    """
    found = [
        Progression(pattern.name, first, first + len(pattern.steps) - 1)
        for first in range(len(chords))
        for pattern in PATTERNS
        if _fits(pattern, chords[first : first + len(pattern.steps)])
    ]
    found += _half_cadence(chords)
    return tuple(sorted(_longest(found), key=lambda one: (one.first, one.last)))


def _fits(pattern: _Pattern, chords: Sequence[Numeral | None]) -> bool:
    return len(chords) == len(pattern.steps) and all(
        chord is not None and _is(step, chord) for step, chord in zip(pattern.steps, chords, strict=True)
    )


def _is(step: _Step, chord: Numeral) -> bool:
    plain = chord.plain
    in_bass = step.bass is None or plain.bass == step.bass
    return plain.root == step.root and family_of(plain.tones) in step.families and in_bass


def _half_cadence(chords: Sequence[Numeral | None]) -> Iterator[Progression]:
    if len(chords) > 1 and chords[-1] is not None and _is(_step("5:V"), chords[-1]):
        yield Progression("half cadence", len(chords) - 2, len(chords) - 1)


def _longest(found: Sequence[Progression]) -> Iterator[Progression]:
    """Drops what a longer pattern contains."""
    for one in found:
        inside = any(
            other.first <= one.first and one.last <= other.last and _size(other) > _size(one)
            for other in found
        )
        if not inside:
            yield one


def _size(one: Progression) -> int:
    return one.last - one.first
