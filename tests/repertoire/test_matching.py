"""Lengths of chords against those of a device, and its notes in the time of the song."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.repertoire.songs import make_song
from tests.repertoire.test_judged_fits import CLIMB, GUIDE
from transposary.glossary import Device
from transposary.repertoire.index import index_of
from transposary.repertoire.judging import judge, notes_score, voiced
from transposary.repertoire.matching import Match, matches
from transposary.repertoire.patterns import own_pattern
from transposary.repertoire.performance import perform


def _match(device: Device, key: str, chart: str) -> Match:
    (found,) = matches(index_of([perform(make_song(key, chart))]), own_pattern(device))
    return found


def _times(match: Match) -> list[str]:
    return [str(match.moment(Fraction(onset))) for onset in (0, 4, 7, 8, 9)]


@pytest.mark.parametrize(
    ("chart", "time"),
    [
        ("| Gm7 | C7 | Fmaj7 | % |", ("1", 0, False, 16)),
        ("| Gm7 | % | C7 | Fmaj7 | % |", ("1", 4, False, 20)),
        ("| Gm7 | C7 | Fmaj7 |", ("1", 0, True, 12)),
        ("| Gm7 C7 | Fmaj7 |", ("1/2", 0, False, 8)),
    ],
)
def test_a_device_takes_the_time_that_the_chart_gives(chart: str, time: tuple[str, int, bool, int]) -> None:
    """It comes in as late as it needs, is cut at most by half its last chord, or changes its speed."""
    found = _match(GUIDE, "F", chart)
    assert (str(found.speed), found.start, found.cut, found.end) == time


def test_notes_wait_for_the_chord_that_comes_later() -> None:
    """Where the second chord lasts two beats longer, what stands on the third comes two beats later."""
    found = _match(GUIDE, "F", "| Gm7 | C7 | C7 Fmaj7 | Fmaj7 |")
    assert found.uneven == ((1, 2),)
    assert _times(found) == ["0", "4", "7", "10", "11"]


def test_notes_that_a_shorter_chord_has_no_time_for_are_left_out() -> None:
    """Where the second chord is a beat shorter, its last beat of the device has no moment."""
    found = _match(GUIDE, "F", "| Gm7 | C7 / / Fmaj7 | Fmaj7 | % |")
    assert found.uneven == ((1, -1),)
    assert _times(found) == ["0", "4", "None", "7", "8"]


def test_each_note_is_judged_over_the_chord_there() -> None:
    """Chord tones and tensions are told apart, and weigh by the beat on which they are struck."""
    found = judge(_match(CLIMB, "D", "| D7 | G7 |"), voiced(CLIMB), CLIMB.passage.key.tonic)
    assert [
        (str(one.name), str(one.chord), str(one.verdict), str(one.beat), one.weight) for one in found
    ] == [
        ("D", "D7", "chord tone", "1", 3),
        ("E", "D7", "tension", "3", 2),
        ("F#", "D7", "chord tone", "4", 2),
        ("G", "G7", "chord tone", "1", 3),
    ]
    assert notes_score(found) == pytest.approx(1 - 2 * 0.05 * 2 / 10)
