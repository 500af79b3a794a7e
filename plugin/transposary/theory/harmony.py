"""The harmony of a passage: the numerals of its chord symbols."""

from __future__ import annotations

from transposary.notes import remembered
from transposary.passage import Passage, Symbol
from transposary.theory.counting import Fact, Moment, render
from transposary.theory.keys import key_at
from transposary.theory.numerals import Numeral, numeral_of


@remembered
def harmony(passage: Passage) -> tuple[tuple[Symbol, Numeral | None], ...]:
    """Counts each chord symbol from the key in force at its moment; None for `N.C.`."""
    return tuple(
        (symbol, None if symbol.chord is None else numeral_of(symbol.chord, key_at(passage, symbol.onset)))
        for symbol in passage.symbols
    )


def harmony_text(passage: Passage) -> str:
    """Writes the harmony as a claim does: `ii7 V7 | Imaj7`, bars parted by `|`."""
    return render(
        tuple(
            Moment(symbol.bar, symbol.onset, (Fact(_word(numeral), frozenset(), str(symbol)),))
            for symbol, numeral in harmony(passage)
        )
    )


def _word(numeral: Numeral | None) -> str:
    return "N.C." if numeral is None else str(numeral)
