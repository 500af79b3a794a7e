"""Chords and numerals of lead sheets that nobody here wrote, read from music21's package at test time.

`leadSheet/fosterBrownHair.mxl` (S. Foster, 1854, public domain) and tune 81 of the Nottingham
collection, with its chords in an older style of ABC. The numerals were counted by hand.
"""

from __future__ import annotations

import re
from importlib.util import find_spec
from pathlib import Path

import music21
import pytest

from tests.repertoire.songs import key_of
from tests.theory.build import chord
from transposary.passage import Chord, Key
from transposary.problems import Fault
from transposary.theory.chords import parse_chord
from transposary.theory.regions import song_harmony

SPEC = find_spec("music21")
assert SPEC is not None
assert SPEC.submodule_search_locations is not None
CORPUS = Path(SPEC.submodule_search_locations[0]) / "corpus"


def _counted(chords: list[Chord], key: Key) -> dict[str, str]:
    found = song_harmony([(one, key) for one in chords])
    return {str(one.chord): str(one.numeral) for one in found if one is not None}


def _old_style(text: str) -> tuple[Chord, str]:
    """Reads a chord as our reader does, after its advice where it refuses it."""
    found = parse_chord(text)
    if isinstance(found, Fault):
        better = found.hint.split("'")[1]
        return chord(better), better
    return found, text


@pytest.fixture(scope="module")
def nottingham() -> list[str]:
    """What stands in quotation marks in tune 81."""
    text = (CORPUS / "nottingham-dataset" / "reelsa-c.abc").read_text(encoding="utf-8")
    return re.findall(r'"([^"]+)"', text.partition("X: 81")[2])


def test_the_chords_of_a_song_of_1854() -> None:
    """Forty chords: tonic, subdominant, dominant, its own dominant and the sixth degree."""
    score = music21.converter.parse(CORPUS / "leadSheet" / "fosterBrownHair.mxl")
    figures = [one.figure.replace("-", "b") for one in score.recurse().getElementsByClass("ChordSymbol")]
    assert len(figures) == 40
    assert _counted([chord(figure) for figure in figures], key_of("F")) == {
        "F": "I",
        "Bb": "IV",
        "C": "V",
        "G7": "V7/V",
        "Dm": "vi",
    }


def test_a_reel_in_a_minor(nottingham: list[str]) -> None:
    """Twenty-five chords, with basses where the tune walks."""
    chords = [_old_style(text)[0] for text in nottingham]
    assert len(chords) == 25
    assert _counted(chords, key_of("A minor")) == {
        "Am": "i",
        "Am/C": "i/b3",
        "Am/E": "i/5",
        "Am/G": "i/b7",
        "C": "bIII",
        "D": "IV",
        "D/F#": "IV/6",
        "Dm": "iv",
        "E7": "V7",
        "F": "bVI",
        "G7/B": "bVII7/2",
    }


def test_basses_of_the_older_style_are_refused_by_name(nottingham: list[str]) -> None:
    """A small letter and a plus behind the slash are refused, and the right form is offered."""
    offered = {text: better for text in nottingham if (better := _old_style(text)[1]) != text}
    assert offered == {"Am/c": "Am/C", "Am/e": "Am/E", "Am/g": "Am/G", "D/f+": "D/F#", "G7/b": "G7/B"}


@pytest.mark.parametrize("text", ["D.C.", "D.S.", "Coda", "A MINOR", "A minor", "Fine"])
def test_words_are_no_chords(text: str) -> None:
    """Directions and keys that stand where chords stand are refused."""
    assert isinstance(parse_chord(text), Fault)
