"""How far a chord of a chart answers to a chord that a device wants.

Substitutions are those of common practice, no source: the dominant a tritone away, the relative
major or minor, and the diminished seventh chord a semitone above the root of a dominant (or a
minor third further), which shares its third, fifth and seventh.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from transposary.passage import Chord
from transposary.pitch import Degree
from transposary.theory.families import Family, family_of
from transposary.theory.numerals import Numeral


@dataclass(frozen=True, slots=True)
class Likeness:
    """How alike two chords are.

    Attributes:
        score: 1 for the same symbol, less for what has to be granted.
        name: What was granted, in words, or an empty string.
        root_moves: Semitones from the wanted root to the chart's; 0 unless it is a substitution.
    """

    score: float
    name: str = ""
    root_moves: int = 0


SAME = Likeness(1.0)
ADMITTED = Likeness(0.97)
FAMILY = Likeness(0.9, "same families")
SUSPENDED = Likeness(0.8, "a suspended chord for the dominant")
TRITONE = Likeness(0.6, "tritone substitution", 6)
RELATIVE_MINOR = Likeness(0.55, "the relative minor for a major chord", 9)
RELATIVE_MAJOR = Likeness(0.55, "the relative major for a minor chord", 3)
_DIMINISHED = tuple(Likeness(0.55, "a diminished chord for the dominant", step) for step in (1, 4, 7, 10))
_FOR_DIMINISHED = tuple(Likeness(0.55, "a dominant for the diminished chord", step) for step in (11, 8, 5, 2))

# The seventh that a plain triad has where it stands in the key, by degree of the root.
_SEVENTHS_IN_MAJOR = {"1": "7", "2": "b7", "3": "b7", "4": "7", "5": "b7", "6": "b7", "7": "b7", "b7": "b7"}
_SEVENTHS_IN_MINOR = {"1": "b7", "2": "b7", "b3": "7", "4": "b7", "5": "b7", "b6": "7", "b7": "b7"}

# For each family that a device wants, what a chart may show there: other families on the same
# root, and substitutions on another one.
OTHER_ROOTS: Mapping[Family, tuple[tuple[Family, Likeness], ...]] = MappingProxyType(
    {
        Family.DOMINANT: (
            (Family.DOMINANT, TRITONE),
            *((Family.DIMINISHED, one) for one in _DIMINISHED),
        ),
        Family.DIMINISHED: tuple((Family.DOMINANT, one) for one in _FOR_DIMINISHED),
        Family.MAJOR: ((Family.MINOR, RELATIVE_MINOR),),
        Family.MINOR: ((Family.MAJOR, RELATIVE_MAJOR),),
    }
)
SAME_ROOT: Mapping[Family, tuple[Family, ...]] = MappingProxyType(
    {
        Family.DOMINANT: (Family.DOMINANT, Family.MAJOR, Family.SUSPENDED),
        Family.HALF_DIMINISHED: (Family.HALF_DIMINISHED, Family.DIMINISHED),
    }
)


def same_root_families(wanted: Family) -> tuple[Family, ...]:
    """Lists the families that a chart may show on the wanted root."""
    return SAME_ROOT.get(wanted, (wanted,))


def likeness(wanted: Numeral, chord: Chord, root_moves: int, *, minor: bool) -> Likeness | None:
    """Compares a wanted chord with one of a chart.

    Args:
        wanted: Counted from the tonic tried.
        chord: What the chart shows.
        root_moves: Semitones, 0 to 11, from the wanted root to the chart's.
        minor: Whether the tonic tried has a minor third.

    Returns:
        How alike they are, or None where nothing of the trade makes one of the other.
    """
    want, show = family_of(wanted.tones), family_of(chord.tones)
    if root_moves:
        found = (one for family, one in OTHER_ROOTS.get(want, ()) if family is show)
        return next((one for one in found if one.root_moves == root_moves), None)
    if _classes(wanted.tones) == _classes(chord.tones):
        return SAME
    if _is_admitted(wanted, chord, minor=minor):
        return ADMITTED
    if want is show:
        return FAMILY
    return SUSPENDED if (want, show) == (Family.DOMINANT, Family.SUSPENDED) else None


def _classes(tones: tuple[Degree, ...]) -> frozenset[int]:
    return frozenset(tone.semitones % 12 for tone in tones)


def _is_admitted(wanted: Numeral, chord: Chord, *, minor: bool) -> bool:
    """Whether the chart's plain triad takes the wanted seventh at its place in the key."""
    triad = _classes(chord.tones)
    extra = {tone for tone in wanted.tones if tone.semitones % 12 not in triad}
    if len(triad) != 3 or len(chord.tones) != 3 or not triad <= _classes(wanted.tones):
        return False
    given = (_SEVENTHS_IN_MINOR if minor else _SEVENTHS_IN_MAJOR).get(str(wanted.root))
    return given is not None and extra == {Degree.parse(given)}
