"""A recipe in words: how a teacher would call it out to someone without the notation."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from transposary.passage import Chord
from transposary.pitch import Degree, Interval, NoteName, Pitch
from transposary.theory.hands import VOICES
from transposary.theory.recipe import Line
from transposary.theory.shapes import ROOTLESS, Shape, name_chord
from transposary.theory.wording import pretty_quality, say_degree, say_distance, say_step

_UNISON = Interval(0, 0)


@dataclass(frozen=True, slots=True)
class _Stop:
    """Where a voice stands after a move.

    Attributes:
        step: The way there from the bottom before.
        degree: Degree of the bottom note.
        pitches: Its notes in C.
        chord: The chord symbol there, in C.
        times: How often it is struck in a row.
        grace: Whether it is a grace note.
    """

    step: Interval
    degree: Degree
    pitches: tuple[Pitch, ...]
    chord: Chord | None = None
    times: int = 1
    grace: bool = False

    @property
    def stack(self) -> tuple[Interval, ...]:
        """The other notes, each from the bottom."""
        return tuple(self.pitches[0].to(pitch) for pitch in self.pitches[1:])


def recipe_sentences(lines: Sequence[Line]) -> tuple[str, ...]:
    """Says how to play a device in any key, a sentence for each voice."""
    return tuple(_say(line) for line in lines)


def _say(line: Line) -> str:
    first, *others = _stops(line)
    with_shape = f" with {_shape(first)}" if first.stack else ""
    begin = f"{VOICES[line.voice]}: start on {say_degree(first.degree)}{with_shape}{_times(first)}"
    phrases = [_say_run(run) for run in _runs(others)]
    return "; ".join([begin, *phrases]) + "."


def _stops(line: Line) -> tuple[_Stop, ...]:
    """Follows a voice in the key of C, where degrees are easy to count; repeats are counted."""
    bottom = Pitch.parse("C4").up(Interval(line.start.number - 1, line.start.semitones))
    found: list[_Stop] = []
    for move in line.moves:
        step = move.step or _UNISON
        bottom = bottom.up(step)
        pitches = (bottom, *(bottom.up(interval) for interval in move.stack))
        grace = not any(move.lengths)
        if found and (found[-1].pitches, found[-1].grace) == (pitches, grace):
            found[-1] = replace(found[-1], times=found[-1].times + 1)
        else:
            degree = Degree.between(NoteName(0), bottom.name)
            found.append(_Stop(step, degree, pitches, move.chord, grace=grace))
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
    """Puts together what is said in one breath: single notes that go by step in one direction."""
    for _, run in groupby(enumerate(stops), key=lambda pair: _manner_of(*pair)):
        yield tuple(stop for _, stop in run)


def _manner_of(index: int, stop: _Stop) -> tuple[int, bool]:
    by_step = not stop.stack and not stop.grace and stop.times == 1 and 0 < abs(stop.step.semitones) <= 2
    return (-1 if by_step else index, stop.step.semitones > 0)


def _say_run(run: Sequence[_Stop]) -> str:
    stop = run[-1]
    if len(run) > 1:
        return _say_steps(run)
    if stop.step == _UNISON:
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
