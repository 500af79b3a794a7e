"""From seconds to quarter notes: which beat, which meter, straight or swung."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import log
from statistics import fmean

from transposary.capture.barring import find_barlines, find_meter
from transposary.capture.patterns import Division, pulse_of
from transposary.capture.tracking import Pulse, Track, track
from transposary.capture.values import Clock, Played, Take
from transposary.passage import STRAIGHT, Feel, FeelKind, Meter

_SWINGS = (0.625, 0.675)
_SWING_COST = 3.0
"""What swing has to gain before it is believed."""
_DOTTED, _DOTTED_COST = 0.71, 40.0
"""Where in a beat, on an average, the second note is rather a sixteenth after a dotted eighth: between
the latest swing and three quarters; and what has to speak for swing all the same."""
_PERIODS = tuple(0.3 * 1.09**step for step in range(17))
"""Beats in seconds that are tried where nothing is known: 200 to about 50 a minute."""
_USUAL, _SPREAD = 0.6, 0.35
_COMPOUND_COST = 4.0
_NARROW, _WIDE = 6, 24
"""How many hypotheses are kept: while ways are compared, and to follow one."""
_LONG, _WORK = 8, 12_000
"""How many are kept at least in a long take, and times notes and beats at most."""
_FEW, _MANY, _WHILE = 40, 200, 120.0
"""By how many notes tempos are ranked, by how many one is chosen, and from how many seconds at most."""
_FASTEST = 400
"""Beats a minute that an entry may have."""
_SAME_TEMPO = 0.5
"""Beats a minute within which two tempos are one, since both are written as whole numbers."""
_NEAR = 12.0
LOOSE = 0.022
"""Seconds of mean deviation from which a rhythm is doubtful: the file's click may not be the player's."""
_APART, _ENOUGH = 0.4, 8
"""How much likelier each note has to be without the click, and of how many notes that is told."""
_GRIDS, _EXACTLY, _FEWEST_WRITTEN = (32, 24), 0.002, 4
"""Parts of a quarter note at which notation has notes, how near to them in quarters, and of how many
notes that is told."""
_WIDER, _STEADIEST, _LOOSEST = 1.1, 0.008, 0.035


@dataclass(frozen=True, slots=True)
class Told:
    """What the player says of the time.

    Attributes:
        meter: The meter, or None.
        tempo: Beats a minute of that meter (quarter notes without one), or None.
        pickup: Beats before the first downbeat, or None.
    """

    meter: Meter | None = None
    tempo: float | None = None
    pickup: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Timing:
    """A take in quarter notes.

    Attributes:
        meter: The meter.
        onsets: For each note, quarter notes from the first downbeat.
        ends: For each note, where it was let go, in quarter notes as they are played.
        feel: Straight or swung.
        swung: Where the second half of a beat is played, in parts of it.
        tempo: Beats a minute.
        deviation: Mean deviation of the attacks, in seconds.
        guessed: What was not told: `tempo`, `meter`, `bars`; `downbeat` where the bars may well
            begin on another beat; `click` where the file's click was not followed; `untold` where a
            file that was written, not played, states no tempo.
        other_pickup: Beats before the first downbeat in the likeliest other way to draw the barlines;
            None where they were told.
    """

    meter: Meter
    onsets: tuple[Fraction, ...]
    ends: tuple[float, ...]
    feel: Feel
    swung: float
    tempo: int
    deviation: float
    guessed: tuple[str, ...]
    other_pickup: Fraction | None = None


def time_take(take: Take, told: Told) -> Timing:
    """Finds the rhythm of a take.

    The player's tempo is followed where one is told and is not that of the file's click, and the click
    where the notes agree with it; else the tempo is found from the notes.
    """
    stated, downbeat = stated_meter(take)
    told_meter = told.meter or stated
    told = replace(told, meter=told_meter)
    if take.counted is not None and _is_written(take, take.counted):
        timing = _to_click(take, take.counted, told, downbeat)
        tempo = timing.tempo if told.tempo is None else round(told.tempo)
        return replace(timing, tempo=tempo, guessed=(*timing.guessed, "untold"))
    if take.clock is not None and (told.tempo is None or _is_told(take.clock, told)):
        timing = _to_click(take, take.clock, told, downbeat)
        if told.tempo is None or "click" not in timing.guessed:
            return timing
    if told.tempo is not None:
        meter = told_meter or Meter(4, 4)
        division, unit = pulse_of(meter)
        counted = meter.beat if told_meter else Fraction(1)
        period = 60 / told.tempo * float(unit / counted)
        lead = None if told.pickup is None else -told.pickup * meter.beat / unit % 1
        best = _best(take.notes, [Pulse(division, period, lead=lead)])
        timing = _timing(take.notes, best, unit, told, *(() if told_meter else ("meter",)))
        return replace(timing, tempo=round(told.tempo))
    return _found(take.notes, told, _heard(take.notes, told))


def _is_written(take: Take, counted: Clock) -> bool:
    """Tells whether every note of a file stands where notation has it: nobody played it."""
    places = [counted.quarters(note.start) for note in take.notes]
    near = [min(abs(place * grid - round(place * grid)) / grid for grid in _GRIDS) for place in places]
    return len(near) >= _FEWEST_WRITTEN and max(near) < _EXACTLY


def _is_told(clock: Clock, told: Told) -> bool:
    """Tells whether the tempo that the player names is that of the click, which knows the bars, too."""
    beat = told.meter.beat if told.meter else Fraction(1)
    return told.tempo is not None and abs(60 / (clock.period * float(beat)) - told.tempo) < _SAME_TEMPO


def stated_meter(take: Take) -> tuple[Meter | None, Fraction]:
    """Gives the meter that a file states for longest, and the quarter note at which it begins.

    A short bar at the beginning is a pickup, which many programs write as a meter of its own.
    """
    if not take.meters:
        return None, Fraction(0)
    over = max(note.end for note in take.notes)
    last = max(Fraction(take.clock.quarters(over) if take.clock else 0), take.meters[-1][0])
    ends = [*(onset for onset, _ in take.meters[1:]), last + 1]
    spans = [(end - onset, onset, meter) for (onset, meter), end in zip(take.meters, ends, strict=True)]
    _, begun, meter = max(spans, key=lambda one: one[:2])
    return meter, begun


def _to_click(take: Take, clock: Clock, told: Told, downbeat: Fraction) -> Timing:
    """Follows the click of a file, unless the notes are far likelier without it.

    Programs write a tempo into every file, whether the player heard it or not.
    """
    meter = told.meter or Meter(4, 4)
    division, unit = pulse_of(meter)
    period = clock.period
    even = tuple(
        replace(note, start=clock.quarters(note.start) * period, end=clock.quarters(note.end) * period)
        for note in take.notes
    )
    pulse = Pulse(
        division,
        period * float(unit),
        start=float(downbeat % unit) * period,
        loose=0.0005,
        drift=0.0,
        wander=0.006,
    )
    best = _best(even, [pulse])
    if best.track.deviation > LOOSE and len(even) >= _ENOUGH:
        free = _heard(take.notes, told)
        if free.track.cost + _APART * len(even) < best.track.cost:
            return _found(take.notes, told, free, "click")
    zero = downbeat - downbeat % unit if told.pickup is None else None
    timing = _timing(even, best, unit, Told(meter, pickup=told.pickup), zero=zero)
    return replace(timing, tempo=_in_bounds(60 / (period * float(meter.beat))))


def _heard(notes: Sequence[Played], told: Told) -> _Best:
    """Finds the tempo: each is tried on the first notes, the likeliest on all."""
    meter = told.meter
    if meter is None:
        tried = [Pulse(Division.SIMPLE, period, loose=0.06) for period in _PERIODS]
        tried += [Pulse(Division.COMPOUND, 1.4 * period, loose=0.06) for period in _PERIODS]
    else:
        division, _ = pulse_of(meter)
        longer = 1.4 if division is Division.COMPOUND else 1.0
        tried = [Pulse(division, longer * period, loose=0.06) for period in _PERIODS]
    if told.pickup is not None:
        beat, unit = (meter.beat, pulse_of(meter)[1]) if meter else (Fraction(1), Fraction(1))
        tried = [replace(pulse, lead=-told.pickup * beat / unit % 1) for pulse in tried]
    few = _first(notes, _FEW)
    ranked = sorted(tried, key=lambda pulse: track(few, pulse, _NARROW).cost + _prior(pulse))
    return _best(notes, ranked[:3])


def _found(notes: Sequence[Played], told: Told, best: _Best, *guessed: str) -> Timing:
    """Gives the notes on the beats that were heard in them."""
    meter = told.meter
    unit = Fraction(3, 2) if best.pulse.division is Division.COMPOUND else Fraction(1)
    if meter is not None:
        unit = pulse_of(meter)[1]
    return _timing(notes, best, unit, told, "tempo", *guessed, *(() if meter else ("meter",)))


def _prior(pulse: Pulse) -> float:
    usual = _USUAL * (1.3 if pulse.division is Division.COMPOUND else 1)
    cost = _COMPOUND_COST if pulse.division is Division.COMPOUND else 0.0
    return 0.5 * (log(pulse.period / usual) / _SPREAD) ** 2 + cost


@dataclass(frozen=True, slots=True)
class _Best:
    pulse: Pulse
    track: Track


def _first(notes: Sequence[Played], count: int) -> Sequence[Played]:
    return [note for note in notes[:count] if note.start <= notes[0].start + _WHILE]


def _best(notes: Sequence[Played], pulses: Sequence[Pulse]) -> _Best:
    """Follows the beat in every way offered; a long take as its beginning is likeliest."""
    few = _first(notes, _MANY)
    best = _best_of_all(few, pulses)
    if len(few) == len(notes):
        return best
    work = len(notes) + (notes[-1].start - notes[0].start) / best.pulse.period
    return _Best(best.pulse, track(notes, best.pulse, max(_LONG, min(_WIDE, int(_WORK / work)))))


def _best_of_all(notes: Sequence[Played], pulses: Sequence[Pulse]) -> _Best:
    """Follows the beat in every way offered, straight and swung: all narrowly, the best ones widely."""
    offered = [pulse for one in pulses for pulse in _swings(one)]

    def cost(pulse: Pulse, found: Track) -> float:
        prior = _prior(pulse) if len(pulses) > 1 else 0.0
        swing = 0.0 if pulse.swung == 0.5 else _DOTTED_COST if _is_dotted(notes, found) else _SWING_COST
        return found.cost + prior + swing

    tried = [_Best(pulse, track(notes, pulse, _NARROW)) for pulse in offered]
    least = min(cost(one.pulse, one.track) for one in tried)
    near = [one for one in tried if cost(one.pulse, one.track) < least + _NEAR]
    near = sorted(near, key=lambda one: cost(one.pulse, one.track))[:2]
    found = [_again(notes, one) for one in near]
    return min(found, key=lambda one: cost(one.pulse, one.track))


def _is_dotted(notes: Sequence[Played], found: Track) -> bool:
    """Tells whether what was taken for swung eighths is played as dotted ones are written."""
    struck: dict[Fraction, float] = {}
    for note, place in zip(notes, found.places, strict=True):
        struck.setdefault(place, note.start)
    half = Fraction(1, 2)
    shares = [
        (struck[beat + half] - start) / (struck[beat + 1] - start)
        for beat, start in struck.items()
        if beat.denominator == 1 and beat + half in struck and beat + 1 in struck
    ]
    return len(shares) >= _ENOUGH and fmean(shares) > _DOTTED


def _again(notes: Sequence[Played], heard: _Best) -> _Best:
    """Follows the beat once more, with the deviation that the player turned out to have."""
    jitter = min(max(heard.track.deviation * _WIDER, _STEADIEST), _LOOSEST)
    pulse = replace(heard.pulse, jitter=jitter)
    return _Best(pulse, track(notes, pulse, _WIDE))


def _swings(pulse: Pulse) -> Iterator[Pulse]:
    yield pulse
    if pulse.division is Division.SIMPLE:
        for swung in _SWINGS:
            yield replace(pulse, swung=swung)


def _timing(
    notes: Sequence[Played],
    best: _Best,
    unit: Fraction,
    told: Told,
    *guessed: str,
    zero: Fraction | None = None,
) -> Timing:
    places = [place * unit for place in best.track.places]
    beats = best.track.beats
    ends = [_place(note.end, beats, best.track.first) * float(unit) for note in notes]
    meter = told.meter
    if meter is None:
        meter = find_meter(notes, places, ends, best.pulse.division)
    other: Fraction | None = None
    if zero is None and told.pickup is not None:
        zero = places[0] + told.pickup * meter.beat
    if zero is None:
        found = find_barlines(notes, places, ends, meter, swung=best.pulse.swung != 0.5)
        zero = found.downbeat
        if found.other is not None:
            other = (found.other - places[0]) % meter.length / meter.beat
        guessed = (*guessed, "bars", *(() if found.sure else ("downbeat",)))
    period = (beats[-1] - beats[0]) / (len(beats) - 1) if len(beats) > 1 else best.pulse.period
    swung = best.pulse.swung != 0.5
    return Timing(
        meter,
        tuple(place - zero for place in places),
        tuple(end - float(zero) for end in ends),
        Feel(FeelKind.SWING) if swung else STRAIGHT,
        best.pulse.swung,
        _in_bounds(60 / period * float(unit / meter.beat)),
        best.track.deviation,
        guessed,
        other,
    )


def _in_bounds(tempo: float) -> int:
    return min(max(round(tempo), 1), _FASTEST)


def _place(moment: float, beats: Sequence[float], first: int) -> float:
    """Gives the beat of a moment, as it is played."""
    index = min(max(bisect_right(beats, moment) - 1, 0), len(beats) - 2)
    return first + index + (moment - beats[index]) / (beats[index + 1] - beats[index])
