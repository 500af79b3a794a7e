"""Music whose key somebody else wrote down: whole tunes, and stretches of chorales in one key.

Sources: Ryan's Mammoth Collection (Boston 1883) and Aird's Selection (Glasgow 1782-1801), with the
keys of their transcribers; twenty chorales by Bach, with the local keys of their analysts. All of it
is read from music21's package at test time and never copied.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from tests.outside.chorale_scores import chorale
from tests.outside.chorales import labels
from tests.outside.played import Piece, meant, texts, tidy
from transposary.capture.lengths import Placed
from transposary.capture.transcribing import key_of
from transposary.notes import attacks
from transposary.passage import Hand, Key, Meter, Mode
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc
from transposary.theory.keyfinding import KeyFinding, KeyGuess

_WITH_MINOR_THIRD = (Mode.MINOR, Mode.DORIAN, Mode.PHRYGIAN, Mode.LOCRIAN)
FOLDERS = ("ryansMammoth", "airdsAirs")
# Chorales whose score is in another key than its analysis, or is barred otherwise.
OTHERWISE = (11, 14, 17)
_FEWEST = 5
_MIDDLE = 60


@dataclass(frozen=True, slots=True)
class Keyed:
    """Notes in a key."""

    name: str
    notes: tuple[Placed, ...]
    key: Key


def whole_tunes(folder: str, step: int = 1) -> Iterator[Keyed]:
    """Gives the tunes in one key, major or minor, that our reader reads; of each `step` the first."""
    for name, text in list(texts(folder))[::step]:
        lines = [line for line in map(tidy, text.splitlines()) if line]
        passage, _ = read_abc(SourceText("\n".join(lines), Place("tune")), None)
        if passage is None or len(passage.keys) > 1 or passage.key.mode not in (Mode.MAJOR, Mode.MINOR):
            continue
        notes = (Placed(one.pitch.midi, one.onset, one.duration, one.hand) for one in attacks(passage))
        yield Keyed(name, tuple(notes), passage.key)


def stretches(last: int = 20) -> Iterator[Keyed]:
    """Gives the stretches of the first chorales that have five numerals and more in one key."""
    for number, of_chorale in groupby(labels(), key=lambda label: label.chorale):
        if number in OTHERWISE or number > last:
            continue
        score = chorale(number)
        for key, of_key in groupby(of_chorale, key=lambda label: label.key):
            run = list(of_key)
            start, end = score.onset(run[0]), score.onset(run[-1])
            if len(run) < _FEWEST or start is None or end is None or end <= start:
                continue
            notes = sorted(
                (_exact(begun - start), pitch.midi, _exact(over - begun))
                for begun, over, pitch in score.notes
                if start <= begun < end + 1
            )
            yield Keyed(
                f"chorale {number} in {key}",
                tuple(Placed(midi, onset, length, _hand(midi)) for onset, midi, length in notes),
                key,
            )


def is_key(guess: KeyGuess, key: Key) -> bool:
    """Tells whether a guess has the tonic of a key and its kind of third."""
    mode = Mode.MINOR if key.mode in _WITH_MINOR_THIRD else Mode.MAJOR
    return guess.key.tonic.pitch_class == key.tonic.pitch_class and guess.key.mode is mode


def finding_of(notes: Iterable[Placed], meter: Meter) -> KeyFinding:
    """Finds the key of notes in any order, as capture does."""
    return key_of(sorted(notes, key=lambda one: (one.onset, one.number)), meter)


def findings_of(devices: Iterable[Piece]) -> list[tuple[KeyFinding, Key]]:
    """Finds the keys of devices; each with its author's key."""
    found = []
    for piece in devices:
        placed = [Placed(one.number, one.onset, one.length, Hand(one.hand)) for one in meant(piece)]
        found.append((finding_of(placed, piece.passage.meter), piece.passage.key))
    return found


def _exact(quarters: float) -> Fraction:
    return Fraction(quarters).limit_denominator(48)


def _hand(number: int) -> Hand:
    return Hand.RIGHT if number >= _MIDDLE else Hand.LEFT
