"""Counting aloud."""

from fractions import Fraction

import pytest

from transposary.problems import Fault
from transposary.theory.beats import Spoken, name_place, parse_place, say_place


def _read(text: str) -> list[Fraction]:
    last, found = Spoken(), []
    for word in text.split():
        read = parse_place(word, last)
        assert not isinstance(read, Fault), read
        place, last = read
        found.append(place)
    return found


def _say(places: list[Fraction], *, compound: bool) -> str:
    last, words = Spoken(), []
    for place in places:
        word, last = say_place(place, last, compound=compound)
        words.append(word)
    return " ".join(words)


def _parts(beat: int, *parts: str) -> list[Fraction]:
    return [beat + Fraction(part) for part in parts]


@pytest.mark.parametrize(
    ("text", "places", "compound"),
    [
        ("1 e & a", _parts(1, "0", "1/4", "1/2", "3/4"), False),
        ("1 2& 4", [Fraction(1), Fraction(5, 2), Fraction(4)], False),
        ("2e a", _parts(2, "1/4", "3/4"), False),
        ("1 trip let", _parts(1, "0", "1/3", "2/3"), False),
        ("1 ta trip & let letta", _parts(1, "0", "1/6", "1/3", "1/2", "2/3", "5/6"), False),
        ("1 la li", _parts(1, "0", "1/3", "2/3"), True),
        ("1 ta la lata li lita", _parts(1, "0", "1/6", "1/3", "1/2", "2/3", "5/6"), True),
        ("2li 3", [Fraction(8, 3), Fraction(3)], True),
        ("1 1+1/5 1+3/8 2", [Fraction(1), Fraction(6, 5), Fraction(11, 8), Fraction(2)], False),
    ],
)
def test_places_are_read_and_said_alike(text: str, places: list[Fraction], *, compound: bool) -> None:
    """What is read from the words of counting is said in the same words again."""
    assert _read(text) == places
    assert _say(places, compound=compound) == text


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("1 ta la ta li ta", _parts(1, "0", "1/6", "1/3", "1/2", "2/3", "5/6")),
        ("1 and 2", [Fraction(1), Fraction(3, 2), Fraction(2)]),
        ("1 la li 2 trip let", _parts(1, "0", "1/3", "2/3") + _parts(2, "0", "1/3", "2/3")),
    ],
)
def test_other_ways_of_the_trade_are_understood(text: str, places: list[Fraction]) -> None:
    """`ta` may lean on the third before it, thirds have two names, and `and` is `&`."""
    assert _read(text) == places


@pytest.mark.parametrize(
    ("word", "message"),
    [
        ("x", "a place to count is expected, 'x' found"),
        ("+1/2", "a place to count is expected, '+1/2' found"),
        ("&", "no beat is named before '&'"),
        ("2+5/4", "'2+5/4' is past its beat"),
        ("0", "no beat is named before '0'"),
    ],
)
def test_words_that_count_nothing_are_refused(word: str, message: str) -> None:
    """A word that names no place is a fault, not a guess."""
    found = parse_place(word, Spoken())
    assert isinstance(found, Fault)
    assert found.text == message


def test_messages_name_places_in_full() -> None:
    """A place in a message always has its beat."""
    assert name_place(Fraction(5, 2), compound=False) == "2&"
    assert name_place(Fraction(5, 3), compound=True) == "1li"
