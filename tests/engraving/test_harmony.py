"""Chord symbols in MusicXML."""

import pytest

from transposary.engraving.harmony import Change, harmony_element, kind_of
from transposary.passage import Chord
from transposary.theory.chords import parse_chord


def _chord(text: str) -> Chord:
    read = parse_chord(text)
    assert isinstance(read, Chord), read
    return read


@pytest.mark.parametrize(
    ("symbol", "kind", "changes"),
    [
        ("C", "major", ()),
        ("Cm7b5", "half-diminished", ()),
        ("Cdim7", "diminished-seventh", ()),
        ("C13", "dominant-13th", (Change("subtract", 11, 0),)),
        ("C7b9", "dominant", (Change("add", 9, -1),)),
        ("C7#5", "augmented-seventh", ()),
        ("C7b5", "dominant", (Change("alter", 5, -1),)),
        ("C7sus4", "suspended-fourth", (Change("add", 7, 0),)),
        ("Cmaj7sus4", "suspended-fourth", (Change("add", 7, 1),)),
        ("C69", "major-sixth", (Change("add", 9, 0),)),
        ("Cmaj7#11", "major-seventh", (Change("add", 11, 1),)),
        ("C9#11", "dominant-ninth", (Change("add", 11, 1),)),
        ("Cadd9", "major", (Change("add", 9, 0),)),
        ("C7b9#9", "dominant", (Change("add", 9, -1), Change("add", 9, 1))),
    ],
)
def test_the_kind_comes_from_the_tones(symbol: str, kind: str, changes: tuple[Change, ...]) -> None:
    """Each chord is the nearest kind of the standard, and degrees say what that leaves open."""
    assert kind_of(_chord(symbol).tones) == (kind, changes)


def test_a_symbol_keeps_the_letters_of_its_author() -> None:
    """The suffix is the printed text, a natural root writes no alteration, the bass stands apart."""
    assert harmony_element(_chord("C-7b5/Gb"), offset=3) == (
        '<harmony><root><root-step>C</root-step></root><kind text="-7♭5">half-diminished</kind>'
        "<bass><bass-step>G</bass-step><bass-alter>-1</bass-alter></bass><offset>3</offset></harmony>"
    )


def test_no_chord_is_of_the_kind_none() -> None:
    """`N.C.` prints as itself and no root with it, as the standard asks."""
    assert harmony_element(None, offset=0) == (
        '<harmony><root><root-step text="">C</root-step></root><kind text="N.C.">none</kind></harmony>'
    )
