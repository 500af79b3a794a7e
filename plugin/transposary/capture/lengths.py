"""How long played notes are meant to be.

Players let go before a note is over, so that what is held for 80 to 100 of a hundred of a length
is most likely that length (common practice, no source); and most notes last up to the next one of
their hand, or end on a beat.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import hypot
from statistics import median

from transposary.capture.patterns import Division, pulse_of
from transposary.capture.timing import Timing
from transposary.passage import Hand

_SHORTEST, _HELD, _SPREAD = 0.8, 0.92, 0.03
_LEANING, _TOUCH = 0.2, 12.0
_ENOUGH = 4
_LONGEST = 16
_TO_NEXT, _ON_BAR, _ON_BEAT, _ON_HALF, _ON_QUARTER, _ON_SIXTH = 0.0, 0.4, 0.9, 1.5, 2.6, 4.0
_Parts = tuple[tuple[int, int, float], ...]
_HALVES: _Parts = ((0, 4, _ON_BEAT), (2, 4, _ON_HALF), (1, 4, _ON_QUARTER), (3, 4, _ON_QUARTER))
_THIRDS: _Parts = (
    *((0, 6, _ON_BEAT), (2, 6, _ON_HALF), (4, 6, _ON_HALF)),
    *((1, 6, _ON_SIXTH), (3, 6, _ON_SIXTH), (5, 6, _ON_SIXTH)),
)
_OVER = 1.2
"""What it costs to hold a note under the next one of its hand."""
_TWO_LENGTHS = 3.0
"""What it costs that notes struck together are not of one length."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A note with its place in the score.

    Attributes:
        number: MIDI number.
        onset: In quarter notes from the first downbeat.
        length: In quarter notes.
        hand: The hand that plays it.
    """

    number: int
    onset: Fraction
    length: Fraction
    hand: Hand

    @property
    def end(self) -> Fraction:
        """Where it ends."""
        return self.onset + self.length


def measure(numbers: Sequence[int], hands: Sequence[Hand], timing: Timing) -> tuple[Placed, ...]:
    """Gives played notes their lengths.

    Args:
        numbers: MIDI number of each note.
        hands: The hand of each.
        timing: When each was struck and let go.
    """
    moments = {
        hand: sorted({onset for onset, one in zip(timing.onsets, hands, strict=True) if one is hand})
        for hand in set(hands)
    }
    again = _struck_again(numbers, timing.onsets)
    thirds = _beats_in_three(timing)
    slack = max(timing.deviation, 0.008) * timing.tempo / 60 * float(timing.meter.beat)
    scale = _Scale(timing.swung, float(pulse_of(timing.meter)[1]), thirds)
    manner = _Manner(_usual_share(timing, hands, moments, scale), slack, scale)
    ends: dict[int, Fraction] = {}
    for hand, own in moments.items():
        for onset in own:
            struck = [
                _Struck(index, numbers[index], timing.ends[index] - scale.at(onset), again.get(index))
                for index, one in enumerate(hands)
                if one is hand and timing.onsets[index] == onset
            ]
            following = own[bisect_right(own, onset) :]
            longest = max(one.played for one in struck)
            offered = _cheapest(_ends(onset, longest, following, timing, thirds))
            ends |= _together(sorted(struck, key=lambda one: one.number), onset, offered, manner)
    return tuple(
        Placed(number, timing.onsets[index], ends[index] - timing.onsets[index], hands[index])
        for index, number in enumerate(numbers)
    )


@dataclass(frozen=True, slots=True)
class _Struck:
    """A note of a chord: its place in the take, its key, how long it sounded, when it is struck again."""

    index: int
    number: int
    played: float
    again: Fraction | None


@dataclass(frozen=True, slots=True)
class _Scale:
    """Where written moments fall as they are played: the second half of a swung beat is late.

    Attributes:
        swung: Where the second half is played, in parts of the beat.
        unit: The beat, in quarter notes.
        thirds: Beats in thirds, which stay as they are.
    """

    swung: float
    unit: float
    thirds: frozenset[int]

    def at(self, moment: Fraction) -> float:
        """Gives the moment as it is played, in quarter notes."""
        beat, part = divmod(float(moment) / self.unit, 1)
        if self.swung == 0.5 or int(beat) in self.thirds:
            return float(moment)
        late = part * 2 * self.swung if part < 0.5 else self.swung + (part - 0.5) * 2 * (1 - self.swung)
        return (beat + late) * self.unit


@dataclass(frozen=True, slots=True)
class _Manner:
    """How a player holds notes: the usual share of their length, and how far ends are off, in quarters."""

    held: float
    slack: float
    scale: _Scale


def _usual_share(
    timing: Timing, hands: Sequence[Hand], moments: Mapping[Hand, Sequence[Fraction]], scale: _Scale
) -> float:
    """Finds what share of their length notes are held for, from those that seem to last up to the next."""
    shares = []
    for onset, end, hand in zip(timing.onsets, timing.ends, hands, strict=True):
        following = bisect_right(moments[hand], onset)
        if following < len(moments[hand]):
            begun = scale.at(onset)
            share = (end - begun) / (scale.at(moments[hand][following]) - begun)
            if _SHORTEST <= share <= 2 - _SHORTEST:
                shares.append(min(share, 1.0))
    return median(shares) if len(shares) >= _ENOUGH else _HELD


def _cheapest(offered: Iterable[tuple[Fraction, float]]) -> dict[Fraction, float]:
    """Gives the least that each end costs."""
    found: dict[Fraction, float] = {}
    for end, cost in offered:
        found[end] = min(cost, found.get(end, cost))
    return found


def _together(
    struck: Sequence[_Struck], onset: Fraction, offered: Mapping[Fraction, float], manner: _Manner
) -> dict[int, Fraction]:
    """Chooses the ends of notes struck together: one for all, or one for the lower and one for the upper."""
    begun = manner.scale.at(onset)

    def best(part: Sequence[_Struck]) -> tuple[float, dict[int, Fraction]]:
        costs = []
        for end, prior in offered.items():
            last = {one.index: min(end, one.again) if one.again else end for one in part}
            misfits = (_misfit(one.played, manner.scale.at(last[one.index]) - begun, manner) for one in part)
            costs.append((prior + sum(misfits), end, last))
        cost, _, ends = min(costs, key=lambda one: one[:2])
        return cost, ends

    found = [best(struck)]
    for low in range(1, len(struck)):
        lower, upper = best(struck[:low]), best(struck[low:])
        found.append((lower[0] + upper[0] + _TWO_LENGTHS, lower[1] | upper[1]))
    return min(found, key=lambda one: one[0])[1]


def _misfit(played: float, length: float, manner: _Manner) -> float:
    """Says what it costs that a note of a length was held for so long."""
    ratio = played / length
    beyond = max(_SHORTEST * length - played, played - length, 0.0) / hypot(_SPREAD * length, manner.slack)
    cost = 0.5 * beyond * beyond + _LEANING * ((ratio - manner.held) / 0.1) ** 2
    # A short touch is not a short note for certain, so that the cost grows no more from there.
    return min(cost, _TOUCH + 4 * abs(ratio - manner.held))


def _struck_again(numbers: Sequence[int], onsets: Sequence[Fraction]) -> dict[int, Fraction]:
    """Finds when the key of a note is struck again."""
    found: dict[int, Fraction] = {}
    last: dict[int, int] = {}
    for index in sorted(range(len(numbers)), key=lambda one: onsets[one]):
        if numbers[index] in last and onsets[last[numbers[index]]] < onsets[index]:
            found[last[numbers[index]]] = onsets[index]
        last[numbers[index]] = index
    return found


def _beats_in_three(timing: Timing) -> frozenset[int]:
    division, unit = pulse_of(timing.meter)
    if division is Division.COMPOUND:
        return frozenset()
    return frozenset(
        int(onset // unit) for onset in timing.onsets if (onset % unit / unit).denominator % 3 == 0
    )


def _ends(
    onset: Fraction,
    played: float,
    following: Sequence[Fraction],
    timing: Timing,
    thirds: frozenset[int],
) -> Iterator[tuple[Fraction, float]]:
    """Offers where a note may end, and what each costs."""
    division, unit = pulse_of(timing.meter)
    next_one = following[0] if following else None
    if next_one is not None:
        yield next_one, _TO_NEXT
    latest = onset + max(unit, Fraction(min(played * 1.6 + 0.3, _LONGEST)).limit_denominator(96))
    beat = onset // unit
    while beat * unit < latest:
        parts = _THIRDS if division is Division.COMPOUND or int(beat) in thirds else _HALVES
        for part, whole, cost in parts:
            end = (beat + Fraction(part, whole)) * unit
            if end > onset:
                over = next_one is not None and end > next_one
                legato = over and end in following
                closed = end % timing.meter.length == 0 or legato
                prior = _ON_BAR if closed else cost
                yield end, prior + _OVER * over
        beat += 1
