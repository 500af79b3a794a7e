"""Meter and barlines from where notes are struck.

Every beat of a bar, and every part of one in case the beat was followed beside itself, is weighed
as the first by what tells a downbeat: the notes begin and end there, long and low ones are struck
there, and the last note's key, bars are like earlier ones, a pickup is short, and beats have usual
rhythms. The weights are those of a logistic regression over the fitted half of the passages of
`tests/outside/played.py`; a score is a logarithm of odds.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from transposary.capture.patterns import Division, pulse_of, rhythm_cost
from transposary.capture.values import Played
from transposary.passage import Meter

_SIMPLE = ((Meter(4, 4), 0.0), (Meter(3, 4), 1.0), (Meter(2, 4), 1.0), (Meter(5, 4), 2.0))
_COMPOUND = ((Meter(6, 8), 0.0), (Meter(9, 8), 0.25), (Meter(12, 8), 0.75))
_FIRST, _SHORT = 1.1, 2.1
_END, _END_OF_WHOLE = 1.1, 2.7
"""What it counts that the notes end with a bar, and the same where they last whole bars; then a
pickup may make the last bar whole."""
_LONG, _LOW, _HOME = 4.9, 0.6, 0.7
_SAME, _SAME_RHYTHM = 2.6, 2.6
_RHYTHM, _BESIDE = 0.2, 0.15
_LONGEST = 2
"""Beats from which a longer note is no longer."""
_NEVER = 0.9
"""What it costs that nothing is ever struck on a downbeat."""
_HELD = 0.92
"""What share of its length a note is held, so that its end can be told."""
_SURE = 2.0
"""How far the first downbeat has to be ahead of another beat: odds of seven to one."""


@dataclass(frozen=True, slots=True)
class Barlines:
    """Where bars begin.

    Attributes:
        downbeat: The first downbeat at or behind the first note, or the one before it if that
            note stands in the first half of a bar.
        other: Where bars begin in the likeliest other way, or None.
        sure: Whether no other beat is nearly as likely.
    """

    downbeat: Fraction
    other: Fraction | None
    sure: bool


@dataclass(frozen=True, slots=True)
class _Strike:
    """What is struck at one moment, in beats."""

    place: Fraction
    wait: float
    keys: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Line:
    """The strikes of a take in order, and where the last one ends, in beats."""

    strikes: tuple[_Strike, ...]
    end: Fraction


def find_meter(
    notes: Sequence[Played], places: Sequence[Fraction], ends: Sequence[float], division: Division
) -> Meter:
    """Finds the meter.

    Args:
        notes: In order of their attacks.
        places: Where each is struck, in quarter notes from any beat.
        ends: Where each is let go.
        division: What the beat divides into.
    """
    offered = _SIMPLE if division is Division.SIMPLE else _COMPOUND
    line = _line(notes, places, ends, pulse_of(offered[0][0])[1])
    scored = [
        (max(score for _, score in _phases(line, meter)) - cost, -cost, meter) for meter, cost in offered
    ]
    return max(scored, key=lambda one: one[:2])[2]


def find_barlines(
    notes: Sequence[Played], places: Sequence[Fraction], ends: Sequence[float], meter: Meter, *, swung: bool
) -> Barlines:
    """Finds the first downbeat, in the quarter notes of `places`.

    Args:
        notes: In order of their attacks.
        places: Where each is struck, in quarter notes from any beat.
        ends: Where each is let go.
        meter: The meter.
        swung: Whether the beat is swung, so that it cannot be half a beat beside.
    """
    _, beat = pulse_of(meter)
    line = _line(notes, places, ends, beat)
    phases = (one for one in _phases(line, meter) if not (swung and one[0] % 1))
    (phase, best), *others = sorted(phases, key=lambda one: (-round(one[1], 9), one[0]))
    other = _first_downbeat(others[0][0] * beat, places[0], meter) if others else None
    sure = not others or best - others[0][1] >= _SURE
    return Barlines(_first_downbeat(phase * beat, places[0], meter), other, sure)


def _first_downbeat(downbeat: Fraction, struck: Fraction, meter: Meter) -> Fraction:
    """Moves a downbeat by whole bars to the one that counts as the first."""
    first = struck - (struck - downbeat) % meter.length
    # More than half a bar of silence is a pickup's.
    return first + meter.length if (struck - first) * 2 > meter.length else first


def _line(
    notes: Sequence[Played], places: Sequence[Fraction], ends: Sequence[float], beat: Fraction
) -> _Line:
    struck: dict[Fraction, list[int]] = {}
    for index, place in enumerate(places):
        struck.setdefault(place / beat, []).append(index)
    moments = sorted(struck)
    last = moments[-1]
    held = max(ends[index] / float(beat) - float(last) for index in struck[last]) / _HELD
    end = last + Fraction(max(round(held * 2), 1), 2)
    after = [*moments[1:], end]
    return _Line(
        tuple(
            _Strike(
                moment,
                min(float(later - moment), _LONGEST),
                tuple(sorted(notes[index].number for index in struck[moment])),
            )
            for moment, later in zip(moments, after, strict=True)
        ),
        end,
    )


def _phases(line: _Line, meter: Meter) -> list[tuple[Fraction, float]]:
    """Weighs every beat of a bar, and every part of one, as its first."""
    division, beat = pulse_of(meter)
    size = meter.length / beat
    parts = 2 if division is Division.SIMPLE else 3
    origin = line.strikes[0].place // 1
    rhythms = [-_RHYTHM * _unusual(line, Fraction(part, parts), division) for part in range(parts)]
    found = []
    for count in range(int(size) * parts):
        phase = origin + Fraction(count, parts)
        found.append((phase, _weight(line, phase, size) + rhythms[count % parts]))
    return found


def _unusual(line: _Line, part: Fraction, division: Division) -> float:
    """Says how unlikely the rhythms of all beats are that begin at a part of those followed."""
    beats: dict[int, set[int]] = {}
    for one in line.strikes:
        beat, place = divmod(one.place - part, 1)
        beats.setdefault(int(beat), set()).add(int(place * 24))
    span = range(min(beats), max(beats) + 1)
    return sum(rhythm_cost(division, tuple(sorted(beats.get(beat, ())))) for beat in span)


def _weight(line: _Line, phase: Fraction, size: Fraction) -> float:
    """Says how likely a moment is to be the first of bars of some beats."""
    strikes = line.strikes
    strong = [one for one in strikes if (one.place - phase) % size == 0]
    pickup = (phase - strikes[0].place) % size
    ended = _END if (line.end - strikes[0].place) % size else _END_OF_WHOLE
    score = _FIRST * (pickup == 0) + ended * ((line.end - phase) % size == 0)
    score += _SHORT * (0 < pickup * 4 <= size) - _BESIDE * (phase % 1 != 0)
    score += _LONG * sum(one.wait for one in strong) / sum(one.wait for one in strikes)
    score += _SAME * _repeated(_bars(line, phase, size, keys=True))
    score += _SAME_RHYTHM * _repeated(_bars(line, phase, size, keys=False))
    if not strong:
        return score - _NEVER
    low, low_strong = _mean(one.keys[0] for one in strikes), _mean(one.keys[0] for one in strong)
    home = strikes[-1].keys[0] % 12
    at_home = _mean(one.keys[0] % 12 == home for one in strikes)
    at_home_strong = _mean(one.keys[0] % 12 == home for one in strong)
    return score + _LOW * (low - low_strong) / 12 + _HOME * (at_home_strong - at_home)


def _bars(line: _Line, phase: Fraction, size: Fraction, *, keys: bool) -> list[frozenset[object]]:
    """Lists what is struck where in each bar, with its keys or without."""
    found: dict[int, set[object]] = {}
    for one in line.strikes:
        bar, place = divmod(one.place - phase, size)
        found.setdefault(int(bar), set()).add((place, one.keys) if keys else place)
    return [frozenset(bar) for bar in found.values()]


def _repeated(bars: Sequence[frozenset[object]]) -> float:
    """Gives the share of bars that are like an earlier one."""
    return (len(bars) - len(set(bars))) / len(bars)


def _mean(values: Iterable[float]) -> float:
    found = list(values)
    return sum(found) / len(found)
