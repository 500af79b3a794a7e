"""How words count notes: the grammar of claims."""

import pytest

from tests.theory.lines import key, truth
from transposary.problems import Fault
from transposary.theory.counting import Line, read_groups, read_words, render, with_keys


@pytest.mark.parametrize(
    "text", ["1 2 b3", "1 2 | 3", "(1 3 5) 2 | | 4", "{2} 1 {(1 3)} 5", "{2 b3} 3 | {2} 1"]
)
def test_the_grammar_reads_what_it_writes(text: str) -> None:
    """What the notes say is written in the grammar in which claims are read."""
    assert render(truth(text)) == text


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
    found = with_keys(read_groups(text), key)
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
