"""Straight, dotted and swung eighths, told apart by where the second one is played."""

from collections.abc import Sequence
from fractions import Fraction
from random import Random

import pytest

from transposary.capture import timing, tracking
from transposary.capture.patterns import Division, Pattern
from transposary.capture.timing import Told, time_take
from transposary.capture.tracking import Pulse, Track, track
from transposary.capture.values import Played, Take
from transposary.passage import FeelKind, Meter

FOUR = Meter(4, 4)


def _pairs(share: float, beats: int = 16, period: float = 0.9) -> Take:
    """Plays two notes a beat, the second at a share of it, each early or late by some 15 ms."""
    rng = Random(str(share))  # noqa: S311 - not a secret
    moments = sorted(
        (beat + part) * period + rng.gauss(0, 0.015) for beat in range(beats) for part in (0, share)
    )
    ends = [*moments[1:], beats * period]
    notes = (
        Played(60 + index % 7, start + 1, start + 0.9 * (end - start) + 1, 80)
        for index, (start, end) in enumerate(zip(moments, ends, strict=True))
    )
    return Take(tuple(notes))


@pytest.mark.parametrize(
    ("share", "feel", "second"),
    [
        (0.5, FeelKind.STRAIGHT, "1/2"),
        (0.65, FeelKind.SWING, "1/2"),
        (0.75, FeelKind.STRAIGHT, "3/4"),
    ],
)
def test_pairs_of_notes(share: float, feel: FeelKind, second: str) -> None:
    """Swung eighths are written straight; what comes at three quarters is a dotted rhythm."""
    found = time_take(_pairs(share), Told(FOUR, 60 / 0.9))
    assert found.feel.kind is feel
    assert str(found.onsets[1] - found.onsets[0]) == second


def test_a_long_take_is_followed_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ways are compared on its beginning; the whole is followed in one, with fewer hypotheses."""
    calls: list[tuple[int, int]] = []

    def counted(notes: Sequence[Played], pulse: Pulse, width: int = 24) -> Track:
        calls.append((len(notes), width))
        places = tuple(Fraction(index, 2) for index in range(len(notes)))
        return Track(places, (0.0, pulse.period), 0, 0.0, 0.01)

    monkeypatch.setattr("transposary.capture.timing.track", counted)
    timing._best(_pairs(0.5, beats=400, period=0.25).notes, [Pulse(Division.SIMPLE, 0.25)])
    assert [call for call in calls if call[0] > 200] == [(800, 10)]


def test_after_a_long_pause_a_note_belongs_to_the_beat_that_is_nearest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """However little is known by then, no beat is tried with the notes of many: that would take minutes."""
    most = 0

    def counted(
        one: object, pattern: Pattern, inside: Sequence[float], notes: Sequence[Played], pulse: Pulse
    ) -> object:
        nonlocal most
        most = max(most, len(inside))
        return explained(one, pattern, inside, notes, pulse)

    explained = tracking._explained
    monkeypatch.setattr(tracking, "_explained", counted)
    moments = [pause + step / 4 for pause in (0.0, 110.0) for step in range(16)]
    notes = [Played(60 + index % 5, start, start + 0.2, 80) for index, start in enumerate(moments)]
    track(notes, Pulse(Division.SIMPLE, 0.5, loose=0.06), 6)
    assert most <= 4
