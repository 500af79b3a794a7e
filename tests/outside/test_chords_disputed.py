"""The symbols on which independent libraries disagree, pinned to the reading documented here.

Source of the table: a trial of mir_eval (H), pychord (P), mingus (M) and tonal (T). Where the
trade itself is divided the symbol carries a note for readers; rows that only reflect a gap or
a fault of one library (marked so) carry none.
"""

import pytest

from transposary.passage import Chord
from transposary.theory.chords import parse_chord, reading_note

ALT = "alt is every alteration of a dominant seventh: 1 3 ♭7 ♭9 ♯9 ♯11 ♭13, no natural fifth"
ELEVEN = "an eleventh chord leaves the third out, which its eleventh clashes with"
THIRTEEN = "a thirteenth chord leaves the natural eleventh out, which clashes with its third"
FIVE = "♭5 replaces the fifth; above a fifth it would be written ♯11"
TWO = "2 adds the second beside the third; without the third it is sus2"
MINOR_THIRTEEN = "a minor thirteenth has its ninth and eleventh as well"

# Symbol, tones, note; behind them who reads the symbol alike.
ROWS = [
    ("C11", "1 5 b7 9 11", ELEVEN),  # T; H P keep the third
    ("Cmaj11", "1 5 7 9 11", ELEVEN),  # nobody reads it alike
    ("Cm11", "1 b3 5 b7 9 11", "a minor eleventh has its ninth as well"),  # H P T; M drops the ninth
    ("C13", "1 3 5 b7 9 13", THIRTEEN),  # M T; H P keep the eleventh
    ("Cmaj13", "1 3 5 7 9 13", THIRTEEN),  # M T; H P keep the eleventh
    (
        "Cm13",
        "1 b3 5 b7 9 11 13",
        "a minor thirteenth has its ninth and eleventh as well",
    ),  # H; M T drop the 11th
    ("C13b9", "1 3 5 b7 b9 13", THIRTEEN),  # H T; P keeps the eleventh
    ("C13#11", "1 3 5 b7 9 #11 13", THIRTEEN),  # P T; H has both elevenths
    ("C7b13", "1 3 5 b7 b13", "♭13 leaves the fifth in the chord"),  # H P; T drops the fifth
    ("C7b5b9", "1 3 b5 b7 b9", FIVE),  # H; T keeps the fifth
    ("C7b5#9", "1 3 b5 b7 #9", FIVE),  # H; T keeps the fifth
    ("C7alt", "1 3 b7 b9 #9 #11 b13", ALT),  # no two agree
    ("Calt", "1 3 b7 b9 #9 #11 b13", ALT),
    ("C6/9", "1 3 5 6 9", "6/9 adds the sixth and the ninth; it is no bass"),  # H M T; P reads a bass
    ("CΔ", "1 3 5 7", "a triangle alone is a major seventh chord"),  # common practice, no source
    ("C7+", "1 3 #5 b7", "+ behind the 7 raises the fifth"),  # common practice, no source
    (
        "C2",
        "1 2 3 5",
        "2 adds the second beside the third; without the third it is sus2",
    ),  # P; common practice
    ("C69", "1 3 5 6 9", None),  # H M T; a gap of P
    ("Cmaj7b5", "1 3 b5 7", None),  # H; unknown to the others
    ("Cmaj7sus2", "1 2 5 7", None),  # H; unknown to the others
    ("Cm11b5", "1 b3 b5 b7 9 11", "a minor eleventh has its ninth as well"),  # H; unknown to the others
    ("Cmaj7#5", "1 3 #5 7", None),  # H P T; a fault of M
]


@pytest.mark.parametrize(("symbol", "tones", "note"), ROWS)
def test_a_disputed_symbol_has_one_documented_reading(symbol: str, tones: str, note: str | None) -> None:
    """The tones, and the note that tells a reader how the symbol is read."""
    chord = parse_chord(symbol)
    assert isinstance(chord, Chord)
    assert " ".join(str(tone) for tone in chord.tones) == tones
    assert reading_note(chord) == note


def test_a_bass_outside_the_chord_adds_nothing_to_it() -> None:
    """C/F is C over F: the bass is kept apart from the tones (H P T count it in, M does not)."""
    chord = parse_chord("C/F")
    assert isinstance(chord, Chord)
    assert (" ".join(str(tone) for tone in chord.tones), str(chord.bass)) == ("1 3 5", "F")


@pytest.mark.parametrize(
    "symbol", ["C", "Cm7", "Cmaj9", "C7b9", "C9sus4", "C13sus4", "C7#5", "Cm7b5", "Csus2"]
)
def test_what_the_trade_agrees_on_has_no_note(symbol: str) -> None:
    """Only disputed symbols are explained."""
    chord = parse_chord(symbol)
    assert isinstance(chord, Chord)
    assert reading_note(chord) is None
