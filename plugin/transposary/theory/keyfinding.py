"""Finding the key of notes by how long each pitch class sounds.

Source of the profiles: Krumhansl and Kessler, "Tracing the dynamic changes in perceived tonal
organization in a spatial representation of musical keys" (Psychological Review 89, 1982), as two
public transcriptions give them; of the method: Krumhansl, "Cognitive Foundations of Musical Pitch"
(1990), which correlates durations with the profile of each key.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt

from transposary.passage import Key, Mode
from transposary.theory.keys import SLOTS, tonic_of

MAJOR = (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88)
MINOR = (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17)

_EDGE = 0.12
"""How much more correlation a key is given for being stated by the bass at both ends."""
_SURE = 0.08
"""How far the first key has to be ahead of the second one."""


@dataclass(frozen=True, slots=True)
class KeyGuess:
    """A key and how well the notes agree with it.

    Attributes:
        key: The key, spelled as its slot is.
        agreement: Correlation with the key's profile, -1 to 1, and what the bass adds.
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


def find_key(
    sounding: Iterable[tuple[int, float]], ends: Sequence[int] = (), signature: int | None = None
) -> KeyFinding:
    """Finds the key of notes.

    Args:
        sounding: MIDI numbers and how long each sounds.
        ends: MIDI numbers of the lowest notes at the beginning and at the end, which are likely
            to state the tonic; none for the profiles alone.
        signature: Sharps of the signature where it is known; flats are negative.
    """
    weights = [0.0] * 12
    for number, length in sounding:
        weights[number % 12] += length
    guesses = [
        KeyGuess(
            Key(tonic_of(SLOTS[tonic], mode, {}), mode),
            _correlation([weights[(tonic + step) % 12] for step in range(12)], profile)
            + _EDGE * sum(one % 12 == tonic for one in ends) / max(len(ends), 1),
        )
        for mode, profile in ((Mode.MAJOR, MAJOR), (Mode.MINOR, MINOR))
        for tonic in range(12)
    ]
    if signature is not None:
        guesses = [guess for guess in guesses if (guess.key.signature - signature) % 12 == 0]
    # Rounded, so that moving all notes by a step cannot change the order by a rounding error.
    first, second = sorted(guesses, key=lambda one: -round(one.agreement, 9))[:2]
    return KeyFinding(first, second)


def _correlation(weights: Sequence[float], profile: Sequence[float]) -> float:
    mean, middle = sum(weights) / 12, sum(profile) / 12
    over = sum((one - mean) * (other - middle) for one, other in zip(weights, profile, strict=True))
    spread = sum((one - mean) ** 2 for one in weights) * sum((one - middle) ** 2 for one in profile)
    return over / sqrt(spread) if spread else 0.0
