"""What a score says, as plain values, before bars and voices are put together."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from transposary.passage import Chord, Clef, Grace, Head, Meter, Mode
from transposary.problems import Place, Problem, errors

RULE = "reading.score"
"""What a score says and a passage cannot carry."""
MODE = "reading.mode"
"""A key that does not say whether it is major or minor."""
LEFT_OUT = "reading.left-out"
"""A mark of a score that is no note and that a passage has no place for."""


@dataclass(frozen=True, slots=True)
class Played:
    """A note, chord or rest of a voice within its bar.

    Attributes:
        offset: From the start of the bar, in quarter notes.
        duration: Sounding length in quarter notes.
        heads: The notes, lowest first; empty for a rest.
        graces: Grace notes before it.
        ratio: Actual and normal notes of its tuplet, or None.
        edges: `start`, `stop`, `startStop` or empty: what the file says of the tuplet's ends.
        beamed: A beam goes on to the next one.
        staccato: Marked with a dot.
        accent: Marked with an accent.
        slurs_begun: Slurs that begin here.
        slurs_ended: Slurs that end here.
        hidden: A rest that is not printed.
    """

    offset: Fraction
    duration: Fraction
    heads: tuple[Head, ...] = ()
    graces: tuple[Grace, ...] = ()
    ratio: tuple[int, int] | None = None
    edges: str = ""
    beamed: bool = False
    staccato: bool = False
    accent: bool = False
    slurs_begun: int = 0
    slurs_ended: int = 0
    hidden: bool = False

    @property
    def end(self) -> Fraction:
        """Where it stops, from the start of the bar."""
        return self.offset + self.duration


@dataclass(frozen=True, slots=True)
class Signature:
    """A key signature: sharps (flats are negative), and the mode where the score says it."""

    sharps: int
    mode: Mode | None


@dataclass(frozen=True, slots=True)
class Measure:
    """A bar of one staff.

    Attributes:
        label: Its number in the score, for messages.
        voices: By the score's own voice name, in order of offset; the only voice of a bar
            may have the empty name.
        symbols: Chord symbols with their offsets; None for `N.C.`.
        clefs: Changes of clef with their offsets.
        signature: The key signature that begins with it, or None.
        meter: The time signature that begins with it, or None.
        repeat_begun: A repeat begins before it.
        repeat_ended: A repeat ends after it.
        double_before: A double barline stands before it.
        double_after: A double barline stands after it.
        ending: `1` or `2` where an ending begins, else empty.
        ending_closed: Whether the bracket of an ending closes after it.
    """

    label: str
    voices: dict[str, tuple[Played, ...]]
    symbols: tuple[tuple[Fraction, Chord | None], ...] = ()
    clefs: tuple[tuple[Fraction, Clef], ...] = ()
    signature: Signature | None = None
    meter: Meter | None = None
    repeat_begun: bool = False
    repeat_ended: bool = False
    double_before: bool = False
    double_after: bool = False
    ending: str = ""
    ending_closed: bool = False

    @property
    def duration(self) -> Fraction:
        """What its longest voice adds up to."""
        return max((one.end for voice in self.voices.values() for one in voice), default=Fraction(0))


class Report:
    """Collects what is wrong with a score, each thing once, with the score's name and bar.

    Attributes:
        place: Where the author names the score; every note of it has this place.
    """

    def __init__(self, filename: str, place: Place) -> None:
        self.place = place
        self._filename = filename
        self._found: dict[Problem, None] = {}

    def refuse(self, text: str, hint: str, bar: str = "") -> None:
        """Notes an error, in a bar or in the whole score."""
        where = f"{self._filename}, bar {bar}" if bar else self._filename
        self._found.setdefault(Problem(self.place, RULE, f"{where}: {text}", hint))

    def remark(self, rule: str, text: str, hint: str, bar: str) -> None:
        """Notes advice about a bar, under its rule."""
        where = f"{self._filename}, bar {bar}"
        self._found.setdefault(Problem.remark(self.place, rule, f"{where}: {text}", hint))

    @property
    def has_errors(self) -> bool:
        """Whether there is more than advice."""
        return bool(errors(self._found))

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What was found, in the order of the score."""
        return tuple(self._found)
