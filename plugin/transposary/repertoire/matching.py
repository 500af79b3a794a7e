"""Places of the repertoire whose chords answer to a pattern."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from transposary.passage import Chord, Key, Meter
from transposary.pitch import NoteName
from transposary.repertoire.index import Index, Row, candidates, keys_of
from transposary.repertoire.likeness import ADMITTED, Likeness, likeness
from transposary.repertoire.patterns import Pattern, Step
from transposary.repertoire.performance import Performance, Span
from transposary.theory.modes import is_minor
from transposary.theory.numerals import Numeral
from transposary.theory.regions import Harmony

SPEEDS = (Fraction(1), Fraction(1, 2), Fraction(2))
"""Lengths to try: as written, twice as fast, half as fast."""


@dataclass(frozen=True)
class Match:
    """A pattern found in a song.

    Attributes:
        performance: The song.
        pattern: What was looked for.
        spans: The chords of the song that answer to its steps.
        alike: How far each of them does.
        tonic: The tonic in which the device is played there.
        local: The tonicised key where that is not the song's, else None.
        ratio: Length in the song over length in the device.
        speed: The same, counted in beats where one meter is simple and the other compound.
        start: Where the first step begins in the song.
        cut: Whether the last chord of the song is shorter than the device stays on it.
    """

    performance: Performance
    pattern: Pattern
    spans: tuple[Span, ...]
    alike: tuple[Likeness, ...]
    tonic: NoteName
    local: Key | None
    ratio: Fraction
    speed: Fraction
    start: Fraction
    cut: bool

    @property
    def end(self) -> Fraction:
        """Where the device ends in the song."""
        last = self.spans[-1]
        begun = self.start if len(self.spans) == 1 else last.onset
        return min(begun + self.pattern.steps[-1].length * self.ratio, last.end)

    @property
    def cut_at(self) -> Fraction:
        """When in the device the last chord of the song is over."""
        before = sum((step.length for step in self.pattern.steps[:-1]), self.pattern.offset)
        return before + self.spans[-1].length / self.ratio

    @cached_property
    def uneven(self) -> tuple[tuple[int, Fraction], ...]:
        """Chords between first and last that do not last as long as the device stays on them.

        Each with its place, the first chord of all being 0, and by how many quarters it is longer
        (shorter where negative).
        """
        inner = list(enumerate(zip(self.spans, self.pattern.steps, strict=False)))[1:-1]
        found = ((at, span.length - step.length * self.ratio) for at, (span, step) in inner)
        return tuple((at, longer) for at, longer in found if longer)

    @property
    def stepped(self) -> tuple[Span, ...]:
        """The chords in two steps that are counted as one here."""
        return tuple(span for span in self.spans if span.inside)

    def moment(self, onset: Fraction) -> Fraction | None:
        """Gives when a moment of the device comes in the song.

        Args:
            onset: In quarters from the first downbeat of the device.

        Returns:
            None where its chord has ended in the song before: there the device has to be cut.
        """
        moment, end = self._place(onset)
        return moment if end is None or moment < end else None

    def nearest(self, onset: Fraction) -> Fraction:
        """Gives when a moment of the device comes, the end of its chord where that is over before."""
        moment, end = self._place(onset)
        return moment if end is None else min(moment, end)

    def _place(self, onset: Fraction) -> tuple[Fraction, Fraction | None]:
        """Gives the moment and the end of its chord; None where none of the chords is cut."""
        if not self.uneven:
            return self.start + (onset - self.pattern.offset) * self.ratio, None
        begun, place = self.pattern.offset, self.start
        for step, span in zip(self.pattern.steps[:-1], self.spans[:-1], strict=True):
            if onset < begun + step.length:
                return place + (onset - begun) * self.ratio, span.end
            begun, place = begun + step.length, span.end
        return place + (onset - begun) * self.ratio, None

    @property
    def displaced(self) -> bool:
        """Whether it begins on another beat than the author wrote."""
        return self.performance.beat_at(self.start) != self.pattern.beat

    def wanted_at(self, moment: Fraction) -> Numeral | None:
        """Gives the chord that the device wants at a moment where the chart's plain triad admits it."""
        steps = zip(self.spans, self.alike, self.pattern.steps, strict=True)
        return next(
            (
                step.numeral
                for span, alike, step in steps
                if alike == ADMITTED and span.onset <= moment < span.end
            ),
            None,
        )

    @cached_property
    def likeness(self) -> float:
        """How alike the chords are on the whole, 0 to 1."""
        return sum(one.score for one in self.alike) / len(self.alike)


