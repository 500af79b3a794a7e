"""Where bars begin, found from the notes or told."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest

from transposary.capture.barring import find_barlines
from transposary.capture.timing import Told, time_take
from transposary.capture.transcribing import Wanted, transcribe
from transposary.capture.values import Clock, Played, Take
from transposary.passage import Meter
from transposary.problems import Fault

FOUR = Meter(4, 4)
# Keys and lengths in quarter notes: a pickup of one beat, three bars of one rhythm, and a last note
# that leaves the pickup's beat free.
BAR = ((60, 2), (71, 1), (69, 1))
LINE = ((67, 1), *BAR, *BAR, *BAR, (60, 3))
EVEN = tuple((number, 1) for number in (60, 62, 64, 65, 67, 65, 64, 62, 64, 65, 67))


def _take(line: Sequence[tuple[int, float]], period: float = 0.5) -> Take:
    notes, now = [], 0.0
    for number, length in line:
        notes.append(Played(number, now * period, (now + length * 0.92) * period, 80))
        now += length
    return Take(tuple(notes))


def test_a_pickup_is_heard() -> None:
    """Long notes, like bars and the end of the last note tell the downbeat from the first note."""
    timing = time_take(_take(LINE), Told(FOUR, 120))
    assert timing.onsets[:3] == (-1, 0, 2)


@pytest.mark.parametrize("pickup", ["0", "1", "1/2", "3"])
def test_a_pickup_is_told(pickup: str) -> None:
    """The first note stands as many beats before the first downbeat as the player says."""
    timing = time_take(_take(LINE), Told(FOUR, 120, Fraction(pickup)))
    assert timing.onsets[0] == -Fraction(pickup)
    assert "bars" not in timing.guessed


def test_a_click_that_nobody_kept_to_is_left_aside() -> None:
    """Programs state a tempo whether it was heard or not; a take beside it is followed by ear."""
    line = tuple((60 + count % 5, length) for count, length in enumerate((0.5, 0.5, 1, 0.5, 0.5, 1) * 4))
    clock, meters = Clock(((0.0, 0.0, 0.5),)), ((Fraction(0), FOUR),)
    beside = replace(_take(line, 0.62), clock=clock, meters=meters)
    kept = replace(_take(line), clock=clock, meters=meters)
    assert time_take(beside, Told()).guessed[:2] == ("tempo", "click")
    assert time_take(kept, Told()).guessed == ()


def test_the_player_is_asked_where_notes_do_not_tell() -> None:
    """Of even notes that end within a bar, bar 1 is not sure; the draft asks, and names what is near."""
    captured = transcribe(_take(EVEN), Wanted(meter=FOUR, tempo=120))
    assert not isinstance(captured, Fault)
    assert captured.doubts[0] == (
        "Bar 1 may begin on another beat: say by --pickup how many beats stand before it; "
        "the next likely number is 0."
    )


def test_a_beat_followed_beside_itself_is_put_right() -> None:
    """Where every rhythm is usual half a beat later, and bars are alike there, the bars begin there."""
    half = Fraction(1, 2)
    struck = [Fraction(n, 2) + 4 * bar for bar in range(3) for n in (0, 2, 3, 4, 6, 7)]
    places = [Fraction(0), *(half + one for one in struck)]
    notes = [Played(60 + int(one * 2) % 8, 0.0, 0.0, 80) for one in (7 * half, *struck)]
    found = find_barlines(notes, places, [float(one) + 0.45 for one in places], FOUR, swung=False)
    assert found.downbeat == half
