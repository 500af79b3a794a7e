"""Following the beat and writing the rhythm, in one search.

A hypothesis knows where its next beat falls and how long a beat is, each with its uncertainty (a
Kalman filter), and which notes it has explained. Beat by beat it takes every rhythm that could
be meant; a rhythm costs what it is unlikely, and what the notes are early or late against the
normal deviation of a player. Hypotheses that have come to the same place are one, the cheapest;
of the others the best are kept. What is found is the likeliest score and tempo curve together.

Source: the model follows Cemgil, Kappen, Desain and Honing, "On tempo tracking: tempogram
representation and Kalman filtering" (Journal of New Music Research 29, 2000), from memory;
the rhythms of a beat as units are our own.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import hypot, log, pi

from transposary.capture.patterns import Division, Pattern, Vocabulary, patterns_within, vocabulary
from transposary.capture.values import Played

# Fractions of a beat that a first note may stand at, and what that costs.
_STARTS = ((0, 0.4), (12, 1.9), (18, 2.8), (16, 2.8), (6, 5.0), (8, 4.5), (20, 5.0), (4, 6.0))
_STARTS_COMPOUND = ((0, 0.4), (16, 1.6), (8, 3.0), (12, 4.0), (20, 4.5), (4, 5.5))
_TOLERANCE, _BESIDE = 4.0, 0.03
"""Deviations of a player, and parts of a beat on top, beyond which a note is not taken for a place."""
_APART = 5.0
"""What it costs to take notes for a chord that did not sound together."""
_REPEATED = 0.25
"""What a rhythm gains by being that of the beat before."""
_USUAL = 1.0
"""What a note is taken to cost before it is heard, above the cost of one without deviation."""
_HOPELESS = 14.0
"""How far behind the best a hypothesis is given up: odds of a million to one."""
_FORCED = 12.0
"""What a beat that no rhythm explains costs, and each of its notes again."""
_NOTHING = Pattern((), (), 0.0, 0)


@dataclass(frozen=True, slots=True)
class Pulse:
    """What is known of the beat before the notes are heard.

    Attributes:
        division: What the beat divides into.
        period: Its length in seconds.
        start: When a beat falls, or None.
        lead: Where in a beat the first note stands, 0 to 1, or None.
        loose: How much the period may differ, as a part of it.
        drift: How much the period changes from beat to beat, as a part of it.
        wander: How far a beat may lie beside where it is due, in seconds.
        swung: Where the second of two eighths is played, in parts of the beat.
        jitter: Deviation of the attacks, in seconds.
    """

    division: Division
    period: float
    start: float | None = None
    lead: Fraction | None = None
    loose: float = 0.04
    drift: float = 0.012
    wander: float = 0.002
    swung: float = 0.5
    jitter: float = 0.02


@dataclass(frozen=True, slots=True)
class Track:
    """The notes on beats.

    Attributes:
        places: Where each note stands, in beats from the first one.
        beats: When each beat falls, in seconds, and when the next one would.
        first: Number of the first of these beats.
        cost: How unlikely it all is, as a natural logarithm.
        deviation: Mean deviation of the attacks, in seconds.
    """

    places: tuple[Fraction, ...]
    beats: tuple[float, ...]
    first: int
    cost: float
    deviation: float


@dataclass(slots=True)
class _Hypothesis:
    """How the beats so far may lie; `a b c` is the covariance of `start` and `period`."""

    beat: int
    taken: int
    start: float
    period: float
    a: float
    b: float
    c: float
    cost: float
    before: _Hypothesis | None
    pattern: Pattern
    places: tuple[int, ...]


def track(notes: Sequence[Played], pulse: Pulse, width: int = 24) -> Track:
    """Finds the likeliest beats and rhythm of some notes.

    Args:
        notes: In order of their attacks, at least one.
        pulse: What is known of the beat.
        width: How many hypotheses are kept.
    """
    words = vocabulary(pulse.division, pulse.swung)
    # What a note is likely to cost, so that those who have explained fewer are not better for it.
    usual = 0.5 * log(2 * pi * pulse.jitter**2) + _USUAL

    def likely(one: _Hypothesis) -> float:
        return one.cost + usual * (len(notes) - one.taken)

    live = list(_begun(notes, pulse))
    done: list[_Hypothesis] = []
    while live:
        best: dict[tuple[int, tuple[int, ...]], _Hypothesis] = {}
        for one in live:
            for after in _onward(one, notes, pulse, words):
                key = (after.taken, after.pattern.places)
                if key not in best or after.cost < best[key].cost:
                    best[key] = after
        grown = sorted(best.values() or [_forced(live[0], notes)], key=likely)[:width]
        bound = likely(grown[0]) + _HOPELESS
        done += [one for one in grown if one.taken == len(notes)]
        live = [one for one in grown if one.taken < len(notes) and likely(one) < bound]
        if done and live and likely(live[0]) > min(one.cost for one in done):
            break
    return _track(min(done, key=lambda one: one.cost), notes)


def _begun(notes: Sequence[Played], pulse: Pulse) -> Iterator[_Hypothesis]:
    first = notes[0].start
    spread = (pulse.loose * pulse.period) ** 2
    if pulse.start is not None:
        beats = int((first - pulse.start) // pulse.period) - 1
        start = pulse.start + beats * pulse.period
        for skipped in range(3):
            yield _Hypothesis(
                beats + skipped, 0, start + skipped * pulse.period, pulse.period,
                (pulse.wander * 3) ** 2, 0.0, spread, 0.0, None, _NOTHING, (),
            )  # fmt: skip
        return
    starts: Sequence[tuple[int, float]] = _STARTS if pulse.division is Division.SIMPLE else _STARTS_COMPOUND
    if pulse.lead is not None:
        starts = ((min(max(round(pulse.lead * 24), 0), 23), 0.0),)
    for place, cost in starts:
        start = first - place / 24 * pulse.period
        yield _Hypothesis(
            0, 0, start, pulse.period, (1.5 * pulse.jitter) ** 2, 0.0, spread, cost, None, _NOTHING, ()
        )


def _onward(
    one: _Hypothesis, notes: Sequence[Played], pulse: Pulse, words: Vocabulary
) -> Iterator[_Hypothesis]:
    """Takes a hypothesis over its next beat, by every rhythm that could be meant."""
    start, period = one.start, one.period
    near = _near(one, pulse)
    # Notes up to a beat on; those near its end may belong to the next beat.
    inside: list[float] = []
    index = one.taken
    while index < len(notes) and notes[index].start < start + period + near:
        inside.append((notes[index].start - start) / period)
        index += 1
    near /= period
    reach = near + _BESIDE
    around = [words.bits_near(moment, reach) for moment in inside]
    open_bits = 0
    for bits in around:
        open_bits |= bits
    wanted = [bits for moment, bits in zip(inside, around, strict=True) if moment < 1 - reach and bits]
    for pattern in patterns_within(pulse.division, pulse.swung, open_bits):
        if not all(pattern.bits & each for each in wanted):
            continue
        for count in _counts(pattern, inside, near):
            after = _explained(one, pattern, inside[:count], notes, pulse)
            if after is not None:
                yield after


def _near(one: _Hypothesis, pulse: Pulse) -> float:
    """Says how far from its place a note may be, in seconds: at most half a beat, however long a pause."""
    return min(_TOLERANCE * hypot(pulse.jitter, one.a**0.5), one.period / 2)


def _forced(one: _Hypothesis, notes: Sequence[Played]) -> _Hypothesis:
    """Takes a hypothesis over a beat that no rhythm explains: each note at the nearest 32nd."""
    index = one.taken
    places: list[int] = []
    while index < len(notes) and notes[index].start < one.start + one.period:
        places.append(min(max(round((notes[index].start - one.start) / one.period * 8), 0), 7) * 3)
        index += 1
    pattern = Pattern(tuple(sorted(set(places))), tuple(place / 24 for place in sorted(set(places))), 0.0, 0)
    return replace(
        one,
        beat=one.beat + 1,
        taken=index,
        start=one.start + one.period,
        cost=one.cost + _FORCED * (1 + len(places)),
        before=one,
        pattern=pattern,
        places=tuple(places),
    )


def _counts(pattern: Pattern, inside: Sequence[float], near: float) -> range:
    """Says how many notes a rhythm may take: those nearer to it than to the next beat, or so."""
    if not pattern.times:
        return range(int(not inside or inside[0] > 1 - near))
    last = pattern.times[-1]
    bound = (last + 1) / 2
    slack = min(0.35 * (1 - last), near)
    low = max(bisect_left(inside, bound - slack), len(pattern.times))
    return range(low, bisect_left(inside, bound + slack) + 1)


def _explained(
    one: _Hypothesis, pattern: Pattern, inside: Sequence[float], notes: Sequence[Played], pulse: Pulse
) -> _Hypothesis | None:
    """Gives each note a place of a rhythm and sees how well that goes; None where it cannot be."""
    chosen = _assigned(pattern.times, inside, _near(one, pulse) / one.period)
    if chosen is None:
        return None
    cost = one.cost + pattern.cost
    if one.pattern.places == pattern.places and pattern.places:
        cost -= _REPEATED
    for index in range(1, len(chosen)):
        if chosen[index] == chosen[index - 1]:
            low, high = notes[one.taken + index - 1], notes[one.taken + index]
            if low.number == high.number:
                return None
            if low.end < high.start + 0.01:
                cost += _APART
    times = [pattern.times[place] for place in chosen]
    late = [place * one.period for place in inside]
    start, period, a, b, c, more = _updated(one, times, late, pulse.jitter)
    if period <= 0.6 * pulse.period or period >= 1.6 * pulse.period:
        return None
    drift, wander = (pulse.drift * period) ** 2, pulse.wander**2
    return _Hypothesis(
        one.beat + 1,
        one.taken + len(inside),
        one.start + start + period,
        period,
        a + 2 * b + c + wander,
        b + c,
        c + drift,
        cost + more,
        one,
        pattern,
        tuple(pattern.places[place] for place in chosen),
    )


def _assigned(times: Sequence[float], inside: Sequence[float], near: float) -> list[int] | None:
    """Gives each note the nearest place; None where a place stays empty or a note is far from all."""
    chosen: list[int] = []
    place = 0
    last = len(times) - 1
    for moment in inside:
        while place < last and moment > (times[place] + times[place + 1]) / 2:
            place += 1
            if not chosen or chosen[-1] < place - 1:
                return None
        if abs(moment - times[place]) > near + _BESIDE:
            return None
        chosen.append(place)
    return chosen if place == last or not times else None


def _updated(
    one: _Hypothesis, times: Sequence[float], late: Sequence[float], jitter: float
) -> tuple[float, float, float, float, float, float]:
    """Corrects beat and period by the notes of a beat.

    Returns:
        How far the beat moves, the period, their covariance, and the cost of the deviations.
    """
    move, period, a, b, c = 0.0, one.period, one.a, one.b, one.c
    cost = 0.0
    for place, moment in zip(times, late, strict=True):
        ahead_a, ahead_b = a + place * b, b + place * c
        variance = ahead_a + place * ahead_b + jitter * jitter
        error = moment - move - place * period
        cost += 0.5 * (error * error / variance + log(2 * pi * variance))
        gain_start, gain_period = ahead_a / variance, ahead_b / variance
        move += gain_start * error
        period += gain_period * error
        a, b, c = a - gain_start * ahead_a, b - gain_start * ahead_b, c - gain_period * ahead_b
    return move, period, a, b, c, cost


def _track(last: _Hypothesis, notes: Sequence[Played]) -> Track:
    chain: list[_Hypothesis] = []
    node: _Hypothesis | None = last
    while node is not None:
        chain.append(node)
        node = node.before
    chain.reverse()
    places: list[Fraction] = []
    beats: list[float] = []
    for before, after in pairwise(chain):
        beats.append(after.start - after.period)
        places += [before.beat + Fraction(place, 24) for place in after.places]
    beats.append(last.start)
    origin = chain[0].beat
    swung = {
        place: time
        for one in chain[1:]
        for place, time in zip(one.pattern.places, one.pattern.times, strict=True)
    }
    errors = []
    for note, place in zip(notes, places, strict=True):
        beat, part = divmod(place, 1)
        index = int(beat) - origin
        due = beats[index] + swung[int(part * 24)] * (beats[index + 1] - beats[index])
        errors.append((note.start - due) ** 2)
    deviation = (sum(errors) / len(errors)) ** 0.5
    return Track(tuple(places), tuple(beats), origin, last.cost, deviation)
