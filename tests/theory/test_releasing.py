"""Notes let go at a moment."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import tunes
from tests.theory.abc import passage
from transposary.notes import attacks
from transposary.passage import Passage
from transposary.reading.abc import write_abc
from transposary.theory.releasing import release

HEAD = "M: 4/4\nL: 1/4\nK: C\n"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("C D E2- | E4 |]", "C D E2 | z4 |]"),
        ("C4- | C4- | C2 D2 |]", "C4 | z4 | z2 D2 |]"),
        ("[C-E]4 | [CG]4 |]", "[CE]4 | G4 |]"),
        ("C4 | C4 |]", "C4 | C4 |]"),
        ("(C4- | C4) |]", "(C4- | C4) |]"),
    ],
)
def test_what_is_held_goes_and_what_is_struck_stays(before: str, after: str) -> None:
    """Let go after a bar: ties end there; a chord keeps its new notes, a slur keeps its voice."""
    assert write_abc(release(passage(HEAD + before), Fraction(4))) == write_abc(passage(HEAD + after))


def test_a_note_is_shortened_within_its_bar() -> None:
    """A whole note let go after two beats is a half with a rest."""
    let_go = release(passage(HEAD + "C4 |]"), Fraction(2))
    assert write_abc(let_go) == write_abc(passage(HEAD + "C2 z2 |]"))


@given(tunes(), st.integers(0, 16))
def test_nothing_is_struck_that_was_not(tune: Passage, beats: int) -> None:
    """Every attack stays at its time, none comes in, and each voice still fills its bars."""
    let_go = release(tune, Fraction(beats))
    struck = [(note.voice, note.onset, note.pitch) for note in attacks(let_go)]
    assert struck == [(note.voice, note.onset, note.pitch) for note in attacks(tune)]
    assert [[one.end for one in voice.events][-1] for voice in let_go.voices] == [
        voice.events[-1].end for voice in tune.voices
    ]
