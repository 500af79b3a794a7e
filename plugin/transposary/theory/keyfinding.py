"""Finding the key of notes by how long each pitch class sounds.

Source of the profiles: Krumhansl and Kessler, "Tracing the dynamic changes in perceived tonal
organization in a spatial representation of musical keys" (Psychological Review 89, 1982), as two
public transcriptions give them; of the method: Krumhansl, "Cognitive Foundations of Musical Pitch"
(1990), which correlates durations with the profile of each key.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import sqrt

from transposary.passage import Chord, Key, Mode
from transposary.theory.keys import SLOTS, tonic_of

MAJOR = (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88)
MINOR = (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17)

# How much more correlation a key is given, or less; fitted on half of the demo's devices and on tunes.
_FIRST_BASS, _LAST_BASS = 0.05, 0.025
_OUTSIDE = 0.37
_FIRST_CHORD, _LAST_CHORD, _FRAMED = 0.15, 0.07, 0.2
_CADENCE = 0.25
_SCALES = {Mode.MAJOR: frozenset({0, 2, 4, 5, 7, 9, 11}), Mode.MINOR: frozenset({0, 2, 3, 5, 7, 8, 10, 11})}
_SURE = 0.3
"""How far the first key has to be ahead of the second one."""


@dataclass(frozen=True, slots=True)
class Cues:
    """What tells a key besides the lengths of its notes.

    Attributes:
        first: MIDI number of the lowest note at the beginning.
        last: The same at the end.
        chords: The chords, stated or suggested.
        signature: Sharps of the signature where it is known; flats are negative.
    """

    first: int
    last: int
    chords: tuple[Chord, ...] = ()
    signature: int | None = None


@dataclass(frozen=True, slots=True)
class KeyGuess:
    """A key and how well the notes agree with it.

    Attributes:
        key: The key, spelled as its slot is.
        agreement: Correlation with the key's profile, -1 to 1, and what the cues add.
    """

    key: Key
    agreement: float


@dataclass(frozen=True, slots=True)
class KeyFinding:
    """The likeliest keys.

    Attributes:
        first: The likeliest.
        second: The runner-up.
    """

    first: KeyGuess
    second: KeyGuess

    @property
    def lead(self) -> float:
        """How far the first is ahead of the second."""
        return self.first.agreement - self.second.agreement

    @property
    def sure(self) -> bool:
        """Whether the first is far enough ahead to be taken without asking."""
        return self.lead >= _SURE


def find_key(sounding: Iterable[tuple[int, float]], cues: Cues | None = None) -> KeyFinding:
    """Finds the key of notes.

    Args:
        sounding: MIDI numbers and how long each sounds.
        cues: What else is known of the notes; None for the profiles alone.
    """
    weights = [0.0] * 12
    for number, length in sounding:
        weights[number % 12] += length
    guesses = []
    for mode, profile in ((Mode.MAJOR, MAJOR), (Mode.MINOR, MINOR)):
        for tonic in range(12):
            over = [weights[(tonic + step) % 12] for step in range(12)]
            agreement = _correlation(over, profile)
            if cues is not None:
                outside = sum(weight for step, weight in enumerate(over) if step not in _SCALES[mode])
                agreement += _cued(cues, tonic, mode) - _OUTSIDE * outside / sum(weights)
            guesses.append(KeyGuess(Key(tonic_of(SLOTS[tonic], mode, {}), mode), agreement))
    if cues is not None and cues.signature is not None:
        guesses = [guess for guess in guesses if (guess.key.signature - cues.signature) % 12 == 0]
    # Rounded, so that moving all notes by a step cannot change the order by a rounding error.
    first, second = sorted(guesses, key=lambda one: -round(one.agreement, 9))[:2]
    return KeyFinding(first, second)


def _cued(cues: Cues, tonic: int, mode: Mode) -> float:
    """Weighs where the notes begin and end, and what their chords do in a key."""
    found = _FIRST_BASS * (cues.first % 12 == tonic) + _LAST_BASS * (cues.last % 12 == tonic)
    if not cues.chords:
        return found
    third = 4 if mode is Mode.MAJOR else 3
    steps = _without_raised_end([_Step.of(chord, tonic) for chord in cues.chords], mode)
    first, last = steps[0], steps[-1]
    found += _FIRST_CHORD * first.is_on(0, third)
    found += _LAST_CHORD * last.is_on(0, third)
    if first.root == last.root == 0:
        found += _FRAMED * (1.0 if first.is_on(0, third) else 0.5)
    turns = sum(_turn(low, high, mode) for low, high in pairwise(steps))
    turns += 0.8 * (last.root == 7 and last.seventh)
    return found + _CADENCE * min(turns, 2.0)


@dataclass(frozen=True, slots=True)
class _Step:
    """A chord as a step of a key: its root over the tonic, and what makes its kind.

    `third` is None where the chord has none, as suspended ones have not.
    """

    root: int
    third: int | None
    diminished: bool
    seventh: bool

    @classmethod
    def of(cls, chord: Chord, tonic: int) -> _Step:
        tones = {tone.semitones % 12 for tone in chord.tones}
        third = 4 if 4 in tones else 3 if 3 in tones else None
        diminished = 6 in tones and 7 not in tones
        dominant = 10 in tones and third != 3
        return cls((chord.root.pitch_class - tonic) % 12, third, diminished, dominant)

    def is_on(self, root: int, third: int) -> bool:
        """Tells whether it stands on a step and can be heard with a third."""
        return self.root == root and self.third in (third, None)


def _without_raised_end(steps: list[_Step], mode: Mode) -> list[_Step]:
    """Takes a major chord at the end, after a cadence with a minor subdominant, for the tonic of minor.

    That the last third of minor is raised (tierce de Picardie) is common practice, no source.
    """
    if mode is Mode.MAJOR or len(steps) < 2 or not (steps[-2].is_on(7, 4) and steps[-1].is_on(0, 4)):
        return steps
    minor_before = any(step.root == 5 and step.third == 3 for step in steps)
    return [*steps[:-1], replace(steps[-1], third=3)] if minor_before else steps


def _turn(low: _Step, high: _Step, mode: Mode) -> float:
    """Weighs two chords: V to I, ii to V, and both as players leave the roots out (IV or vii, iii)."""
    major = mode is Mode.MAJOR
    if low.is_on(7, 4) and high.is_on(0, 4 if major else 3):
        return 1.0
    if low.is_on(2, 3) and high.is_on(7, 4):
        return 0.6 if low.diminished != major else 0.0
    rootless = (low.root == 5 and low.third == 4) or (low.root == 11 and low.diminished)
    return 0.8 if rootless and high.root == 4 and high.third == 3 and major else 0.0


def _correlation(weights: Sequence[float], profile: Sequence[float]) -> float:
    mean, middle = sum(weights) / 12, sum(profile) / 12
    over = sum((one - mean) * (other - middle) for one, other in zip(weights, profile, strict=True))
    spread = sum((one - mean) ** 2 for one in weights) * sum((one - middle) ** 2 for one in profile)
    return over / sqrt(spread) if spread else 0.0
