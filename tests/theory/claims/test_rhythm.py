"""The claim `rhythm`."""

import pytest

from tests.theory.build import build
from tests.theory.claims.claiming import holds, judged, kind
from transposary.passage import Passage

PUSH = build("C4:3/2 D4 E4:1/2 F4~ F4:4 r:1/2 G4:1/2 r:3")
TRIPLET = build("C4:1/3 D4:1/3 E4:1/3 F4:2/3 G4:1/3 A4:1/4 B4:1/4 C5:1/4 D5:1/4 C5")
TWELVE = build("C4:1/2 E4:1/2 G4:1/2 C5:1/4 B4:1/4 A4:1/2 G4:1/2 E4:3/2 C4:3/2", meter="12/8")
CUT = build("C4 D4 E4 F4:1/2 G4:1/2", meter="2/2")
SIX = build("C4:1/2 D4:1/2 E4:1/2 F4:3/2", meter="6/8")
HANDS = build("C4 r E4 r", LH="r D3 r F3")
PICKUP = build("G3:1/2 A3:1/2 | B3:2 C4:2")


@pytest.mark.parametrize(
    ("passage", "scope", "words"),
    [
        (PUSH, None, "1 2& 3& 4 | | 1&"),
        (PUSH, None, "1 2& 3& 4 1&"),
        (TRIPLET, None, "1 trip let 2 let 3 e & a 4"),
        (TRIPLET, None, "1 la li 2 li 3 e & a 4"),
        (TWELVE, None, "1 la li 2 ta la li 3 4"),
        (CUT, None, "1 & 2 & a"),
        (SIX, None, "1 la li 2"),
        (HANDS, None, "1 2 3 4"),
        (HANDS, "RH", "1 3"),
        (HANDS, "LH", "2 4"),
        (PICKUP, None, "4 & | 1 3"),
        (build("[C4 E4]:2 {D4}E4:2"), None, "1 3"),
        (build("C4:9/5 D4:11/5"), None, "1 2+4/5"),
    ],
)
def test_true_rhythm_has_no_problem(passage: Passage, scope: str | None, words: str) -> None:
    """Struck places are counted in the meter's beats; ties and grace notes are not struck."""
    assert judged(passage, "rhythm", words, scope) == []


@pytest.mark.parametrize(
    ("passage", "scope", "text"),
    [
        (build("C4:3/2 D4 E4:1/2 F4~ F4:4 r:1/2 G4:1/2 r:3"), None, "1 2& 3& 4 | | 1&"),
        (TRIPLET, None, "1 trip let 2 let 3 e & a 4"),
        (TWELVE, None, "1 la li 2 ta la li 3 4"),
        (CUT, None, "1 & 2 & a"),
        (PICKUP, None, "4 & | 1 3"),
        (HANDS, "LH", "2 4"),
    ],
)
def test_the_truth_is_counted_aloud(passage: Passage, scope: str | None, text: str) -> None:
    """A syllable leans on the beat that was said before it in its bar."""
    assert kind("rhythm").truth_text(passage, scope) == text


@pytest.mark.parametrize(
    ("passage", "scope", "words", "problem"),
    [
        (PUSH, None, "1 2 3& 4 | | 1&", (
            "20:3", "2 is written, the notes have 2& (D4) in bar 1, beat 2&",
            'write rhythm: "1 2& 3& 4 | | 1&"',
        )),
        (PUSH, None, "1 2& 3& 4 | 1&", (
            "20:13", "a barline is missing before 1& (G4), which comes in bar 3, beat 1&",
            'write rhythm: "1 2& 3& 4 | | 1&"',
        )),
        (SIX, None, "1 2 3 4", (
            "20:3", "2 is written, the notes have la (D4) in bar 1, beat 1la",
            holds("counted in eighths, which is not the beat of 6/8", 'rhythm: "1 la li 2"'),
        )),
        (CUT, None, "1 2 3 4 &", (
            "20:3", "2 is written, the notes have & (D4) in bar 1, beat 1&",
            holds("counted in quarters, which is not the beat of 2/2", 'rhythm: "1 & 2 & a"'),
        )),
        (HANDS, None, "1 3", (
            "20:3",
            "3 is written, the notes have 2 (D3) in bar 1, beat 2; 2 strokes are written, 4 are there",
            holds("for RH", 'rhythm: "1 2 3 4"'),
        )),
        (PUSH, None, "1 | & 2", (
            "20:5", "no beat is named before '&'", "name the beat in front: 1 & or 1&",
        )),
        (PUSH, None, "1 (2 3)", (
            "20:3", "a place to count is expected, '(2' found",
            "count beats as 1 2, their parts as 1 e & a, 1 trip let or 1 la li, anything else as 2+3/8",
        )),
        (build("r:4"), None, "1", ("19:1", "nothing is struck", "leave the claim out")),
    ],
)  # fmt: skip
def test_false_rhythm_is_named_at_its_word(
    passage: Passage, scope: str | None, words: str, problem: tuple[str, str, str]
) -> None:
    """A message names the place that was said, the one that is struck, and the note."""
    assert judged(passage, "rhythm", words, scope) == [problem]
