"""Reads the chorale analyses inside music21's package: Roman numerals by human analysts.

The files are read from the installed package and never copied. The reader is our own, so that
music21 decides nothing about which label stands where.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import music21
from music21.roman import RomanNumeral

from transposary.passage import Chord, Key, Mode
from transposary.pitch import Degree, NoteName, Pitch

FOLDER = Path(music21.__file__).parent / "corpus" / "bach" / "choraleAnalyses"
_MEASURE = re.compile(r"m(\d+)(?:-\d+)?\s+(.*)")
_KEY = re.compile(r"([A-Ga-g])([b#]*):")
_LABEL = re.compile(r"([b#]*)(VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)(?![IVivt])")
_APPLIED = re.compile(r"/([b#]*)(VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)$")
_THIRDS = "CEGBDFA"
_ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII")


@dataclass(frozen=True)
class Label:
    """One numeral of an analyst.

    Attributes:
        chorale: Its number in Riemenschneider's edition.
        measure: The measure as the file counts it; a pickup is 0.
        beat: The beat, from 1.
        key: The local key.
        figure: What the analyst wrote.
    """

    chorale: int
    measure: int
    beat: float
    key: Key
    figure: str

    @property
    def root(self) -> Degree:
        """The degree that the analyst means, counted from the tonic's major scale."""
        applied = _APPLIED.search(self.figure)
        own = _LABEL.match(self.figure)
        assert own is not None, self.figure
        if applied is None:
            return _degree(own[1], own[2], minor=self.key.mode is Mode.MINOR)
        aim = _degree(applied[1], applied[2], minor=self.key.mode is Mode.MINOR)
        over = _degree(own[1], own[2], minor=applied[2].islower())
        return Degree.between(NoteName(0), over.above(aim.above(NoteName(0))))

    @property
    def small(self) -> bool:
        """Whether the analyst writes a minor third."""
        own = _LABEL.match(self.figure)
        assert own is not None, self.figure
        return own[2].islower()

    @property
    def applied(self) -> bool:
        """Whether it leads to another degree: `V7/ii`."""
        return _APPLIED.search(self.figure) is not None

    @property
    def roman(self) -> str:
        """The numeral alone, without accidental and figures."""
        own = _LABEL.match(self.figure)
        assert own is not None, self.figure
        return own[2]

    @property
    def chord(self) -> Chord:
        """The chord as music21 realises it, counted from its root."""
        names = {pitch.name for pitch in self.pitches}
        root = _root_of(names)
        tones = sorted({Degree.between(root, name) for name in names}, key=lambda tone: tone.semitones)
        bass = self.pitches[0].name
        return Chord(root, "", tuple(tones), None if bass == root else bass)

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """The chord as music21 realises it."""
        return _realised(self.figure, str(self.key.tonic), self.key.mode)


def _root_of(names: set[NoteName]) -> NoteName:
    """Finds the root of a chord spelled in thirds: all other letters lie above it in thirds."""

    def height(name: NoteName) -> int:
        return max((_THIRDS.index(other.letter) - _THIRDS.index(name.letter)) % 7 for other in names)

    return min(names, key=height)


def labels() -> Iterator[Label]:
    """Reads all analyses; repeats by reference, variants and labels that are no numerals are left out."""
    for path in sorted(FOLDER.glob("riemenschneider*.rntxt")):
        key: Key | None = None
        for line in path.read_text(encoding="utf-8").splitlines():
            match = _MEASURE.match(line.strip())
            if match is None or "=" in line:
                continue
            beat = 1.0
            for word in match[2].split():
                as_key = _KEY.fullmatch(word)
                if as_key is not None:
                    mode = Mode.MINOR if as_key[1].islower() else Mode.MAJOR
                    key = Key(NoteName.parse(as_key[1].upper() + as_key[2]), mode)
                elif re.fullmatch(r"b\d+(\.\d+)?", word):
                    beat = float(word[1:])
                elif _LABEL.match(word) and key is not None:
                    yield Label(int(path.stem[-3:]), int(match[1]), beat, key, word)


def _degree(signs: str, roman: str, *, minor: bool) -> Degree:
    """Counts an analyst's degree: in minor III VI VII are those of the scale, vi and vii are raised."""
    number = _ROMAN.index(roman.upper()) + 1
    lowered = minor and (number == 3 or (number in (6, 7) and roman.isupper()))
    return Degree(number, signs.count("#") - signs.count("b") - lowered)


@cache
def _realised(figure: str, tonic: str, mode: Mode) -> tuple[Pitch, ...]:
    name = tonic.replace("b", "-")
    chord = RomanNumeral(figure, music21.key.Key(name, mode.value))
    return tuple(Pitch.parse(pitch.nameWithOctave.replace("-", "b")) for pitch in chord.pitches)
