"""What the music parser makes of the tokens, before bars, keys and meters are applied."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from transposary.passage import Chord, Clef, Key, Meter


@dataclass(frozen=True, slots=True)
class Tone:
    """A note head as written.

    Attributes:
        step: Staff position, as `Pitch.step`.
        accidental: Semitones of the accidental before it, or None without one.
        offset: Where it stands in the text.
        tied: A tie begins at it.
        finger: Its fingering, or None.
        ghost: Marked as a ghost note.
    """

    step: int
    accidental: int | None
    offset: int
    tied: bool = False
    finger: int | None = None
    ghost: bool = False


@dataclass(frozen=True, slots=True)
class GraceTones:
    """Grace notes struck together.

    Attributes:
        tones: As written.
        slashed: Whether it is an acciaccatura.
        quarters: Written length in quarter notes.
    """

    tones: tuple[Tone, ...]
    slashed: bool
    quarters: Fraction


@dataclass(frozen=True, slots=True)
class WrittenSymbol:
    """A chord symbol; the chord is None for `N.C.`."""

    chord: Chord | None
    offset: int


@dataclass(frozen=True, slots=True)
class WrittenTuplet:
    """A tuplet sign `(p:q:r`; None where the author leaves a number out."""

    actual: int
    normal: int | None
    count: int | None
    offset: int


@dataclass(frozen=True, slots=True)
class Strike:
    """A note, a chord or a rest as written.

    Attributes:
        tones: The notes in the order written; empty for a rest.
        length: In units of `L:`, broken rhythm counted in.
        offset: Where it stands in the text.
        graces: Grace notes before it.
        symbol: Chord symbol over it.
        tuplet: A tuplet that begins with it.
        staccato: Marked with a dot.
        accent: Marked with an accent.
        slurs_begun: Slurs opened before it.
        slurs_ended: Slurs closed behind it.
        hidden: An invisible rest.
        joined: Nothing stands between it and the next one: they may share a beam.
    """

    tones: tuple[Tone, ...]
    length: Fraction
    offset: int
    graces: tuple[GraceTones, ...] = ()
    symbol: WrittenSymbol | None = None
    tuplet: WrittenTuplet | None = None
    staccato: bool = False
    accent: bool = False
    slurs_begun: int = 0
    slurs_ended: int = 0
    hidden: bool = False
    joined: bool = False


@dataclass(frozen=True, slots=True)
class BarRest:
    """Rests that fill `count` bars."""

    count: int
    offset: int
    hidden: bool
    symbol: WrittenSymbol | None


@dataclass(frozen=True, slots=True)
class Barline:
    """A barline, or the beginning of an ending behind one.

    Attributes:
        offset: Where it stands.
        text: As written.
        closes: False where only an ending begins (`[1` behind a barline and a space).
        repeat_ended: The repeated section ends.
        repeat_begun: A repeated section begins.
        double: Two lines, thin or thick.
        ending: `1`, `2` or empty.
    """

    offset: int
    text: str
    closes: bool = True
    repeat_ended: bool = False
    repeat_begun: bool = False
    double: bool = False
    ending: str = ""


@dataclass(frozen=True, slots=True)
class Change:
    """A change of key, clef, meter or unit length; None for what does not change."""

    offset: int
    key: Key | None = None
    clef: Clef | None = None
    meter: Meter | None = None
    unit: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Gap:
    """Something unreadable stood here; its bar cannot be judged."""

    offset: int


Element = Strike | BarRest | Barline | Change | Gap