def matches(index: Index, pattern: Pattern) -> Iterator[Match]:
    """Finds where a pattern stands in the repertoire."""
    for (number, at), key in candidates(index, pattern):
        found = _match(index.rows[number], at, key, pattern)
        if found is not None:
            yield found


def _match(row: Row, at: int, key: Key | None, pattern: Pattern) -> Match | None:
    performance = row.performance
    spans = row.spans[at : at + len(pattern.steps)]
    if row.stepped and not any(span.inside for span in spans):
        return None
    rows = [span.harmony for span in spans if span.harmony is not None]
    if len(rows) < len(pattern.steps) or (key is not None and any(key not in keys_of(row) for row in rows)):
        return None
    tonic = key.tonic if key is not None else _tonic_below(rows[0], pattern.steps[0])
    minor = is_minor(key.mode) if key is not None else pattern.minor
    alike = compare([row.chord for row in rows], pattern.steps, tonic, minor=minor)
    if alike is None:
        return None
    unit = unit_between(performance.bar_at(spans[0].onset).bar.meter, pattern.meter)
    # Other lengths of inner chords are offered last, and at the speed of the author only.
    tried = [(speed, False) for speed in SPEEDS] + [(Fraction(1), True)]
    timings = ((speed, _timing(spans, pattern, speed * unit, uneven=uneven)) for speed, uneven in tried)
    speed, timing = next(((speed, one) for speed, one in timings if one is not None), (Fraction(1), None))
    if timing is None:
        return None
    start, cut = timing
    local = key if key is not None and key != rows[0].key else None
    return Match(performance, pattern, tuple(spans), alike, tonic, local, speed * unit, speed, start, cut)


def unit_between(song: Meter, device: Meter) -> Fraction:
    """Gives the length of a device's beat in a song: a dotted quarter in 12/8 for a quarter in 4/4.

    Bars of one length (6/8 and 3/4) take each other as they are.
    """
    if song.compound == device.compound or song.length == device.length:
        return Fraction(1)
    return song.beat / device.beat


def _tonic_below(harmony: Harmony, step: Step) -> NoteName:
    return NoteName(harmony.chord.root.fifths - step.numeral.root.fifths)


def compare(
    chords: Sequence[Chord], steps: Sequence[Step], tonic: NoteName, *, minor: bool
) -> tuple[Likeness, ...] | None:
    """Compares chords with as many steps of a pattern that is played on a tonic.

    Returns:
        How alike they are, one by one, or None where one of them is not.
    """
    found: list[Likeness] = []
    for chord, step in zip(chords, steps, strict=True):
        wanted = tonic.pitch_class + step.numeral.root.semitones
        alike = likeness(step.numeral, chord, (chord.root.pitch_class - wanted) % 12, minor=minor)
        if alike is None:
            return None
        found.append(alike)
    return tuple(found)


def _timing(
    spans: Sequence[Span], pattern: Pattern, ratio: Fraction, *, uneven: bool
) -> tuple[Fraction, bool] | None:
    """Holds the lengths of the chords against the steps at a ratio.

    The device comes in as late on the first chord as it needs, chords in between have to last
    exactly as long (where `uneven`, within half as long again), and the last one at least half as
    long as the device stays on it.
    """
    wanted = [step.length * ratio for step in pattern.steps]
    if len(spans) == 1:
        if spans[0].length >= wanted[0]:
            return spans[0].onset, False
        return None
    inner = all(
        abs(span.length - length) <= (length / 2 if uneven else 0)
        for span, length in zip(spans[1:-1], wanted[1:-1], strict=True)
    )
    last = spans[-1].length
    if not inner or spans[0].length < wanted[0] or 2 * last < wanted[-1]:
        return None
    return spans[0].end - wanted[0], last < wanted[-1]
