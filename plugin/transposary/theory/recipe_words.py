"""A recipe in words: how a teacher would call it out to someone without the notation.

Degrees are those of the key in force; where the key changes, the words say so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from transposary.passage import Chord
from transposary.pitch import Degree, Interval, NoteName, Pitch
from transposary.theory.hands import VOICES
from transposary.theory.keys import UNISON, between_tonics
from transposary.theory.recipe import Line
from transposary.theory.shapes import ROOTLESS, Shape, name_chord
from transposary.theory.wording import pretty_quality, say_degree, say_distance, say_key, say_step


@dataclass(frozen=True, slots=True)
class _Stop:
    """Where a voice stands after a move.

    Attributes:
        step: The way there from the bottom before.
        degree: Degree of the bottom note.
        pitches: Its notes in C.
        chord: The chord symbol there, in C.
        tonic: From the tonic of the first key to that of the key in force.
        lift: From the tonic of the stop before.
        times: How often it is struck in a row.
        grace: Whether it is a grace note.
    """

    step: Interval
    degree: Degree
    pitches: tuple[Pitch, ...]
    chord: Chord | None = None
    tonic: Interval = UNISON
    lift: Interval = UNISON
    times: int = 1
    grace: bool = False

    @property
    def stack(self) -> tuple[Interval, ...]:
        """The other notes, each from the bottom."""
        return tuple(self.pitches[0].to(pitch) for pitch in self.pitches[1:])


@dataclass(frozen=True, slots=True)
class Steps:
    """How one voice plays a device in any key.

    Attributes:
        voice: The voice in words.
        steps: One after the other, each a phrase.
    """

    voice: str
    steps: tuple[str, ...]


def recipe_steps(lines: Sequence[Line]) -> tuple[Steps, ...]:
    """Says how to play a device in any key, voice by voice."""
    return tuple(Steps(VOICES[line.voice], tuple(_say(line))) for line in lines)


def _say(line: Line) -> Iterator[str]:
    first, *others = _stops(line)
    with_shape = f" with {_shape(first)}" if first.stack else ""
    yield _keyed(first, f"start on {say_degree(first.degree)}{with_shape}{_times(first)}")
    for run in _runs(others):
        yield _keyed(run[0], _say_run(run))


def _keyed(stop: _Stop, words: str) -> str:
    return words if stop.lift == UNISON else f"now {say_key(stop.lift)}, {words}"


def _stops(line: Line) -> tuple[_Stop, ...]:
    """Follows a voice in the key of C, where degrees are easy to count; repeats are counted."""
    bottom = Pitch.parse("C4").up(Interval(line.start.number - 1, line.start.semitones))
    found: list[_Stop] = []
    for move in line.moves:
        step = move.step or UNISON
        bottom = bottom.up(step)
        pitches = (bottom, *(bottom.up(interval) for interval in move.stack))
        grace = not any(move.lengths)
        last = (found[-1].pitches, found[-1].grace, found[-1].tonic) if found else None
        if last == (pitches, grace, move.tonic):
            found[-1] = replace(found[-1], times=found[-1].times + 1)
        else:
            tonic = NoteName(0).up(move.tonic)
            before = NoteName(0).up(found[-1].tonic if found else UNISON)
            degree, lift = Degree.between(tonic, bottom.name), between_tonics(before, tonic)
            found.append(_Stop(step, degree, pitches, move.chord, move.tonic, lift, grace=grace))
    return tuple(found)


def _times(stop: _Stop) -> str:
    if stop.grace:
        return ", as a grace note"
    return "" if stop.times == 1 else (", twice" if stop.times == 2 else f", {stop.times} times")


def _shape(stop: _Stop) -> str:
    """Names what a hand holds: an interval, a chord by quality and inversion, or its intervals.

    Where the root of the chord symbol is silent, the shape that the hand feels comes first.
    """
    if len(stop.stack) == 1:
        return f"{say_distance(stop.stack[0])} above it"
    meant = next(iter(name_chord(stop.pitches, stop.chord)), None)
    if meant is not None and meant.position != ROOTLESS:
        return _grip(meant)
    felt = next(iter(name_chord(stop.pitches)), None)
    above = [say_distance(interval) for interval in stop.stack]
    grip = f"{', '.join(above[:-1])} and {above[-1]} above it" if felt is None else _grip(felt)
    return grip if meant is None else f"{grip} ({_named(meant)} without its root)"


def _grip(shape: Shape) -> str:
    return f"{_named(shape)} in {shape.position}"


def _named(shape: Shape) -> str:
    return f"{'an' if shape.quality[0] in 'aeiou' else 'a'} {pretty_quality(shape.quality)}"


def _runs(stops: Sequence[_Stop]) -> Iterator[tuple[_Stop, ...]]:
    """Puts together what is said in one breath: single notes that go by step in one direction and key."""
    for _, run in groupby(enumerate(stops), key=lambda pair: _manner_of(*pair)):
        yield tuple(stop for _, stop in run)


def _manner_of(index: int, stop: _Stop) -> tuple[int, bool, Interval]:
    by_step = not stop.stack and not stop.grace and stop.times == 1 and 0 < abs(stop.step.semitones) <= 2
    return (-1 if by_step else index, stop.step.semitones > 0, stop.tonic)


def _say_run(run: Sequence[_Stop]) -> str:
    stop = run[-1]
    if len(run) > 1:
        return _say_steps(run)
    if stop.step == UNISON and stop.lift == UNISON:
        kept = "on the same bottom note " if stop.stack else "the bottom note alone"
        return f"{kept}{_shape(stop) if stop.stack else ''}{_times(stop)}"
    with_shape = f", {_shape(stop)}" if stop.stack else ""
    if stop.step.semitones == 0:
        return f"on the same key, now called {say_degree(stop.degree)}{with_shape}{_times(stop)}"
    return f"{say_step(stop.step)} to {say_degree(stop.degree)}{with_shape}{_times(stop)}"


def _say_steps(run: Sequence[_Stop]) -> str:
    by = "semitones" if all(abs(stop.step.semitones) == 1 for stop in run) else "step"
    way = "climb" if run[0].step.semitones > 0 else "descend"
    through = [say_degree(stop.degree) for stop in run[:-1]]
    listed = f"{', '.join(through[:-1])} and {through[-1]}" if len(through) > 1 else through[0]
    return f"{way} by {by} through {listed} to {say_degree(run[-1].degree)}"
