"""Where words and notes part, and the line mended."""

import pytest

from tests.theory.lines import line
from tests.theory.lines import truth as truth_of
from transposary.theory.parting import Telling, corrected, first_parting

TWO_FOR_THREE = "; 2 degrees are written, 3 are there"
LOWEST_FIRST = "; notes together are written lowest first"
TELLING = Telling("degrees", "the notes", "bar {}".format)


def _parting(text: str, truth: str) -> tuple[int, str] | None:
    found = first_parting(line(text), truth_of(truth), TELLING)
    return None if found is None else (found.offset, found.text)


@pytest.mark.parametrize(
    ("text", "truth"),
    [
        ("1 ♭3", "1 b3"),
        ("| 1 2 | 3 |", "1 2 | 3"),
        ("1 2 3", "1 2 | 3"),
        ("1 3", "{b3} 1 3"),
        ("{b3} 1 3", "{b3} 1 3"),
        ("(1) 2", "1 2"),
        ("1|2", "1 | 2"),
    ],
)
def test_words_that_agree(text: str, truth: str) -> None:
    """Bars, outer barlines, grace notes and parentheses around one note may be left out."""
    assert _parting(text, truth) is None


@pytest.mark.parametrize(
    ("text", "truth", "offset", "message"),
    [
        ("1 2 3", "1 b3 3", 2, "2 is written, the notes have b3 (Eb4) in bar 1"),
        ("1 (1 2)", "1 (1 b3)", 5, "2 is written, the notes have b3 (Eb4) in bar 1"),
        ("(3 1)", "(1 3)", 1, "3 is written, the notes have 1 (C4) in bar 1" + LOWEST_FIRST),
        (
            "(1 3)",
            "(1 3 5)",
            0,
            "(1 3) is written, the notes have (1 3 5) (C4 E4 G4) in bar 1" + TWO_FOR_THREE,
        ),
        ("1 2", "1 2 | 3", 3, "3 (E4) in bar 2 is missing" + TWO_FOR_THREE),
        (
            "1 3 4",
            "1 2 3 4",
            2,
            "3 is written, the notes have 2 (D4) in bar 1; 3 degrees are written, 4 are there",
        ),
        ("1 2 3", "1 2", 4, "3 comes after the last one; 3 degrees are written, 2 are there"),
        ("1 | 2 3", "1 2 | 3", 4, "a barline stands before 2 (D4), which comes in bar 1"),
        ("1 2 3 | 4", "1 2 | 3 | 4", 4, "a barline is missing before 3 (E4), which comes in bar 2"),
        ("1 | 4", "1 | | 4", 4, "a barline is missing before 4 (F4), which comes in bar 3"),
        ("{2} 1", "{b3} 1", 1, "2 is written, the notes have b3 (Eb4) in bar 1"),
        ("{2} 1", "1", 1, "{2} is written as a grace note, the notes have 1 (C4) in bar 1"),
    ],
)
def test_words_that_part(text: str, truth: str, offset: int, message: str) -> None:
    """The first word that differs is named, with what the notes have there."""
    assert _parting(text, truth) == (offset, message)


@pytest.mark.parametrize(
    ("text", "truth", "mended"),
    [
        ("1 2 3", "1 b3 | 3", "1 b3 3"),
        ("1 | 3", "1 b3 | 3", "1 b3 | 3"),
        ("1 2", "{b3} 1 3", "1 3"),
        ("{2} 1 2", "{b3} 1 3", "{b3} 1 3"),
        ("(1) 2", "1 3", "(1) 3"),
    ],
)
def test_the_mended_line_keeps_the_authors_ways(text: str, truth: str, mended: str) -> None:
    """Bars and grace notes are written where the author writes them, true words stay."""
    texts = corrected(line(text), truth_of(truth))
    assert texts == mended.replace("(1)", "1")
