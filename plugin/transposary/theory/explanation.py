"""What the notes of a device say, collected for readers: a table, and what it adds up to."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from transposary.notes import Note, attacks
from transposary.passage import Passage
from transposary.pitch import Degree, Interval, NoteName
from transposary.theory.degrees import chord_degrees, degree_of
from transposary.theory.functions import Function, note_functions
from transposary.theory.harmony import harmony
from transposary.theory.keys import key_at
from transposary.theory.progressions import Progression, progressions
from transposary.theory.recipe import Line, recipe
from transposary.theory.shapes import Shape, name_chord, spacings
from transposary.theory.strikes import Strike, beat_of, chords_of, hand_voices, strikes

_CHORD = 3


@dataclass(frozen=True, slots=True)
class NoteFact:
    """A struck note and what it does.

    Attributes:
        note: The note; its index is that of `notes`.
        beat: Beat on which it is struck, from 1.
        degree: Over the tonic of the key in force.
        chord_degree: Over the root of the chord that it belongs to, or None without one.
        function: What it does over that chord; None for a grace note.
    """

    note: Note
    beat: Fraction
    degree: Degree
    chord_degree: Degree | None
    function: Function | None


@dataclass(frozen=True, slots=True)
class ChordFact:
    """A chord struck: at least three different notes that sound together.

    Attributes:
        strike: The moment and its notes.
        beat: Beat on which it is struck, from 1.
        tonic: Tonic of the key in force.
        shape: Its name, or None where it has none.
        spacing: How its notes are spaced (`close`, `drop-2`) where one hand plays them all, else an
            empty string.
    """

    strike: Strike
    beat: Fraction
    tonic: NoteName
    shape: Shape | None
    spacing: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """Everything that is explained about a passage, without words.

    Attributes:
        notes: Its struck notes, voice by voice.
        chords: Its chords struck.
        bass: The lowest notes of the strikes, each time it changes; where both hands play, those
            of the left, so that a chord over a rest of the bass is not taken for it.
        top: The highest ones; where both hands play, those of the right.
        double_stops: The intervals where exactly two notes sound, both of one hand.
        progressions: What the chord symbols do, by index of the symbol.
        recipe: How to play it in another key.
    """

    notes: tuple[NoteFact, ...]
    chords: tuple[ChordFact, ...]
    bass: tuple[Note, ...]
    top: tuple[Note, ...]
    double_stops: tuple[Interval, ...]
    progressions: tuple[Progression, ...]
    recipe: tuple[Line, ...]


def explain(passage: Passage) -> Explanation:
    """Explains a passage; what is true of it in one key is true in all."""
    everything = strikes(passage, hand_voices(passage, None))
    both = len(passage.hands) > 1
    low = strikes(passage, hand_voices(passage, "LH")) if both else everything
    high = strikes(passage, hand_voices(passage, "RH")) if both else everything
    return Explanation(
        _note_facts(passage),
        tuple(fact for strike in everything if (fact := _chord_fact(passage, strike)) is not None),
        _line([strike.sounding[0] for strike in low]),
        _line([strike.sounding[-1] for strike in high]),
        _double_stops(everything),
        progressions([numeral for _, numeral in harmony(passage)]),
        recipe(passage),
    )


def _note_facts(passage: Passage) -> tuple[NoteFact, ...]:
    functions = note_functions(passage)
    over = chord_degrees(passage)
    return tuple(
        NoteFact(
            note,
            beat_of(passage, note.onset),
            degree_of(passage, note),
            over[note.index],
            functions.get(note.index),
        )
        for note in attacks(passage)
    )


def _chord_fact(passage: Passage, strike: Strike) -> ChordFact | None:
    pitches = [note.pitch for note in strike.sounding]
    if len({pitch.name.pitch_class for pitch in pitches}) < _CHORD:
        return None
    meant = {next(iter(chords_of(passage, note)), None) for note in strike.struck}
    symbol = meant.pop() if len(meant) == 1 else passage.chord_at(strike.onset)
    shape = next(iter(name_chord(pitches, symbol.chord if symbol else None)), None)
    one_hand = len({note.hand for note in strike.sounding}) == 1
    spaced = spacings(pitches, shell=shape is not None and shape.shell) if one_hand else ()
    tonic = key_at(passage, strike.onset).tonic
    return ChordFact(strike, beat_of(passage, strike.onset), tonic, shape, next(iter(spaced), ""))


def _line(outer: list[Note]) -> tuple[Note, ...]:
    """The notes of an outer line, one that goes on sounding or is struck again only once."""
    line: list[Note] = []
    for note in outer:
        if not line or line[-1].pitch != note.pitch:
            line.append(note)
    return tuple(line)


def _double_stops(everything: tuple[Strike, ...]) -> tuple[Interval, ...]:
    pairs = [strike.sounding for strike in everything if len(strike.sounding) == 2]
    return tuple(low.pitch.to(high.pitch) for low, high in pairs if low.hand == high.hand)
