"""The scales of the trade, by their degrees.

Church modes, harmonic and melodic minor and their modes in use, pentatonics, blues, bebop scales
and the symmetrical ones. Degrees are counted from the scale's own root. The two diminished scales
go by their first step: whole-half over diminished chords, half-whole over dominants. Common
practice, no source; the church modes follow the key table of the ABC standard 2.1.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection
from dataclasses import dataclass

from transposary.passage import Key
from transposary.pitch import Degree, NoteName
from transposary.problems import Fault


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale.

    Attributes:
        name: Its usual name.
        degrees: Counted from its root, ascending.
        also: Other names of it.
    """

    name: str
    degrees: tuple[Degree, ...]
    also: tuple[str, ...] = ()

    @property
    def semitones(self) -> frozenset[int]:
        """What it holds, in semitones over its root."""
        return frozenset(degree.semitones % 12 for degree in self.degrees)


def _scale(name: str, degrees: str, *also: str) -> Scale:
    return Scale(name, tuple(map(Degree.parse, degrees.split())), also)


SCALES: tuple[Scale, ...] = (
    _scale("major", "1 2 3 4 5 6 7", "ionian"),
    _scale("minor", "1 2 b3 4 5 b6 b7", "natural minor", "aeolian"),
    _scale("mixolydian", "1 2 3 4 5 6 b7"),
    _scale("dorian", "1 2 b3 4 5 6 b7"),
    _scale("lydian", "1 2 3 #4 5 6 7"),
    _scale("phrygian", "1 b2 b3 4 5 b6 b7"),
    _scale("locrian", "1 b2 b3 4 b5 b6 b7"),
    _scale("harmonic minor", "1 2 b3 4 5 b6 7"),
    _scale("melodic minor", "1 2 b3 4 5 6 7", "jazz minor"),
    _scale("major pentatonic", "1 2 3 5 6", "pentatonic"),
    _scale("minor pentatonic", "1 b3 4 5 b7"),
    _scale("blues", "1 b3 4 b5 5 b7", "minor blues"),
    _scale("major blues", "1 2 b3 3 5 6"),
    _scale("lydian dominant", "1 2 3 #4 5 6 b7", "lydian b7", "mixolydian #11"),
    _scale("altered", "1 b2 #2 3 b5 #5 b7", "super locrian"),
    _scale("phrygian dominant", "1 b2 3 4 5 b6 b7", "mixolydian b9 b13"),
    _scale("mixolydian b6", "1 2 3 4 5 b6 b7", "mixolydian b13"),
    _scale("lydian augmented", "1 2 3 #4 #5 6 7"),
    _scale("locrian natural 2", "1 2 b3 4 b5 b6 b7", "locrian #2", "aeolian b5", "half-diminished"),
    _scale("dorian b2", "1 b2 b3 4 5 6 b7", "phrygian natural 6"),
    _scale("harmonic major", "1 2 3 4 5 b6 7"),
    _scale("bebop dominant", "1 2 3 4 5 6 b7 7", "bebop", "bebop mixolydian"),
    _scale("bebop major", "1 2 3 4 5 #5 6 7"),
    _scale("bebop dorian", "1 2 b3 3 4 5 6 b7", "bebop minor"),
    _scale("bebop melodic minor", "1 2 b3 4 5 #5 6 7"),
    _scale("whole tone", "1 2 3 #4 #5 b7"),
    _scale("whole-half diminished", "1 2 b3 4 b5 b6 6 7", "diminished"),
    _scale("half-whole diminished", "1 b2 b3 3 #4 5 6 b7", "dominant diminished"),
    _scale("chromatic", "1 b2 2 b3 3 4 #4 5 b6 6 b7 7"),
)


def parse_scale(text: str) -> Scale | Fault:
    """Reads the name of a scale; case, hyphens and the word `scale` do not count."""
    wanted = _folded(text)
    names = {_folded(name): scale for scale in SCALES for name in (scale.name, *scale.also)}
    if wanted in names:
        return names[wanted]
    near = difflib.get_close_matches(wanted, names, n=1)
    hint = (
        f"did you mean {names[near[0]].name!r}?"
        if near
        else f"the scales are {', '.join(s.name for s in SCALES)}"
    )
    return Fault(0, f"no scale is called {text!r}", hint)


def scales_holding(semitones: Collection[int]) -> tuple[Scale, ...]:
    """Finds the scales that hold all these notes, given in semitones over a root; small ones first."""
    wanted = {one % 12 for one in semitones}
    return tuple(sorted((s for s in SCALES if wanted <= s.semitones), key=lambda scale: len(scale.degrees)))


def key_degrees(key: Key) -> tuple[Degree, ...]:
    """Gives the seven degrees of a key's own scale, counted from the tonic's major scale."""
    names = (NoteName(key.signature + fifths) for fifths in range(-1, 6))
    return tuple(sorted(Degree.between(key.tonic, name) for name in names))


def _folded(text: str) -> str:
    plain = text.casefold().replace("♭", "b").replace("♯", "#")
    return re.sub(r"[\s_-]+|\bscale\b", "", plain)
