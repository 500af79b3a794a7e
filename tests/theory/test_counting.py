"""How words count notes: the grammar of claims, where words and notes part, the line mended."""

from fractions import Fraction

import pytest

from transposary.problems import Fault
from transposary.theory.counting import (
    Fact,
    Line,
    Moment,
    Telling,
    Truth,
    corrected,
    first_parting,
    read_groups,
    read_words,
    render,
    with_keys,
)

TWO_FOR_THREE = "; 2 degrees are written, 3 are there"
LOWEST_FIRST = "; notes together are written lowest first"
TELLING = Telling("degrees", "the notes", "bar {}".format)
NAMES = {"1": "C4", "2": "D4", "b3": "Eb4", "3": "E4", "4": "F4", "5": "G4"}


def _key(word: str) -> str | Fault:
    return word if word in NAMES else Fault(0, f"no degree: {word}")


def _line(text: str) -> Line:
    line = with_keys(read_groups(text), _key)
    assert isinstance(line, Line), line
    return line


def _truth(text: str) -> Truth:
    """Makes the truth that a line would be: the fixture says the music in the grammar itself."""
    return tuple(
        Moment(
            group.bar + 1,
            Fraction(group.bar + 1),
            tuple(Fact(word.text, frozenset({word.text}), NAMES[word.text]) for word in group.words),
            grace=group.grace,
        )
        for group in _line(text).groups
    )


def _parting(text: str, truth: str) -> tuple[int, str] | None:
    found = first_parting(_line(text), _truth(truth), TELLING)
    return None if found is None else (found.offset, found.text)


@pytest.mark.parametrize(
    "text", ["1 2 b3", "1 2 | 3", "(1 3 5) 2 | | 4", "{2} 1 {(1 3)} 5", "{2 b3} 3 | {2} 1"]
)
def test_the_grammar_reads_what_it_writes(text: str) -> None:
    """What the notes say is written in the grammar in which claims are read."""
    assert render(_truth(text)) == text


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
    line = _line(text)
    texts = corrected(line, _truth(truth))
    assert texts == mended.replace("(1)", "1")


@pytest.mark.parametrize(
    ("text", "offset", "message"),
    [
        ("1 9 3", 2, "no degree: 9"),
        ("1 (2 9)", 5, "no degree: 9"),
        ("1 {9}", 3, "no degree: 9"),
        ("1 (2 | 3)", 2, "'(' is never closed in its bar"),
        ("1 2)", 3, "')' closes nothing"),
        ("{1 2", 0, "'{' is never closed in its bar"),
        ("1 ()", 2, "the parentheses are empty"),
        ("{ } 1", 0, "the braces are empty"),
        ("  ", 0, "the claim says nothing"),
        ("|", 0, "the claim says nothing"),
    ],
)
def test_unreadable_lines_are_faults(text: str, offset: int, message: str) -> None:
    """What cannot be read is refused at its place."""
    found = with_keys(read_groups(text), _key)
    assert isinstance(found, Fault)
    assert (found.offset, found.text) == (offset, message)


def test_words_alone_know_no_brackets() -> None:
    """Where brackets belong to the words, only blanks and barlines part them."""
    line = read_words("V7(b9) V7/ii | I")
    assert isinstance(line, Line)
    assert [(group.text, group.offset, group.bar) for group in line.groups] == [
        ("V7(b9)", 0, 0),
        ("V7/ii", 7, 0),
        ("I", 15, 1),
    ]
    assert isinstance(read_words(" | "), Fault)
