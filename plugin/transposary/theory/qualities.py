"""The qualities of chords that have a name, each with the tones that make it.

A family of sevenths has a third, a fifth and a seventh; tensions are added to it as the trade
adds them. The highest natural tension gives the number (a 13th needs no 9th), altered ones are
named behind it. A perfect fifth may be missing, and so it may where a ninth is added to a triad or a
sixth. Triads and sixths are listed as they stand.
Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import combinations, product

from transposary.pitch import Degree

_LISTED = (
    *(("major triad", "1 3 5"), ("minor triad", "1 b3 5"), ("diminished triad", "1 b3 b5")),
    *(("augmented triad", "1 3 #5"), ("sus4 triad", "1 4 5"), ("sus2 triad", "1 2 5"), ("open fifth", "1 5")),
    *(
        ("major 6th", "1 3 5 6"),
        ("minor 6th", "1 b3 5 6"),
        ("major 6/9", "1 3 5 6 9"),
        ("minor 6/9", "1 b3 5 6 9"),
    ),
    *(("major add9", "1 3 5 9"), ("minor add9", "1 b3 5 9"), ("diminished 7th", "1 b3 b5 bb7")),
)
_MISSING_FIFTH = ("major 6/9", "minor 6/9", "major add9", "minor add9")
_FAMILIES = (
    # name, tones, and the ninths, elevenths and thirteenths that it takes ("" for none)
    ("dominant", "", "1 3 5 b7", " b9 #9 9", " #11 11", " b13 13"),
    ("major", "", "1 3 5 7", " 9", " #11", " 13"),
    ("minor", "", "1 b3 5 b7", " 9", " 11", " b13 13"),
    ("half-diminished", "", "1 b3 b5 b7", " 9", " 11", " b13"),
    ("minor-major", "", "1 b3 5 7", " 9", " 11", " 13"),
    ("dominant", "sus4", "1 4 5 b7", " b9 9", "", " b13 13"),
    ("major", "sus4", "1 4 5 7", " 9", "", " 13"),
    ("dominant", "b5", "1 3 b5 b7", " b9 #9 9", "", " 13"),
    ("dominant", "#5", "1 3 #5 b7", " b9 #9 9", " #11", ""),
    ("major", "b5", "1 3 b5 7", " 9", "", " 13"),
    ("major", "#5", "1 3 #5 7", " 9", " #11", ""),
    ("minor", "#5", "1 b3 #5 b7", " 9", " 11", ""),
    ("diminished-major", "", "1 b3 b5 7", " 9", "", ""),
)


@dataclass(frozen=True, slots=True)
class Quality:
    """A named set of chord tones.

    Attributes:
        name: Such as `minor 7th`, `dominant 13th b9`, `major triad`.
        tones: The tones, ascending.
        semitones: Where they lie over the root, within the octave.
        needed: Those of `semitones` that must sound, the root's 0 among them.
    """

    name: str
    tones: tuple[Degree, ...]
    semitones: frozenset[int]
    needed: frozenset[int]

    def tone(self, semitones: int) -> Degree:
        """Gives the tone that lies so many semitones over the root."""
        return next(tone for tone in self.tones if tone.semitones % 12 == semitones)


def qualities_over(
    over: frozenset[int], *, silent_root: bool = False, supplied: Collection[int] = ()
) -> tuple[Quality, ...]:
    """Finds the qualities that notes make over a root, the simplest name first.

    Args:
        over: Semitones over the root, 0 to 11.
        silent_root: Whether the root may be missing.
        supplied: Semitones of a chord symbol on this root: where the notes have no name of their
            own, they may give the third to a seventh.
    """
    sounding = over | {0} if silent_root else over
    found = list(_by_sound().get(sounding, ()))
    if not found and sounding & {10, 11}:
        for third in {3, 4} & set(supplied) - sounding:
            found += _by_sound().get(sounding | {third}, ())
    return tuple(found)


@cache
def all_qualities() -> tuple[Quality, ...]:
    """Lists every quality that has a name, simple ones first."""
    listed = [_quality(name, tones, {"5"} if name in _MISSING_FIFTH else set()) for name, tones in _LISTED]
    return (*listed, *sorted(_sevenths(), key=lambda quality: len(quality.tones)))


@cache
def _by_sound() -> Mapping[frozenset[int], tuple[Quality, ...]]:
    """Sorts the qualities by every set of semitones that makes them."""
    found: dict[frozenset[int], list[Quality]] = {}
    for quality in all_qualities():
        optional = sorted(quality.semitones - quality.needed)
        for size in range(len(optional) + 1):
            for added in combinations(optional, size):
                found.setdefault(quality.needed.union(added), []).append(quality)
    return {over: tuple(qualities) for over, qualities in found.items()}


def _sevenths() -> Iterator[Quality]:
    for family, suffix, tones, *choices in _FAMILIES:
        offered = [choice.split(" ") for choice in choices]
        for tensions in product(*offered):
            natural = [one for one in tensions if one.isdigit()]
            # A natural tension goes without saying under a higher one, sounding or not.
            below = offered[: tensions.index(natural[-1])] if natural else []
            if any(one == "" and choice[-1].isdigit() for one, choice in zip(tensions, below, strict=False)):
                continue
            altered = [one for one in tensions if one and not one.isdigit()]
            height = f"{natural[-1] if natural else 7}th"
            name = " ".join(part for part in (family, height, suffix, *altered) if part)
            yield _quality(name, f"{tones} {' '.join(tensions)}", {"5", *natural[:-1]})


def _quality(name: str, text: str, optional: set[str]) -> Quality:
    tones = sorted(map(Degree.parse, text.split()), key=lambda tone: tone.semitones)
    needed = (tone.semitones % 12 for tone in tones if str(tone) not in optional)
    return Quality(name, tuple(tones), frozenset(tone.semitones % 12 for tone in tones), frozenset(needed))
