"""What was played, as values: keys struck in seconds, and what the file says of the time."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction

from transposary.passage import Key, Meter


@dataclass(frozen=True, slots=True)
class Played:
    """A key struck and let go.

    Attributes:
        number: MIDI number of the key.
        start: When it is struck, in seconds.
        end: When it is let go, in seconds.
        velocity: How hard, 1 to 127.
        track: Number of its track.
        channel: Its channel, 0 to 15.
    """

    number: int
    start: float
    end: float
    velocity: int
    track: int = 0
    channel: int = 0


@dataclass(frozen=True, slots=True)
class Clock:
    """The click of a file: how its quarter notes lie in time.

    Attributes:
        changes: (quarter notes, seconds, seconds a quarter note), the first at 0.
    """

    changes: tuple[tuple[float, float, float], ...]

    def quarters(self, seconds: float) -> float:
        """Gives the quarter notes that have gone by at a moment."""
        index = bisect_right([start for _, start, _ in self.changes], seconds) - 1
        quarters, start, period = self.changes[max(index, 0)]
        return quarters + (seconds - start) / period

    @property
    def period(self) -> float:
        """Seconds of a quarter note at the beginning."""
        return self.changes[0][2]


@dataclass(frozen=True, slots=True)
class Take:
    """What a file holds.

    Attributes:
        notes: In order of their attacks, then of their keys.
        tracks: Names of the tracks, by number.
        clock: The click, where the file states a tempo.
        counted: How the file counts quarter notes, where it states none.
        meters: (quarter notes, meter) as the file states them.
        key: The key that the file states.
    """

    notes: tuple[Played, ...]
    tracks: tuple[str, ...] = ()
    clock: Clock | None = None
    meters: tuple[tuple[Fraction, Meter], ...] = ()
    key: Key | None = None
    counted: Clock | None = None
