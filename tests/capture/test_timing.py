"""Straight, dotted and swung eighths, told apart by where the second one is played."""

from random import Random

import pytest

from transposary.capture.timing import Told, time_take
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
    timing = time_take(_pairs(share), Told(FOUR, 60 / 0.9))
    assert timing.feel.kind is feel
    assert str(timing.onsets[1] - timing.onsets[0]) == second
