"""Where a device comes to lie at bars that a player chose, whether its chords are there or not."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from transposary.glossary import BarRange, Device, Frame
from transposary.passage import Key, Meter
from transposary.pitch import NoteName
from transposary.repertoire.fits import estimate
from transposary.repertoire.index import index_of
from transposary.repertoire.matching import SPEEDS, Match, matches, unit_between
from transposary.repertoire.patterns import own_pattern, patterns_of
from transposary.repertoire.performance import Performance, perform
from transposary.repertoire.places import Run, has_bars, runs_of
from transposary.song import Song


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a device cannot be carried to a place.

    Attributes:
        text: What is in the way.
        hint: What would help, or an empty string.
    """

    text: str
    hint: str = ""

    def __str__(self) -> str:
        return f"{self.text}; {self.hint}" if self.hint else self.text


@dataclass(frozen=True, slots=True)
class Landing:
    """Where a device comes to lie.

    Attributes:
        match: The place; without spans where its chords are not those that the device wants.
        key: The key in force there: the song's, or the one to which the song turns.
        run: The bars that the player chose.
    """

    match: Match
    key: Key
    run: Run

    @property
    def answers(self) -> bool:
        """Whether the chart has the chords that the device wants."""
        return bool(self.match.spans)


def land(device: Device, song: Song, bars: BarRange, time: int) -> Landing | Refusal:
    """Finds where a device comes to lie.

    The chords of the bars are matched first, as written, then twice and half as fast. Where they
    do not answer, the device begins with the first bar, at the speed that fills the bars.

    Args:
        device: The device.
        song: The song.
        bars: Where the player wants it.
        time: Which time round its section, from 1.
    """
    runs = runs_of(song, bars)
    if not runs or not has_bars(song, bars):
        return Refusal(f"{song.title} does not have the bars {bars}", _extent(song))
    if not 1 <= time <= len(runs):
        count = "once" if len(runs) == 1 else f"{len(runs)} times"
        return Refusal(f"the bars {bars} come {count} in {song.title}, found no time {time}")
    run = runs[time - 1]
    performance = perform(song)
    start, end = _span(performance, run)
    found = [
        match
        for pattern in patterns_of(device)
        for one in matches(index_of([performance]), pattern)
        for match in [_within_chord(one, start)]
        if start <= match.start < end
    ]
    if not found:
        return _freely(device, performance, run)
    best = min(
        found,
        key=lambda one: (
            bool(one.uneven),
            one.start - start >= one.performance.bar_at(start).bar.meter.length,
            one.end > end,
            -estimate(one),
            one.start,
        ),
    )
    return landing_at(device, best, run)


def landing_at(device: Device, match: Match, run: Run) -> Landing:
    """Lets a device come to lie where its chords were found."""
    return Landing(match, match.local or _key_there(device, match), run)


def _extent(song: Song) -> str:
    sections = ", ".join(f"{one.name} 1-{len(one.bars)}" for one in song.sections)
    return f"it has the bars {song.played[0].number} to {song.played[-1].number}, or {sections}"


def _span(performance: Performance, run: Run) -> tuple[Fraction, Fraction]:
    first = next(at for at, bar in enumerate(performance.song.played) if bar.number == run[0].number)
    start = performance.starts[first]
    return start, start + sum((bar.bar.meter.length for bar in run), Fraction(0))


def _within_chord(match: Match, start: Fraction) -> Match:
    """Lets a device over one chord begin where the player wants it, if enough of the chord is left."""
    total = match.pattern.steps[0].length * match.ratio
    if len(match.spans) == 1 and match.start < start and start + total <= match.spans[0].end:
        return replace(match, start=start)
    return match


def _key_there(device: Device, match: Match) -> Key:
    """Gives the song's key where the device stands on its tonic, else its own mode on the place's."""
    written = match.performance.bar_at(match.start).bar.key
    return written if written.tonic == match.tonic else Key(match.tonic, device.passage.key.mode)


def _freely(device: Device, performance: Performance, run: Run) -> Landing | Refusal:
    meter, mine = run[0].bar.meter, device.passage.meter
    if not _reconciled(meter, mine):
        text = f"a device in {mine} does not go into bars of {meter} whose chords are not its own"
        return Refusal(text, "choose bars that have its chords")
    start, end = _span(performance, run)
    pattern = own_pattern(device)
    unit = unit_between(meter, mine)
    wanted = device.passage.end * unit
    speed = next((speed for speed in SPEEDS if wanted * speed == end - start), Fraction(1))
    tonic = _tonic(device, performance, run, start)
    match = Match(
        performance,
        replace(pattern, steps=()),
        (),
        (),
        tonic,
        None,
        speed * unit,
        speed,
        start + pattern.offset * speed * unit,
        cut=False,
    )
    return Landing(match, _key_there(device, match), run)


def _tonic(device: Device, performance: Performance, run: Run, start: Fraction) -> NoteName:
    steps = own_pattern(device).steps
    chord = performance.chord_at(start)
    if device.frame is Frame.KEY or chord is None or not steps:
        return run[0].bar.key.tonic
    return NoteName(chord.root.fifths - steps[0].numeral.root.fifths)


def _reconciled(song: Meter, device: Meter) -> bool:
    """Whether bars of one meter hold bars of the other, beat by beat."""
    long, short = sorted((song.beats, device.beats), reverse=True)
    return song.length == device.length or long % short == 0
