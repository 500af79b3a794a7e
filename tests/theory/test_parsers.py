"""What the parsers of chords, keys and numerals have in common: nothing that is written breaks them."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from transposary.problems import Fault
from transposary.theory.chords import parse_chord
from transposary.theory.keys import parse_key
from transposary.theory.numerals import parse_numeral

_PIECES = [
    *"ABCDEFGHabcdefg#b♭♯x/()+-°oøΔ^,. 0123456789IViv",
    *(
        "maj",
        "min",
        "dim",
        "aug",
        "sus",
        "add",
        "no",
        "omit",
        "alt",
        "m",
        "M",
        "6/9",
        "13",
        "11",
        "VII",
        "ii",
        "III",
    ),
    *("minor", "major", "dorian", "Coda", "D.C.", "N.C.", "Ger", "N6", "\0", "𝄫", "é", "\n"),
]
_TEXTS = st.lists(st.sampled_from(_PIECES), max_size=8).map("".join) | st.text(max_size=6)


@pytest.mark.parametrize("parse", [parse_chord, parse_key, parse_numeral])
def test_any_text_is_read_or_refused(parse: Callable[[str], object | Fault]) -> None:
    """Whatever stands there gives a value or a fault that points into the text."""

    @given(_TEXTS)
    def check(text: str) -> None:
        found = parse(text)
        if isinstance(found, Fault):
            assert 0 <= found.offset <= len(text)
            assert found.text

    check()


@pytest.mark.parametrize(
    ("parse", "texts"),
    [
        (
            parse_chord,
            "Bb6/9/F C7(b9,#11,b13) F#m7b5/E CmMaj9 Ebsus24 C+maj7 Dø11/Ab A°7/C E7#9#5",
        ),
        (
            parse_numeral,
            "V7(b9,#11)/4 viio7/V/#4 bVIImaj9 #ivø7 I69/3 III+maj7 V13sus4(b9) iv(add9)/b3",
        ),
    ],
)
def test_a_damaged_text_is_read_or_refused(parse: Callable[[str], object | Fault], texts: str) -> None:
    """One letter lost, doubled or exchanged never breaks a parser."""
    for text in texts.split():
        assert not isinstance(parse(text), Fault)
        for at in range(len(text)):
            for other in ("", text[at] * 2, "b", "#", "/", "(", ")", "7", "z"):
                found = parse(text[:at] + other + text[at + 1 :])
                assert not isinstance(found, Fault) or found.text
