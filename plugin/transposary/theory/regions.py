"""Numerals of a whole song: applied chords and tonicised regions recognised.

A dominant that falls a fifth, or as its tritone substitute a semitone, into a chord of the key
other than the tonic is counted from that chord: `V7/ii`. A minor or half-diminished chord a fifth
above such a dominant goes with it (`ii7/IV V7/IV`), unless the key has it anyway. A pair of both
counts even where its goal does not come. Three readings are left alone, as players leave them:

- the blues, where the tonic itself is a dominant seventh: `I7 IV7` are tonic and subdominant;
- `bVII7`, the back door, and `bII7`, the substitute of V7;
- dominant sevenths that the key has anyway, such as V7, or IV7 in Dorian.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from transposary.passage import Chord, Key, Mode
from transposary.pitch import Degree, NoteName
from transposary.theory.families import Family, family_of
from transposary.theory.numerals import Numeral, numeral_of

_MAJOR_TRIAD = (Degree(1), Degree(3), Degree(5))
_MINOR_TRIAD = (Degree(1), Degree(3, -1), Degree(5))
_SUPERTONIC = frozenset({Family.MINOR, Family.HALF_DIMINISHED})
_MINOR_GOALS = frozenset({Family.MINOR, Family.HALF_DIMINISHED, Family.DIMINISHED})
# Degrees of the chords that a key has anyway, with the families they have there. Minor keys have
# their sixth and seventh degrees both ways.
_OWN = {
    Mode.MAJOR: "1M 2m 3m 4M 5V 6m 7h",
    Mode.MINOR: "1m 2h b3M 4m 4V 5m 5V b6M b7V",
    Mode.DORIAN: "1m 2m b3M 4V 5m 6h b7M",
    Mode.PHRYGIAN: "1m b2M b3V 4m 5h b6M b7m",
    Mode.LYDIAN: "1M 2V 3m #4h 5M 6m 7m",
    Mode.MIXOLYDIAN: "1V 2m 3h 4M 5m 6m b7M",
    Mode.LOCRIAN: "1h b2M b3m 4m b5M b6V b7m",
}
_DOORS = (Degree(7, -1), Degree(2, -1))
_GROUPS = {
    "M": frozenset({Family.MAJOR}),
    "m": frozenset({Family.MINOR}),
    "h": frozenset({Family.HALF_DIMINISHED, Family.DIMINISHED}),
    "V": frozenset({Family.MAJOR, Family.DOMINANT, Family.SUSPENDED}),
}
_GOALS = {
    Mode.MAJOR: ("2", "3", "4", "5", "6", "b7", "b3", "b6"),
    Mode.MINOR: ("b3", "4", "5", "b6", "b7", "2"),
}


@dataclass(frozen=True, slots=True)
class Harmony:
    """A chord of a song and what it is there.

    Attributes:
        chord: The chord.
        key: The key of the song at its place.
        numeral: Counted from that key, applied where it is.
        local: The tonicised key that it belongs to besides: as its ii or V, or as its goal; else
            None.
    """

    chord: Chord
    key: Key
    numeral: Numeral
    local: Key | None = None


def song_harmony(row: Sequence[tuple[Chord | None, Key]]) -> tuple[Harmony | None, ...]:
    """Counts the chords of a song in the order in which they are played.

    Args:
        row: Each chord (None for `N.C.`) with the key of the song at its place.

    Returns:
        The same chords with their numerals; None stays None.
    """
    found = [None if chord is None else Harmony(chord, key, numeral_of(chord, key)) for chord, key in row]
    blues = _is_blues(found)
    for index in range(len(found)):
        dominant = found[index]
        if dominant is not None and family_of(dominant.chord.tones) is Family.DOMINANT:
            _apply(found, index, dominant, blues=blues)
    return tuple(found)


def _is_blues(row: Sequence[Harmony | None]) -> bool:
    """The tonic chords of a blues are dominant sevenths, at least half of them."""
    tonics = [one for one in row if one is not None and one.chord.root == one.key.tonic]
    sevenths = [one for one in tonics if family_of(one.chord.tones) is Family.DOMINANT]
    subdominants = [one for one in row if one is not None and one.numeral.root == Degree(4)]
    seventh_there = any(family_of(one.chord.tones) is Family.DOMINANT for one in subdominants)
    return seventh_there and bool(tonics) and 2 * len(sevenths) >= len(tonics)


def _apply(row: list[Harmony | None], index: int, dominant: Harmony, *, blues: bool) -> None:
    root = dominant.numeral.root
    left_alone = _in_key(dominant) or root in _DOORS or (blues and root in (Degree(1), Degree(4)))
    if left_alone:
        return
    goal_at = _other_chord(row, index, 1)
    goal = row[goal_at] if goal_at is not None else None
    before_at = _other_chord(row, index, -1)
    before = row[before_at] if before_at is not None else None
    fifth_down = dominant.chord.root.fifths - 1
    paired = before is not None and _leads(before, dominant) and not _in_key(before)
    resolved = goal is not None and goal.chord.root.pitch_class == NoteName(fifth_down).pitch_class
    if not (resolved or paired):
        return
    local = _local_key(dominant.key, NoteName(fifth_down), goal if resolved else None)
    if local is None:
        return
    for at in _same_run(row, index):
        row[at] = _applied(row[at], local, dominant.key)
    if paired and before_at is not None:
        for at in _same_run(row, before_at):
            row[at] = _applied(row[at], local, dominant.key)
    if resolved and goal_at is not None and goal is not None:
        row[goal_at] = replace(goal, local=local)


def _other_chord(row: Sequence[Harmony | None], index: int, step: int) -> int | None:
    """The nearest place before or behind with another root; `N.C.` cuts the thread."""
    here = row[index]
    at = index + step
    while 0 <= at < len(row):
        there = row[at]
        if there is None or here is None:
            return None
        if there.chord.root != here.chord.root:
            return at
        at += step
    return None


def _same_run(row: Sequence[Harmony | None], index: int) -> Iterator[int]:
    """The places around an index that have the same root and family, without a break."""
    first = last = index
    while first > 0 and _alike(row[first - 1], row[index]):
        first -= 1
    while last + 1 < len(row) and _alike(row[last + 1], row[index]):
        last += 1
    yield from range(first, last + 1)


def _alike(one: Harmony | None, other: Harmony | None) -> bool:
    if one is None or other is None or one.chord.root != other.chord.root:
        return False
    return family_of(one.chord.tones) is family_of(other.chord.tones)


def _leads(before: Harmony, dominant: Harmony) -> bool:
    falls = before.chord.root.fifths - dominant.chord.root.fifths == 1
    return falls and family_of(before.chord.tones) in _SUPERTONIC


def _in_key(one: Harmony) -> bool:
    """Whether the key has this chord anyway."""
    own = [(Degree.parse(word[:-1]), _GROUPS[word[-1]]) for word in _OWN[one.key.mode].split()]
    return any(root == one.numeral.root and family_of(one.chord.tones) in kinds for root, kinds in own)


def _local_key(key: Key, tonic: NoteName, goal: Harmony | None) -> Key | None:
    """The key that is tonicised: a degree of the song's key other than its tonic."""
    minor_like = key.mode in (Mode.MINOR, Mode.DORIAN, Mode.PHRYGIAN, Mode.LOCRIAN)
    degree = Degree.between(key.tonic, tonic)
    if str(degree) not in _GOALS[Mode.MINOR if minor_like else Mode.MAJOR]:
        return None
    if goal is not None:
        minor = family_of(goal.chord.tones) in _MINOR_GOALS
    else:
        minor = degree in (Degree(2), Degree(3), Degree(6)) or (
            minor_like and degree in (Degree(4), Degree(5))
        )
    return Key(tonic, Mode.MINOR if minor else Mode.MAJOR)


def _applied(one: Harmony | None, local: Key, key: Key) -> Harmony | None:
    if one is None or one.numeral.of is not None:
        return one
    triad = _MINOR_TRIAD if local.mode is Mode.MINOR else _MAJOR_TRIAD
    aim = Numeral(Degree.between(key.tonic, local.tonic), triad)
    inner = numeral_of(replace(one.chord, bass=None), local)
    bass = one.numeral.bass
    return replace(one, numeral=Numeral(inner.root, inner.tones, bass, aim), local=local)
