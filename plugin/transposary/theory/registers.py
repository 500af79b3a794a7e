"""Registers: the piano's compass, and how low a close interval may lie before it is mud."""

from __future__ import annotations

from itertools import pairwise

from transposary.notes import Note
from transposary.passage import Passage
from transposary.pitch import Pitch
from transposary.theory.strikes import hand_voices, strikes

PIANO = (Pitch.parse("A0"), Pitch.parse("C8"))

# Lowest lower note at which an interval (in semitones) still sounds clear. Common practice of
# arrangers; the values follow one published table, from which others differ by two semitones
# either way, so that going below is advice and never an error. Wider intervals have no limit.
LOW_INTERVAL_LIMITS = {
    semitones: Pitch.parse(text)
    for semitones, text in (
        *((1, "E3"), (2, "Eb3"), (3, "C3"), (4, "B2"), (5, "A2"), (6, "B1"), (7, "C#2")),
        *((8, "F2"), (9, "F2"), (10, "F2"), (11, "F2")),
    )
}


def close_pairs(passage: Passage) -> tuple[tuple[Note, Note], ...]:
    """Lists the neighbouring notes, lower first, that sound together less than an octave apart."""
    return tuple(
        (low, high)
        for strike in strikes(passage, hand_voices(passage, None))
        for low, high in pairwise(strike.sounding)
        if 0 < high.pitch.midi - low.pitch.midi < 12
    )


def too_low(low: int, high: int) -> bool:
    """Tells whether a pair of MIDI numbers lies below the low-interval limit of its interval."""
    limit = LOW_INTERVAL_LIMITS.get(high - low)
    return limit is not None and low < limit.midi
