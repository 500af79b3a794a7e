"""Spelled pitches, note names, degrees and intervals.

A note name is its place on the line of fifths (… B♭ = -2, F = -1, C = 0, G = 1 …), which
keeps C♯ and D♭ apart. A pitch is a staff position and an alteration; an interval is a pair
of differences, so that transposing is an addition and never guesses a spelling.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Self

LETTERS = "CDEFGAB"
NATURAL_SEMITONES = (0, 2, 4, 5, 7, 9, 11)
_LETTER_FIFTHS = (0, 2, 4, -1, 1, 3, 5)
_LETTER_OF_FIFTHS = "FCGDAEB"
_NAME = re.compile(r"([A-G])(bb|b|##|#|♭♭|♭|♯♯|♯|x|)")
_PITCH = re.compile(r"([A-G])(bb|b|##|#|♭♭|♭|♯♯|♯|x|)(-?\d)")
_DEGREE = re.compile(r"(bb|b|##|#|♭♭|♭|♯♯|♯|)(1[0-3]|[1-9])")
_SIGNS = {"": 0, "b": -1, "bb": -2, "#": 1, "##": 2, "x": 2, "♭": -1, "♭♭": -2, "♯": 1, "♯♯": 2}


def accidental(alter: int) -> str:
    """Writes an alteration in ASCII: `bb`, `b`, an empty string, `#`, `##`."""
    return "#" * alter if alter > 0 else "b" * -alter


def pretty(text: str) -> str:
    """Writes `b` and `#` behind a letter or before a degree as ♭ and ♯.

    Only for texts made of note names and degrees; prose would lose its letters.
    """
    return text.replace("#", "♯").replace("b", "♭")


@dataclass(frozen=True, slots=True, order=True)
class NoteName:
    """A spelled note name without octave.

    Attributes:
        fifths: Place on the line of fifths, C = 0.
    """

    fifths: int

    @classmethod
    def parse(cls, text: str) -> Self:
        """Reads `C`, `Bb`, `F#`, `E♭`, `F##` or `Fx`.

        Raises:
            ValueError: The text is no note name.
        """
        match = _NAME.fullmatch(text)
        if match is None:
            raise ValueError(f"not a note name: {text!r}")
        return cls(_LETTER_FIFTHS[LETTERS.index(match[1])] + 7 * _SIGNS[match[2]])

    @property
    def letter(self) -> str:
        """The letter, C to B."""
        return _LETTER_OF_FIFTHS[(self.fifths + 1) % 7]

    @property
    def alter(self) -> int:
        """Semitones that the accidental adds: -1 for a flat."""
        return (self.fifths + 1) // 7

    @property
    def pitch_class(self) -> int:
        """Pitch class, C = 0 to B = 11."""
        return self.fifths * 7 % 12

    def up(self, interval: Interval) -> NoteName:
        """Gives the name an interval higher."""
        return NoteName(self.fifths + interval.fifths)

    def __str__(self) -> str:
        return self.letter + accidental(self.alter)


@dataclass(frozen=True, slots=True, order=True)
class Interval:
    """A directed interval between spelled pitches.

    Attributes:
        steps: Letters upward (a third is 2; negative downward).
        semitones: Semitones upward.
    """

    steps: int
    semitones: int

    @classmethod
    def of(cls, fifths: int, semitones: int) -> Self:
        """Gives the interval that goes so far on the line of fifths and so many semitones up.

        Both have to say the same: `fifths * 7` and `semitones` differ by whole octaves.
        """
        return cls((7 * semitones - fifths) // 12, semitones)

    @property
    def fifths(self) -> int:
        """The interval on the line of fifths, octaves left out (a major third is 4)."""
        return 7 * self.semitones - 12 * self.steps

    def __add__(self, other: Interval) -> Interval:
        return Interval(self.steps + other.steps, self.semitones + other.semitones)

    def __neg__(self) -> Interval:
        return Interval(-self.steps, -self.semitones)

    def __str__(self) -> str:
        """Names the interval as musicians do: `M3`, `P5`, `-m2`, `A4`, `d5`."""
        if self.steps < 0 or (self.steps == 0 and self.semitones < 0):
            return f"-{-self}"
        octaves, step = divmod(self.steps, 7)
        excess = self.semitones - 12 * octaves - NATURAL_SEMITONES[step]
        if step in (0, 3, 4):
            quality = "P" if excess == 0 else ("A" * excess if excess > 0 else "d" * -excess)
        elif excess >= 0:
            quality = "M" if excess == 0 else "A" * excess
        else:
            quality = "m" if excess == -1 else "d" * (-excess - 1)
        return f"{quality}{self.steps + 1}"


OCTAVE = Interval(7, 12)


@dataclass(frozen=True, slots=True)
class Pitch:
    """A spelled pitch.

    Attributes:
        step: Staff position: 7 times the octave plus the letter's place in C D E F G A B;
            middle C (C4) is 28.
        alter: Semitones that the accidental adds: -1 for a flat.
    """

    step: int
    alter: int = 0

    @classmethod
    def parse(cls, text: str) -> Self:
        """Reads scientific pitch notation, such as `Bb2` or `F♯4`; middle C is `C4`.

        Raises:
            ValueError: The text is no pitch.
        """
        match = _PITCH.fullmatch(text)
        if match is None:
            raise ValueError(f"not a pitch: {text!r}")
        return cls(7 * int(match[3]) + LETTERS.index(match[1]), _SIGNS[match[2]])

    @property
    def letter(self) -> str:
        """The letter, C to B."""
        return LETTERS[self.step % 7]

    @property
    def octave(self) -> int:
        """The octave that the letter stands in; B♯3 and C4 sound alike."""
        return self.step // 7

    @property
    def midi(self) -> int:
        """MIDI note number; C4 is 60."""
        return 12 * (self.octave + 1) + NATURAL_SEMITONES[self.step % 7] + self.alter

    @property
    def name(self) -> NoteName:
        """The note name without octave."""
        return NoteName(_LETTER_FIFTHS[self.step % 7] + 7 * self.alter)

    def up(self, interval: Interval) -> Pitch:
        """Gives the pitch an interval higher, spelled by the interval."""
        step = self.step + interval.steps
        return Pitch(step, self.alter + interval.semitones - (_white(step) - _white(self.step)))

    def to(self, other: Pitch) -> Interval:
        """Gives the interval from this pitch up to another."""
        return Interval(other.step - self.step, other.midi - self.midi)

    def __str__(self) -> str:
        return f"{self.letter}{accidental(self.alter)}{self.octave}"


def _white(step: int) -> int:
    return 12 * (step // 7) + NATURAL_SEMITONES[step % 7]


@dataclass(frozen=True, slots=True, order=True)
class Degree:
    """A degree counted from the major scale of a tonic, or of a chord's root.

    Attributes:
        number: 1 to 7 from a tonic; up to 13 from a chord's root.
        alter: Semitones away from the major scale's degree: -1 for `b3`.
    """

    number: int
    alter: int = 0

    @classmethod
    def parse(cls, text: str) -> Self:
        """Reads `1`, `b3`, `#4`, `bb7`, `♭13`.

        Raises:
            ValueError: The text is no degree.
        """
        match = _DEGREE.fullmatch(text)
        if match is None:
            raise ValueError(f"not a degree: {text!r}")
        return cls(int(match[2]), _SIGNS[match[1]])

    @classmethod
    def between(cls, tonic: NoteName, name: NoteName) -> Self:
        """Gives the degree (1 to 7) of a note name over a tonic."""
        fifths = name.fifths - tonic.fifths
        number = LETTERS.index(_LETTER_OF_FIFTHS[(fifths + 1) % 7]) + 1
        return cls(number, (fifths + 1) // 7)

    @property
    def fifths(self) -> int:
        """The degree's place on the line of fifths, the tonic being 0."""
        return _LETTER_FIFTHS[(self.number - 1) % 7] + 7 * self.alter

    @property
    def semitones(self) -> int:
        """Semitones above the tonic (or root), from 0; a ninth is 14."""
        octaves, step = divmod(self.number - 1, 7)
        return 12 * octaves + NATURAL_SEMITONES[step] + self.alter

    @property
    def simple(self) -> Degree:
        """The degree within the octave: 9 becomes 2, 13 becomes 6."""
        return Degree((self.number - 1) % 7 + 1, self.alter)

    def above(self, tonic: NoteName) -> NoteName:
        """Gives the note name of this degree over a tonic or root."""
        return NoteName(tonic.fifths + self.fifths)

    def __str__(self) -> str:
        return f"{accidental(self.alter)}{self.number}"
