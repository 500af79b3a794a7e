"""Passages for tests, written in ABC."""

from transposary.passage import Passage
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc


def passage(text: str) -> Passage:
    """Reads ABC that has to be right."""
    found, problems = read_abc(SourceText(text, Place("test.md")), None)
    assert problems == ()
    assert found is not None
    return found
