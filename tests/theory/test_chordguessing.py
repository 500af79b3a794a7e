"""Chords that a chart may show over a line that states none."""

from fractions import Fraction

import pytest

from transposary.passage import Bar, Key, Meter, Mode
from transposary.pitch import NoteName
from transposary.theory.chordfinding import Sounding, guess_chords
from transposary.theory.chords import pretty_chord


@pytest.mark.parametrize(
    ("numbers", "key", "chords"),
    [
        ("43 43 45 47 48 48 48 48", "G major", "G C"),  # a walk-up from the tonic to the subdominant
        ("60 62 64 65 67 65 64 62", "C major", "C G"),  # a scale is no row of chords
        ("69 71 72 69 64 68 71 64", "A minor", "Am E"),  # with the raised seventh, V is major
        ("62 65 69 65 64 67 71 67", "D dorian", "Dm Em"),
    ],
)
def test_a_line_is_guessed_to_have_a_triad_of_the_key_for_each_bar(
    numbers: str, key: str, chords: str
) -> None:
    """Of quarter notes in 4/4, each bar gets the plain triad of the key that most of it belongs to."""
    tonic, mode = key.split()
    notes = [
        Sounding(int(number), Fraction(index), Fraction(index + 1))
        for index, number in enumerate(numbers.split())
    ]
    bars = [Bar(count + 1, Fraction(4 * count), Fraction(4), Meter(4, 4)) for count in range(2)]
    guessed = guess_chords(notes, bars, Key(NoteName.parse(tonic), Mode(mode)))
    assert " ".join(pretty_chord(one.chord) for one in guessed if one.chord) == chords
