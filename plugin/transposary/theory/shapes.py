"""The shape of a chord struck: its quality, its inversion, how its notes are spaced.

Which root. Under a chord symbol its root comes first, even if it does not sound (`rootless`), and
the symbol supplies the third where only the root and the seventh are played. Then come the
sounding notes as roots: the bass is preferred, then a seventh to a sixth, then a spelling in
thirds, then a sounding fifth and fewer tensions. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from transposary.passage import Chord
from transposary.pitch import Degree, NoteName, Pitch
from transposary.theory.qualities import Quality, all_qualities, qualities_over

_ORDINALS = ("1st", "2nd", "3rd", "4th", "5th", "6th")
_TRIAD = 3
_FIFTHS = frozenset({6, 7, 8})
ROOTLESS = "rootless"
ROOT_POSITION = "root position"


@dataclass(frozen=True, slots=True)
class Shape:
    """A name of a chord struck.

    Attributes:
        root: The root, which is silent in a rootless chord.
        quality: Such as `minor 7th`.
        position: `root position`, `2nd inversion` or `rootless`.
        shell: Whether only the root, third and seventh sound, or two of them.
    """

    root: NoteName
    quality: str
    position: str
    shell: bool = False

    def __str__(self) -> str:
        return f"{self.quality} {self.position}"


def name_chord(pitches: Sequence[Pitch], chord: Chord | None = None) -> tuple[Shape, ...]:
    """Names what sounds together, the likeliest name first; empty where it has no name.

    Args:
        pitches: What sounds, in any order, at least one.
        chord: The chord symbol above, if there is one. Its own name comes first where it sounds
            with its root, the fifth at most missing; and only it names a silent root, or two
            notes that are no fifth.
    """
    sounding = sorted(set(pitches), key=lambda pitch: (pitch.midi, pitch.step))
    ranked = [
        (_rank(sounding, root, quality), _shape(sounding, root, quality))
        for root in dict.fromkeys(pitch.name for pitch in sounding)
        for quality in qualities_over(_over(sounding, root))
    ]
    named = [shape for _, shape in sorted(ranked, key=lambda pair: pair[0])]
    if chord is not None:
        supplied = {tone.semitones % 12 for tone in chord.tones}
        found = qualities_over(_over(sounding, chord.root), silent_root=True, supplied=supplied)
        meant = [*_meant(_over(sounding, chord.root), frozenset(supplied)), *found]
        named = [_shape(sounding, chord.root, quality) for quality in meant] + named
    return tuple(dict.fromkeys(named))


def _meant(over: frozenset[int], supplied: frozenset[int]) -> tuple[Quality, ...]:
    """The quality of a chord symbol itself, where it sounds with its root and lacks at most its fifth."""
    whole = 0 in over and over <= supplied and supplied - over <= _FIFTHS
    return tuple(one for one in all_qualities() if whole and one.semitones == supplied)


def spacings(pitches: Sequence[Pitch], *, shell: bool = False) -> tuple[str, ...]:
    """Says how the notes of a chord are spaced, the most telling word first.

    - `quartal`: all neighbours a fourth apart; above three fourths the top may be a third.
    - `shell`: only root, third and seventh, or two of them.
    - `close`: within an octave, or no note of the chord left out between two neighbours.
    - `drop-2`, `drop-3`: a close position of four notes or more whose second (third) note from
      the top lies an octave lower.
    - `spread`: wider than an octave, the two lowest notes at least a fifth apart.
    - `open`: not close.

    Common practice, no source.

    Args:
        pitches: What sounds, in any order, at least two different keys.
        shell: Whether the chord is a shell.
    """
    midi = sorted({pitch.midi for pitch in pitches})
    close = _is_close(midi)
    judged = {
        "quartal": _is_quartal(midi),
        "shell": shell,
        "close": close,
        "drop-2": not close and _is_dropped(midi, 2),
        "drop-3": not close and _is_dropped(midi, 3),
        "spread": not close and midi[1] - midi[0] >= 7,
        "open": not close,
    }
    return tuple(name for name, holds in judged.items() if holds)


def _over(sounding: Sequence[Pitch], root: NoteName) -> frozenset[int]:
    return frozenset((pitch.midi - root.pitch_class) % 12 for pitch in sounding)


def _shape(sounding: Sequence[Pitch], root: NoteName, quality: Quality) -> Shape:
    over = _over(sounding, root)
    seventh = any(tone.number == 7 for tone in quality.tones)
    basic = {tone.semitones % 12 for tone in quality.tones if tone.number in (1, 3, 7)}
    position = ROOTLESS
    if 0 in over:
        bass = quality.tone((sounding[0].midi - root.pitch_class) % 12)
        position = _position(bass)
    return Shape(root, quality.name, position, shell=seventh and over <= basic)


def _position(bass: Degree) -> str:
    # A suspended note stands for the third, an added sixth for the seventh.
    number = {2: 3, 4: 3, 6: 7}.get(bass.number, bass.number)
    return ROOT_POSITION if number == 1 else f"{_ORDINALS[number // 2 - 1]} inversion"


def _rank(sounding: Sequence[Pitch], root: NoteName, quality: Quality) -> tuple[float, bool]:
    """Weighs how unlikely a root is; the weights only put the docstring's preferences in order."""
    over = _over(sounding, root)
    tones = [quality.tone(semitones) for semitones in over]
    names = {(pitch.midi - root.pitch_class) % 12: pitch.name for pitch in sounding}
    respelled = sum(tone.simple != Degree.between(root, names[tone.semitones % 12]) for tone in tones)
    numbers = [tone.number for tone in tones]
    tensions = sum(number > 7 for number in numbers)
    # A sixth or a suspension is less likely than a seventh, and so is a chord without its fifth.
    odd = sum(number in (2, 4, 6) for number in numbers) + (5 not in numbers)
    inverted = sounding[0].name != root
    return (inverted + odd / 2 + 1.5 * respelled + tensions, inverted)


def _is_close(midi: Sequence[int]) -> bool:
    classes = {one % 12 for one in midi}
    skipped = any(
        (low + step) % 12 in classes for low, high in pairwise(midi) for step in range(1, high - low)
    )
    return midi[-1] - midi[0] < 12 or not skipped


def _is_quartal(midi: Sequence[int]) -> bool:
    steps = [high - low for low, high in pairwise(midi)]
    if len(steps) > 3 and steps[-1] in (3, 4):
        steps.pop()
    return len(steps) > 1 and all(step in (5, 6) for step in steps)


def _is_dropped(midi: Sequence[int], from_top: int) -> bool:
    lifted = sorted([midi[0] + 12, *midi[1:]])
    return (
        len(midi) > _TRIAD
        and len(set(lifted)) == len(midi)
        and lifted[-1] - lifted[0] < 12
        and lifted[-from_top] == midi[0] + 12
    )
