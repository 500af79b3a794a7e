"""The ABC writer, and that reading and writing are inverse."""

from __future__ import annotations

from hypothesis import given, settings

from tests.strategies import tunes
from transposary.passage import Passage
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc, write_abc


@settings(max_examples=100, deadline=None)
@given(tunes())
def test_reads_back_what_it_writes(passage: Passage) -> None:
    """Reading the ABC of any passage gives an equal passage without a problem."""
    text = write_abc(passage)
    again, problems = read_abc(SourceText(text, Place("x.md")), None)
    assert problems == (), text
    assert again == passage, text
