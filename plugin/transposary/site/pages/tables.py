"""Degrees and harmony of a device as a table that follows its bars."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from transposary.notes import Note, TieState, notes
from transposary.passage import Passage, Symbol
from transposary.pitch import Degree, pretty
from transposary.site.pages.common import chord_words, symbols_by_bar
from transposary.theory.chords import reading_note
from transposary.theory.degrees import chord_degrees, degrees
from transposary.theory.hands import VOICES
from transposary.theory.harmony import harmony
from transposary.theory.numerals import Numeral, pretty_numeral


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a table: a heading and a cell a bar."""

    heading: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """What a device is made of, bar by bar.

    Attributes:
        bars: Numbers of the bars, the pickup as 0.
        rows: Chords, numerals, then each voice from the tonic and from the chord.
        readings: How disputed chord symbols are read here.
    """

    bars: tuple[int, ...]
    rows: tuple[Row, ...]
    readings: tuple[str, ...]


def table_of(passage: Passage) -> Table:
    """Makes the table of a device in its home key."""
    bars = tuple(dict.fromkeys(bar.number for bar in passage.bars))
    rows = [*_chord_rows(passage, bars)]
    from_tonic, from_chord = degrees(passage), chord_degrees(passage)
    written = notes(passage)
    for voice in passage.voices:
        own = [note for note in written if note.voice == voice.name]
        heading = VOICES[voice.name]
        rows.append(Row(f"{heading}, from the tonic", _cells(own, from_tonic, bars)))
        if passage.symbols:
            rows.append(Row(f"{heading}, from the chord", _cells(own, from_chord, bars)))
    chords = dict.fromkeys(symbol.chord for symbol in passage.symbols if symbol.chord is not None)
    readings = tuple(note for chord in chords if (note := reading_note(chord)))
    return Table(bars, tuple(rows), readings)


def _chord_rows(passage: Passage, bars: Sequence[int]) -> tuple[Row, ...]:
    if not passage.symbols:
        return ()
    symbols = dict(symbols_by_bar(passage))
    numerals = {
        bar: " ".join("N.C." if numeral is None else pretty_numeral(numeral) for symbol, numeral in found)
        for bar, found in _by_bar(passage)
    }
    names = tuple(" ".join(chord_words(symbol.chord) for symbol in symbols.get(bar, ())) for bar in bars)
    return (Row("Chords", names), Row("Numerals", tuple(numerals.get(bar, "") for bar in bars)))


def _by_bar(passage: Passage) -> list[tuple[int, list[tuple[Symbol, Numeral | None]]]]:
    ordered = sorted(harmony(passage), key=lambda pair: pair[0].bar)
    return [(bar, list(pairs)) for bar, pairs in groupby(ordered, key=lambda pair: pair[0].bar)]


def _cells(own: Sequence[Note], named: Sequence[Degree | None], bars: Sequence[int]) -> tuple[str, ...]:
    return tuple(
        " ".join(
            _struck([named[note.index] for note in together], grace=grace)
            for (_, grace), together in _together([note for note in own if note.bar == bar])
        )
        for bar in bars
    )


def _together(own: Sequence[Note]) -> list[tuple[tuple[object, bool], list[Note]]]:
    struck = [note for note in own if note.tie not in (TieState.CONTINUE, TieState.STOP)]
    return [(key, list(found)) for key, found in groupby(struck, key=lambda n: (n.onset, n.grace))]


def _struck(found: Sequence[Degree | None], *, grace: bool) -> str:
    names = ["–" if degree is None else pretty(str(degree)) for degree in found]
    # No line breaks within what is struck together.
    joined = "\u00a0".join(names)
    text = joined if len(names) == 1 else f"({joined})"
    return f"{{{text}}}" if grace else text
