"""The ABC writer, and that reading and writing are inverse."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given

from tests.strategies import tunes
from transposary.passage import Clef, Head, Passage
from transposary.pitch import Pitch
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc, write_abc


@given(tunes())
def test_reads_back_what_it_writes(passage: Passage) -> None:
    """Reading the ABC of any passage gives an equal passage without a problem."""
    text = write_abc(passage)
    again, problems = read_abc(SourceText(text, Place("x.md")), None)
    assert problems == (), text
    assert again == passage, text


def _read(text: str) -> Passage:
    passage, problems = read_abc(SourceText(text, Place("x")), None)
    assert problems == ()
    assert passage is not None
    return passage


def test_writes_what_an_author_would() -> None:
    """The text has the usual fields, the largest unit that fits, and four bars a line."""
    text = 'M:C|\nL:1/16\nK:Em clef=bass\n"Em"E,4|(3:2:3B,,4C,4D,4 E,8|z16|[E,B,]16-|[E,B,]16|]'
    assert write_abc(_read(text)) == (
        'M: C|\nL: 1/4\nK: Em clef=bass\n"Em"E, | (3B,, C, D, E,2 | z4 | [E,B,]4- |\n[E,B,]4 |]\n'
    )


def test_writes_a_voice_line_for_each_voice() -> None:
    """Two hands have their V: lines; the clef is left out where it is the usual one."""
    text = "M:4/4\nL:1/4\nK:C\nV:RH\nC4|\nV:LH clef=tenor\nC,4|"
    assert write_abc(_read(text)) == "M: 4/4\nL: 1/4\nK: C\nV:RH\nC4 |]\nV:LH clef=tenor\nC,4 |]\n"


def test_writes_accidentals_so_that_every_reader_agrees() -> None:
    """An accidental in another octave is written out again or taken back."""
    text = "M:4/4\nL:1/4\nK:C\n^F =f ^F =f|F4|"
    assert "^F =f ^F =f | F4" in write_abc(_read(text))


def test_a_symbol_without_an_event_has_no_place() -> None:
    """A chord symbol under which nothing begins cannot be written."""
    passage = _read('M:4/4\nL:1/4\nK:C\n"C"C4|')
    late = replace(passage, symbols=(replace(passage.symbols[0], onset=Fraction(2)),))
    with pytest.raises(ValueError, match="no note or rest begins under the chord symbol C"):
        write_abc(late)


def test_a_clef_without_an_event_has_no_place() -> None:
    """A clef that changes within a note cannot be written."""
    passage = _read("M:4/4\nL:1/4\nK:C\nC4|")
    voice = replace(passage.voices[0], clefs=((Fraction(0), Clef.TREBLE), (Fraction(1), Clef.BASS)))
    with pytest.raises(ValueError, match="no note or rest of RH begins where its clef changes"):
        write_abc(replace(passage, voices=(voice,)))


def test_a_triple_accidental_has_no_sign() -> None:
    """ABC has no sign for a triple sharp."""
    passage = _read("M:4/4\nL:1/4\nK:C\nC4|")
    event = replace(passage.voices[0].events[0], heads=(Head(Pitch(28, 3)),))
    with pytest.raises(ValueError, match="ABC writes no accidental of 3 semitones"):
        write_abc(replace(passage, voices=(replace(passage.voices[0], events=(event,)),)))
