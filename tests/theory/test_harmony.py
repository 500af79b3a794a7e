"""The harmony of a passage in numerals."""

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.theory.build import build
from transposary.passage import Key, Mode
from transposary.pitch import NoteName
from transposary.theory.harmony import harmony, harmony_text


@pytest.mark.parametrize(
    ("chords", "text"),
    [
        ("0 Dm7; 2 G7; 4 Cmaj7", "ii7 V7 | Imaj7"),
        ("0 C; 8 F/C", "I | | IV/1"),
        ("0 C; 2 N.C.; 4 G7", "I N.C. | V7"),
        ("4 C", "I"),
        ("", ""),
    ],
)
def test_harmony_is_written_as_a_claim(chords: str, text: str) -> None:
    """Numerals in order, bars marked between them, bars that hold a chord empty."""
    assert harmony_text(build("C4:4 C4:4 C4:4", chords=chords)) == text


def test_symbols_and_numerals_come_in_pairs() -> None:
    """N.C. has no numeral."""
    found = harmony(build("C4:4", chords="0 C; 2 N.C.", key="G"))
    assert [(str(symbol), str(numeral)) for symbol, numeral in found] == [("C", "IV"), ("N.C.", "None")]


def test_the_local_key_counts() -> None:
    """After a change of key, chords are counted from the new tonic."""
    passage = build("C4:4 C4:4", chords="0 C; 4 C")
    minor = Key(NoteName.parse("A"), Mode.MINOR)
    assert harmony_text(replace(passage, keys=(*passage.keys, (Fraction(4), minor)))) == "I | bIII"
