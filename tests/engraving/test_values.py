"""Written note values."""

from fractions import Fraction

import pytest

from transposary.engraving.values import Value, event_pieces, split, value_of
from transposary.passage import Event, Head, Meter, Tuplet
from transposary.pitch import Pitch

_C4 = (Head(Pitch.parse("C4")),)


def _meter(text: str) -> Meter:
    count, unit = text.split("/")
    return Meter(int(count), int(unit))


def _lengths(offset: str, duration: str, meter: str, *, rest: bool) -> str:
    pieces = split(Fraction(offset), Fraction(duration), _meter(meter), rest=rest)
    return " ".join(str(piece.duration) for piece in pieces)


@pytest.mark.parametrize(
    ("meter", "offset", "duration", "expected"),
    [
        ("4/4", "0", "4", "4"),
        ("4/4", "0", "3", "3"),
        ("4/4", "1", "3", "3"),
        ("4/4", "1", "2", "2"),
        ("4/4", "1/2", "1", "1"),
        ("4/4", "1/2", "3/2", "3/2"),
        ("4/4", "3/2", "1", "1/2 1/2"),
        ("4/4", "3/2", "3/2", "1/2 1"),
        ("4/4", "3/2", "5/2", "1/2 2"),
        ("4/4", "0", "5/2", "2 1/2"),
        ("4/4", "0", "7/2", "2 3/2"),
        ("4/4", "1/2", "7/2", "3/2 2"),
        ("4/4", "1/4", "1/2", "1/2"),
        ("4/4", "3/4", "1/2", "1/4 1/4"),
        ("4/4", "1/4", "1", "3/4 1/4"),
        ("4/4", "1/2", "3/4", "1/2 1/4"),
        ("4/4", "0", "7/4", "7/4"),
        ("3/4", "0", "5/2", "2 1/2"),
        ("3/4", "1/2", "2", "1/2 3/2"),
        ("3/4", "3/2", "3/2", "3/2"),
        ("3/4", "0", "3", "3"),
        ("7/4", "0", "7", "6 1"),
        ("5/4", "0", "5", "3 2"),
        ("5/4", "3/2", "2", "3/2 1/2"),
        ("2/2", "1", "2", "2"),
        ("2/2", "3/2", "1", "1/2 1/2"),
        ("6/8", "0", "3", "3"),
        ("6/8", "0", "2", "3/2 1/2"),
        ("6/8", "1", "1", "1/2 1/2"),
        ("6/8", "1/2", "1", "1"),
        ("12/8", "0", "9/2", "3 3/2"),
        ("12/8", "3/2", "9/2", "3/2 3"),
        ("12/8", "0", "3/4", "3/4"),
    ],
)
def test_a_note_shows_the_middle_of_the_bar_and_the_beats(
    meter: str, offset: str, duration: str, expected: str
) -> None:
    """Common practice, no source: off-beat notes are tied over the middle, beats of three are kept."""
    assert _lengths(offset, duration, meter, rest=False) == expected


@pytest.mark.parametrize(
    ("meter", "offset", "duration", "expected"),
    [
        ("4/4", "1", "2", "1 1"),
        ("4/4", "0", "3", "2 1"),
        ("4/4", "1", "3", "1 2"),
        ("4/4", "1/2", "3/2", "1/2 1"),
        ("4/4", "1/4", "3/4", "1/4 1/2"),
        ("6/8", "3/2", "3/2", "3/2"),
        ("6/8", "0", "2", "3/2 1/2"),
    ],
)
def test_rests_show_every_beat(meter: str, offset: str, duration: str, expected: str) -> None:
    """Common practice, no source: a rest is never syncopated, and dotted only in beats of three."""
    assert _lengths(offset, duration, meter, rest=True) == expected


@pytest.mark.parametrize(("offset", "duration"), [("0", "1/3"), ("0", "1/1024"), ("1/3", "1/2")])
def test_a_length_without_note_values_is_refused(offset: str, duration: str) -> None:
    """A third of a quarter outside a tuplet cannot be written, and the error says so."""
    with pytest.raises(ValueError, match=r"no note value lasts \S+ quarter notes$"):
        split(Fraction(offset), Fraction(duration), Meter(4, 4), rest=False)


def test_a_length_that_no_tuplet_has_is_refused() -> None:
    """A seventh of a quarter is in no triplet."""
    event = Event(Fraction(0), Fraction(1, 7), _C4, tuplet=Tuplet(3, 2))
    with pytest.raises(ValueError, match="no note value lasts 1/7 quarter notes in a tuplet 3:2"):
        event_pieces(event, Fraction(0), Meter(4, 4))


@pytest.mark.parametrize(
    ("duration", "tuplet", "values"),
    [
        ("1/3", Tuplet(3, 2), [Value(4)]),
        ("2/3", Tuplet(3, 2), [Value(3)]),
        ("1", Tuplet(3, 2), [Value(3, 1)]),
        ("5/6", Tuplet(3, 2), [Value(3), Value(5)]),
        ("1/5", Tuplet(5, 4), [Value(5)]),
    ],
)
def test_tuplets_are_written_in_the_values_of_their_group(
    duration: str, tuplet: Tuplet, values: list[Value]
) -> None:
    """An eighth of a triplet sounds a third of a quarter and is written as an eighth."""
    event = Event(Fraction(0), Fraction(duration), _C4, tuplet=tuplet)
    pieces = event_pieces(event, Fraction(0), Meter(4, 4))
    assert [piece.value for piece in pieces] == values
    assert sum(piece.duration for piece in pieces) == Fraction(duration)


def test_note_values_have_the_names_of_musicxml() -> None:
    """Breve to sixteenth, dots and flags come out as the standard names them."""
    found = [value_of(Fraction(text)) for text in ("8", "4", "3", "7/2", "1/2", "3/8")]
    assert [(v.name, v.dots, v.flags) for v in found if v] == [
        ("breve", 0, 0),
        ("whole", 0, 0),
        ("half", 1, 0),
        ("half", 2, 0),
        ("eighth", 0, 1),
        ("16th", 1, 2),
    ]
