"""A device and its version as played in one score."""

import re
from fractions import Fraction

import pytest

from tests.engraving.samples import SAMPLES, TWO_HANDS
from tests.theory.abc import passage
from transposary.engraving import Engraving, EngravingFailure, Job, engrave
from transposary.engraving.together import together
from transposary.notes import notes
from transposary.passage import Passage

DEVICE = passage('M:4/4\nL:1/4\nK:G\n"G7" G2 A B | "C7" c2 z2 |]')
VERSION = passage('M:4/4\nL:1/4\nK:G\n"G7" G A2 B | "Am7" c d "D7" e2 | "G" d4 |]')


def _drawn(device: Passage, version: Passage) -> Engraving | EngravingFailure:
    above = (device, ("x",) * len(notes(device)))
    return engrave([Job("one", "as-played-1", version, ("y",) * len(notes(version)), above=above)], 1)[0]


def test_the_shorter_passage_is_silent_to_the_end_of_the_longer_one() -> None:
    """Bars that only one of two passages has stand empty in the other, and no note moves."""
    both = together(DEVICE, VERSION)
    assert both is not None
    device, version = both
    assert version == VERSION
    assert device.bars == VERSION.bars
    assert notes(device) == notes(DEVICE)
    last = device.voices[0].events[-1]
    assert (last.onset, last.duration, last.heads, last.hidden) == (8, 4, (), True)


def test_the_last_bar_may_be_what_a_pickup_leaves() -> None:
    """A short last bar is filled up under a full one."""
    short = passage("M:3/4\nL:1/4\nK:G\nd | g2 a | b2 |]")
    full = passage("M:3/4\nL:1/4\nK:G\nd | g2 a | b3 |]")
    both = together(short, full)
    assert both is not None
    assert [one.bars[-1].duration for one in both] == [3, 3]
    assert both[0].voices[0].events[-1].duration == Fraction(1)


@pytest.mark.parametrize(
    "other",
    [
        'M:3/4\nL:1/4\nK:G\n"G7" G2 A | "C7" c2 z |]',
        'M:4/4\nL:1/4\nK:G\nD | "G7" G2 A B | "C7" c2 z2 |]',
        'M:4/4\nL:1/4\nK:G\n|: "G7" G2 A B | "C7" c2 z2 :|',
        'M:4/4\nL:1/4\nK:G\n"G7" G2 A B | [M:6/4] "C7" c6 |]',
    ],
)
def test_what_has_other_bars_does_not_stand_in_one_score(other: str) -> None:
    """Other meters, pickups and repeats keep their own score."""
    assert together(DEVICE, passage(other)) is None
    assert _drawn(DEVICE, passage(other)) == EngravingFailure(
        "one", "as-played-1", "the device and its version do not have the same bars"
    )


def test_a_version_stands_under_its_device_bar_under_bar() -> None:
    """Both parts have a name, chord symbols and words; only the version's notes can be pointed at."""
    drawn = _drawn(DEVICE, VERSION)
    assert isinstance(drawn, Engraving)
    assert re.findall(r">(Device|Played)</text>", drawn.svg) == ["Device", "Played"]
    assert [int(one) for one in re.findall(r'data-bar="(\d+)"', drawn.svg)] == [1, 2, 3]
    assert [int(one) for one in re.findall(r'data-note="(\d+)"', drawn.svg)] == list(
        range(len(notes(VERSION)))
    )
    symbols = re.findall(r'data-symbol="(\d)"><text[^>]*>([^<]*)</text>', drawn.svg)
    assert symbols == [("0", "G7"), ("1", "Am7"), ("2", "D7"), ("3", "G")]
    assert drawn.svg.count(">C7</text>") == 1
    assert (drawn.svg.count(">x</text>"), drawn.svg.count(">y</text>")) == (4, 7)
    # What is struck together stands below each other.
    first = [re.findall(rf'<text x="(\d+)"[^>]*>{word}</text>', drawn.svg)[0] for word in "xy"]
    assert first[0] == first[1]


def test_wide_pairs_break_into_systems_that_name_their_parts() -> None:
    """Each system begins with both names, and all end at one margin."""
    wide = SAMPLES["eight bars"]
    drawn = _drawn(wide, wide)
    assert isinstance(drawn, Engraving)
    assert re.findall(r">(Device|Played)</text>", drawn.svg) == ["Device", "Played"] * 4
    assert float(re.findall(r'width="([\d.]+)em"', drawn.svg)[0]) < 50
    ends = [int(end) for end in re.findall(r'<path d="M\d+ \d+H(\d+)M', drawn.svg)]
    assert sum(end == max(ends) for end in ends) == 16


@pytest.mark.parametrize("version", list(SAMPLES.values()), ids=list(SAMPLES))
def test_whatever_notation_holds_is_drawn_twice(version: Passage) -> None:
    """Ties, graces, divided notes, two hands and voices above: each note of the version is found."""
    drawn = _drawn(version, version)
    assert isinstance(drawn, Engraving), drawn
    found = {int(index) for index in re.findall(r'data-note="(\d+)"', drawn.svg)}
    assert found == set(range(len(notes(version))))


def test_hands_may_differ() -> None:
    """A version in two hands stands under a device in one."""
    bare = passage("M:4/4\nL:1/8\nK:Bbm\nFG | F8 | F8 |]")
    assert isinstance(_drawn(bare, TWO_HANDS), Engraving)
