"""A song as it is played: one row of chords on a line of time."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from transposary.passage import Chord
from transposary.song import ChartChord, PlayedBar, Song
from transposary.theory.families import Family, family_of
from transposary.theory.regions import Harmony, song_harmony


@dataclass(frozen=True, slots=True)
class Span:
    """A chord for as long as it lasts, over barlines too.

    Attributes:
        harmony: The chord and its numeral, or None for `N.C.`.
        onset: In quarter notes from the first bar of the performance.
        length: In quarter notes.
        inside: The chords that are counted as one here; empty where it is one chord.
    """

    harmony: Harmony | None
    onset: Fraction
    length: Fraction
    inside: tuple[Harmony, ...] = ()

    @property
    def end(self) -> Fraction:
        """Where the next chord begins."""
        return self.onset + self.length


@dataclass(frozen=True)
class Performance:
    """A song from its first bar to its last, repeats and form unfolded.

    Attributes:
        song: The song.
        spans: Its chords; equal ones that follow each other are one.
        starts: Where each played bar starts.
    """

    song: Song
    spans: tuple[Span, ...]
    starts: tuple[Fraction, ...]

    @property
    def end(self) -> Fraction:
        """Where the last bar ends."""
        return self.spans[-1].end

    def bar_at(self, moment: Fraction) -> PlayedBar:
        """Gives the played bar in which a moment falls."""
        return self.song.played[bisect_right(self.starts, moment) - 1]

    def beat_at(self, moment: Fraction) -> Fraction:
        """Gives the beat of a moment in its bar, from 1."""
        index = bisect_right(self.starts, moment) - 1
        return (moment - self.starts[index]) / self.song.played[index].bar.meter.beat + 1

    def chord_at(self, moment: Fraction) -> Chord | None:
        """Gives the chord that sounds at a moment, or None."""
        index = bisect_right(self.spans, moment, key=lambda span: span.onset) - 1
        harmony = self.spans[index].harmony
        return None if harmony is None else harmony.chord


def harmonies(song: Song) -> tuple[tuple[Harmony | None, ...], ...]:
    """Counts the chords of a song in the order of the performance, a row for each played bar."""
    chords = [(one.chord, played.bar.key) for played in song.played for one in played.bar.chords]
    counted = iter(song_harmony(chords))
    return tuple(tuple(next(counted) for _ in played.bar.chords) for played in song.played)


def perform(song: Song) -> Performance:
    """Lays a song out in time."""
    starts: list[Fraction] = []
    spans: list[Span] = []
    clock = Fraction(0)
    for played, row in zip(song.played, harmonies(song), strict=True):
        starts.append(clock)
        for span in _spans(played.bar.chords, row, clock):
            if spans and _same(spans[-1], span):
                spans[-1] = _joined(spans[-1], span)
            else:
                spans.append(span)
        clock = starts[-1] + sum((chord.length for chord in played.bar.chords), Fraction(0))
    return Performance(song, tuple(spans), tuple(starts))


def _spans(
    chords: tuple[ChartChord, ...], row: tuple[Harmony | None, ...], clock: Fraction
) -> Iterator[Span]:
    for chord, harmony in zip(chords, row, strict=True):
        yield Span(harmony, clock, chord.length)
        clock += chord.length


def _same(one: Span, other: Span) -> bool:
    if one.harmony is None or other.harmony is None:
        return one.harmony is other.harmony
    return (one.harmony.chord, one.harmony.key) == (other.harmony.chord, other.harmony.key)


def _joined(one: Span, other: Span) -> Span:
    """Joins a chord that goes on; it is tonicised where any part of it is."""
    tonicised = other.harmony is not None and other.harmony.local is not None
    harmony = other.harmony if tonicised and one.harmony and one.harmony.local is None else one.harmony
    return Span(harmony, one.onset, one.length + other.length)


def in_one(spans: tuple[Span, ...]) -> tuple[Span, ...]:
    """Counts a chord in two steps as one: `G7sus4 G7`, `C C6`.

    The root stays, and so does the family, or a dominant is suspended before or after it. The
    chord that counts is the first that is not suspended.
    """
    found: list[Span] = []
    for span in spans:
        if found and _is_step(found[-1], span):
            found[-1] = _stepped(found[-1], span)
        else:
            found.append(span)
    return tuple(found)


def _is_step(one: Span, other: Span) -> bool:
    if one.harmony is None or other.harmony is None or one.harmony.key != other.harmony.key:
        return False
    if one.harmony.chord.root.pitch_class != other.harmony.chord.root.pitch_class:
        return False
    families = {family_of(one.harmony.chord.tones), family_of(other.harmony.chord.tones)}
    return len(families) == 1 or families == {Family.DOMINANT, Family.SUSPENDED}


def _stepped(one: Span, other: Span) -> Span:
    inside = tuple(row for span in (one, other) for row in span.inside or (span.harmony,) if row is not None)
    sounding = (row for row in inside if family_of(row.chord.tones) is not Family.SUSPENDED)
    local = next((row.local for row in inside if row.local is not None), None)
    chord = replace(next(sounding, inside[0]), local=local)
    return Span(chord, one.onset, one.length + other.length, inside)
