"""Short values of fields."""

from __future__ import annotations

import pytest

from transposary.glossary import BarRange
from transposary.passage import Feel, FeelKind, Meter
from transposary.pitch import Pitch
from transposary.problems import Fault
from transposary.reading.values import parse_bars, parse_feel, parse_meter, parse_over, parse_range


@pytest.mark.parametrize(
    ("text", "first", "last", "section"),
    [
        ("5-6", 5, 6, None),
        ("5–6", 5, 6, None),
        ("7", 7, 7, None),
        ("0 - 1", 0, 1, None),
        ("B 3-4", 3, 4, "B"),
        ("A2 3", 3, 3, "A2"),
        ("Verse 1 3–4", 3, 4, "Verse 1"),
    ],
)
def test_bars(text: str, first: int, last: int, section: str | None) -> None:
    """Bars are counted through the form, or in a section whose name may hold digits."""
    assert parse_bars(text) == BarRange(first, last, section)


@pytest.mark.parametrize("text", ["", "B", "3-", "-3", "3-4-5", "three", "99999"])
def test_no_bars(text: str) -> None:
    """What names no bars is refused."""
    assert parse_bars(text) == Fault(
        0, f"expected bars such as 5-6, or B 3-4 for those of a section, found `{text}`"
    )


def test_meter_feel_and_range() -> None:
    """Meters, feels and ranges are read as musicians write them."""
    assert [str(parse_meter(text)) for text in ("4/4", "12 / 8", "C", "C|")] == ["4/4", "12/8", "4/4", "2/2"]
    assert parse_meter("C|") == Meter(2, 2)
    assert parse_feel("swing 16") == Feel(FeelKind.SWING, 16)
    assert parse_feel("Shuffle") == Feel(FeelKind.SHUFFLE, 8)
    assert parse_range("E1–B♭3") == (Pitch.parse("E1"), Pitch.parse("Bb3"))


def test_a_fault_within_over_keeps_its_place() -> None:
    """The numeral at fault is pointed at, not the whole text."""
    fault = parse_over("ii7 V7 | Q7")
    assert isinstance(fault, Fault)
    assert fault.offset == 9
