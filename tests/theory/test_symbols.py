"""Remarks on chord symbols with more than one reading."""

from dataclasses import replace
from fractions import Fraction

from tests.theory.build import build
from tests.theory.devices import device
from transposary.passage import Chord, Symbol
from transposary.problems import Place
from transposary.theory.chords import parse_chord
from transposary.theory.symbols import check_symbols


def _symbol(onset: int, text: str, column: int) -> Symbol:
    chord = parse_chord(text)
    assert isinstance(chord, Chord)
    return Symbol(Fraction(onset), 1, chord, Place("devices/x.md", 9, column) if column else Place(""))


def test_a_disputed_suffix_is_told_once_where_it_stands_first() -> None:
    """Each suffix once; plain symbols and N.C. pass."""
    symbols = (
        *(_symbol(0, "Cm7", 3), _symbol(1, "F7b5b9", 9), Symbol(Fraction(2), 1, None)),
        *(_symbol(2, "Bb7b5b9", 20), _symbol(3, "G13", 0)),
    )
    passage = replace(build("C4:4"), symbols=symbols)
    hint = "write a plainer symbol, or accept it if that is meant"
    assert [str(remark) for remark in check_symbols(device(passage))] == [
        (
            "devices/x.md:9:9: remark: theory.ambiguous-symbol: F7♭5♭9 is read in more than one way: "
            f"here ♭5 replaces the fifth; above a fifth it would be written ♯11; {hint}"
        ),
        (
            "devices/x.md:5:11: remark: theory.ambiguous-symbol: G13 is read in more than one way: here a "
            f"thirteenth chord leaves the natural eleventh out, which clashes with its third; {hint}"
        ),
    ]
