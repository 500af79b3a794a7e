"""The claim `intervals`."""

import pytest

from tests.theory.build import build
from tests.theory.claims.claiming import holds, judged, kind
from transposary.passage import Passage

SIXTHS = build("[E4 C5] [F4 D5] [F#4 D#5] [G4 E5]")
HELD = build("[C4 G4]:2 [D4 F4]:2", RH2="r:2 B3:2", LH="C3 D3 [C2 E3]:2")
PEDAL = build("G4 A4 B4 C5", RH2="C4:4")
TRITONE = build("[F4 B4]:2 [B3 F4]:2")


@pytest.mark.parametrize(
    ("passage", "scope", "words"),
    [
        (SIXTHS, None, "m6 M6 M6 M6"),
        (build("[C4 E4]:4 [C4 F4]:4"), None, "M3 | P4"),
        (HELD, "LH", "M10"),
        (HELD, None, "P5 M10"),
        (PEDAL, "RH", "P5 M6 M7 P8"),
        (TRITONE, None, "A4 d5"),
        (PEDAL, None, "P5"),
    ],
)
def test_true_intervals_have_no_problem(passage: Passage, scope: str | None, words: str) -> None:
    """A double stop is two notes that sound in one hand, struck together or one of them held."""
    assert judged(passage, "intervals", words, scope) == []


def test_the_truth_counts_each_hand_by_itself() -> None:
    """Without a scope every hand's double stops count, those of three notes do not."""
    assert kind("intervals").truth_text(HELD, None) == "P5 M10"
    assert kind("intervals").truth_text(PEDAL, None) == "P5 M6 M7 P8"


@pytest.mark.parametrize(
    ("passage", "words", "problem"),
    [
        (SIXTHS, "m6 M6 m6 M6", (
            "20:7", "m6 is written, the double stops have M6 (F#4 D#5) in bar 1, beat 3",
            'write intervals: "m6 M6 M6 M6"',
        )),
        (TRITONE, "A4 A4", (
            "20:4", "A4 is written, the double stops have d5 (B3 F4) in bar 1, beat 3",
            holds("by its sound; the notes are spelled otherwise", 'intervals: "A4 d5"'),
        )),
        (SIXTHS, "M3 m3 m3 m3", (
            "20:1", "M3 is written, the double stops have m6 (E4 C5) in bar 1, beat 1",
            holds("inverted, with the lower note an octave up", 'intervals: "m6 M6 M6 M6"'),
        )),
        (build("C4:4", LH="[C2 E3]:4"), "M3", (
            "20:1", "M3 is written, the double stops have M10 (C2 E3) in bar 1, beat 1",
            holds("within the octave; compound intervals keep their size", 'intervals: "M10"'),
        )),
        (SIXTHS, "6 M6", (
            "20:1", "an interval is expected, '6' found", "write intervals as M3 m7 P5 A4 d5 M10",
        )),
        (SIXTHS, "m6 M5", (
            "20:4", "there is no interval 'M5'", "intervals of that size are P, A or d",
        )),
        (SIXTHS, "P6", (
            "20:1", "there is no interval 'P6'", "intervals of that size are M, m, A or d",
        )),
        (build("C4:4"), "M3", ("19:1", "no hand sounds two notes at once", "leave the claim out")),
    ],
)  # fmt: skip
def test_false_intervals_are_named_at_their_word(
    passage: Passage, words: str, problem: tuple[str, str, str]
) -> None:
    """A message names the interval, its two notes and a reading that holds."""
    assert judged(passage, "intervals", words) == [problem]
