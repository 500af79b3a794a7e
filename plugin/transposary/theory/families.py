"""Families of chords: what players exchange freely without changing a chord's job."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from transposary.pitch import Degree


class Family(StrEnum):
    """A family of chords (common practice, no source)."""

    MAJOR = "major"
    DOMINANT = "dominant"
    MINOR = "minor"
    HALF_DIMINISHED = "half-diminished"
    DIMINISHED = "diminished"
    AUGMENTED = "augmented"
    SUSPENDED = "suspended"
    POWER = "power"


def family_of(tones: Iterable[Degree]) -> Family:
    """Gives the family of a chord by its third, then its fifth and seventh.

    C, C6 and Cmaj9 are major; C9, C13 and C7♯5 dominant; Cm, Cm6 and CmMaj7 minor; Csus4 and C7sus4
    suspended; C5 is a power chord.
    """
    found = {tone.simple for tone in tones}
    flat_seventh = Degree(7, -1) in found
    if Degree(3) in found:
        if flat_seventh:
            return Family.DOMINANT
        return Family.MAJOR if Degree(5, 1) not in found else Family.AUGMENTED
    if Degree(3, -1) in found:
        if Degree(5, -1) not in found:
            return Family.MINOR
        return Family.HALF_DIMINISHED if flat_seventh else Family.DIMINISHED
    return Family.SUSPENDED if found & {Degree(2), Degree(4)} else Family.POWER
