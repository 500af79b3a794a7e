"""Sketches written out in notes."""

from __future__ import annotations

import pytest

from transposary.passage import Hand
from transposary.problems import Fault, Place, SourceText
from transposary.reading.abc import write_abc
from transposary.reading.drafting import Sketch, draft_passage
from transposary.reading.values import parse_meter
from transposary.theory.keys import parse_key


def source(text: str) -> SourceText:
    """Gives a text a place."""
    return SourceText(text, Place("x"))


def music(*said: str, meter: str = "4/4", key: str = "C", hand: Hand) -> str:
    """Writes degrees, rhythm and chords out, and gives the line of music."""
    degrees, rhythm, chords = (source(text) for text in said)
    signature, tonic = parse_meter(meter), parse_key(key)
    assert not isinstance(signature, Fault)
    assert not isinstance(tonic, Fault)
    sketch = Sketch(tonic, signature, degrees, rhythm, chords, hand)
    passage, problems = draft_passage(sketch)
    assert problems == ()
    assert passage is not None
    return write_abc(passage).splitlines()[-1]


@pytest.mark.parametrize(
    ("degrees", "rhythm", "chords", "meter", "expected"),
    [
        ("1 2 3 | 4", "1 3 4 | 1", "C | F", "4/4", '"C"C2 D E | "F"F4 |]'),
        ("1 2", "2 4&", "C", "4/4", '"C"z2 C4- CD |]'),
        ("1 2 3", "1 2& 4", "C", "4/4", '"C"C3 D- D2 E2 |]'),
        ("1 2 3", "1& 2& 4", "C", "4/4", '"C"z C2 D- D2 E2 |]'),
        ("1 2 3 4 5", "1 1e 1& 1a 2", "C", "4/4", '"C"CDEF G12 |]'),
        ("1 2 3 4", "1 1trip 1let 2", "C", "4/4", '(3"C"CDE F6 |]'),
        ("1 2 3", "1 2let 3", "C", "4/4", '"C"C2- (3:2:2C2 D E4 |]'),
        ("1", "1", "C / G /", "4/4", '"C"C2- "G"C2 |]'),
        ("1", "1", "C", "5/4", '"C"C4- C |]'),
        ("1 2", "1 2li", "C", "6/8", '"C"C3- C2 D |]'),
        ("1 2 3", "1 1li 3", "C", "12/8", '"C"C2 D- D3 E6 |]'),
        ("1 2 | 3", "1 2 | 2", "C | %", "2/2", '"C"C2 D2 | "C"z2 E2 |]'),
    ],
)
def test_lengths_show_the_beats(degrees: str, rhythm: str, chords: str, meter: str, expected: str) -> None:
    """Notes last until the next one or the end of the bar, written so that beats stay visible."""
    assert music(degrees, rhythm, chords, meter=meter, hand=Hand.RIGHT) == expected


@pytest.mark.parametrize(
    ("degrees", "key", "hand", "expected"),
    [
        ("1 5", "C", Hand.LEFT, '"C"C,2 G,,2 |]'),
        ("1 4", "E", Hand.LEFT, '"C"E,,2 A,,2 |]'),
        ("5 1", "G", Hand.RIGHT, '"C"D2 G2 |]'),
        ("b3 b7", "A minor", Hand.RIGHT, '"C"C2 G,2 |]'),
        ("(1 3 5) (4 6 1)", "C", Hand.LEFT, '"C"[C,E,G,]2 [F,A,C]2 |]'),
        ("(1 1) (5 5)", "F", Hand.LEFT, '"C"[F,F]2 [C,C]2 |]'),
    ],
)
def test_the_register_suits_the_hand(degrees: str, key: str, hand: Hand, expected: str) -> None:
    """A bass lies low, chords in the left hand above it, the right hand about middle C."""
    assert music(degrees, "1 3", "C", key=key, hand=hand) == expected


def test_a_long_climb_stays_in_its_register() -> None:
    """A line that would leave its register turns back by an octave."""
    climb = " | ".join(["1 2 3 4 5 6 7"] * 3)
    rhythm = " | ".join(["1 1& 2 2& 3 3& 4"] * 3)
    assert music(climb, rhythm, "C | C | C", hand=Hand.LEFT) == (
        '"C"C,D, E,F, G,A, B,2 | "C"CD EF GA, B,2 | "C"CD EF GA, B,2 |]'
    )


def _with_pickup(degrees: str, rhythm: str | None, chords: str) -> Sketch:
    signature, tonic = parse_meter("4/4"), parse_key("C")
    assert not isinstance(signature, Fault)
    assert not isinstance(tonic, Fault)
    counted = None if rhythm is None else source(rhythm)
    return Sketch(tonic, signature, source(degrees), counted, source(chords), Hand.RIGHT, pickup=True)


@pytest.mark.parametrize(
    ("degrees", "rhythm", "chords", "expected"),
    [
        ("5 | 1 3", "4 | 1 3", "C", 'G, | "C"C2 E2 |]'),
        ("5 6 7 | 1", "3& 4 4& | 1", "C", 'z G, A,B, | "C"C8 |]'),
        ("5 | 1 | 2", "2 | 1 | 3", "C | G", 'G,3 | "C"C4 | "G"z2 D2 |]'),
    ],
)
def test_a_pickup_comes_before_the_first_chord(degrees: str, rhythm: str, chords: str, expected: str) -> None:
    """It is as long as its first note needs, from the beat on, and the bars are counted behind it."""
    passage, problems = draft_passage(_with_pickup(degrees, rhythm, chords))
    assert problems == ()
    assert passage is not None
    assert write_abc(passage).splitlines()[-1] == expected
    assert [bar.number for bar in passage.bars] == list(range(len(passage.bars)))


@pytest.mark.parametrize(
    ("degrees", "rhythm", "chords", "said"),
    [
        (
            "5 | 1",
            "1 | 1",
            "C",
            (
                "expected a pickup that begins on beat 2 or later; write it before the first `|`, "
                'such as "4 | 1 3"'
            ),
        ),
        ("5 | 1", None, "C", "a pickup needs --rhythm, which says where it begins"),
        (
            "5 | 1",
            "4 | 1",
            "C | F",
            "the degrees have 2 bars, the chords have 3 with the pickup; part the bars of both by `|`",
        ),
        (
            "5 6 | 1",
            "4 | 1",
            "C",
            "bar 0 has 2 degrees for 1 place of the rhythm; notes struck together are written (1 3 5)",
        ),
    ],
)
def test_a_pickup_that_cannot_be_is_told(degrees: str, rhythm: str | None, chords: str, said: str) -> None:
    """A pickup without a place, on the first beat, or with a chord too many is said."""
    passage, problems = draft_passage(_with_pickup(degrees, rhythm, chords))
    assert passage is None
    assert [f"{one.text}; {one.hint}" if one.hint else one.text for one in problems] == [said]
