"""What is looked for in a chart: the chords over which a device can be played."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from transposary.glossary import Device, Frame
from transposary.passage import Meter, Passage
from transposary.problems import Fault
from transposary.theory.harmony import harmony
from transposary.theory.modes import is_minor
from transposary.theory.numerals import Numeral, parse_numeral


@dataclass(frozen=True, slots=True)
class Step:
    """A chord of a pattern, counted from the tonic, and how long the device stays on it."""

    numeral: Numeral
    length: Fraction


@dataclass(frozen=True, slots=True)
class Pattern:
    """A row of chords to look for.

    Attributes:
        frame: What it hangs on.
        minor: Whether the device is in a minor mode.
        steps: The chords.
        offset: Where the first of them begins in the device, in quarters from its first downbeat.
        beat: The beat of the bar on which that is, from 1.
        meter: Meter of the device.
    """

    frame: Frame
    minor: bool
    steps: tuple[Step, ...]
    offset: Fraction
    beat: Fraction
    meter: Meter


_EMPTY = Pattern(Frame.KEY, minor=False, steps=(), offset=Fraction(0), beat=Fraction(1), meter=Meter(4, 4))


def patterns_of(device: Device) -> tuple[Pattern, ...]:
    """Lists what to look for: each text of `over`, and the harmony of the device itself.

    What hangs on one chord takes that of `over` alone, where there is one.
    """
    passage = device.passage
    rows = [_row(text.value, passage) for text in device.over]
    if not rows or device.frame is not Frame.CHORD:
        rows.append(_own(passage))
    minor = is_minor(passage.key.mode)
    return tuple(
        Pattern(device.frame, minor, steps, offset, passage.bar_at(offset).beat_at(offset), passage.meter)
        for offset, row in rows
        for steps in [row[:1] if device.frame is Frame.CHORD else row]
        if steps
    )


def own_pattern(device: Device) -> Pattern:
    """Gives the harmony of the device itself as a pattern, whatever its `over` says."""
    return next(iter(patterns_of(replace(device, over=()))), _EMPTY)


def _own(passage: Passage) -> tuple[Fraction, tuple[Step, ...]]:
    found = [(symbol.onset, numeral) for symbol, numeral in harmony(passage)]
    if not found:
        return Fraction(0), ()
    ends = [*(onset for onset, _ in found[1:]), passage.end]
    steps = [
        Step(numeral.plain, end - onset)
        for (onset, numeral), end in zip(found, ends, strict=True)
        if numeral is not None
    ]
    return found[0][0], tuple(_merged(steps))


def _row(text: str, passage: Passage) -> tuple[Fraction, tuple[Step, ...]]:
    """Reads `I | IV`: bars of the device's meter, whose chords share them; one chord lasts it out."""
    bars = [bar.split() for bar in text.strip().strip("|").split("|")]
    numerals = [[parse_numeral(word) for word in bar] for bar in bars]
    length = passage.meter.length
    steps = [
        Step(numeral.plain, length / len(bar))
        for bar in numerals
        for numeral in bar
        if not isinstance(numeral, Fault)
    ]
    merged = tuple(_merged(steps))
    if len(merged) == 1:
        merged = (Step(merged[0].numeral, max(passage.end, merged[0].length)),)
    return Fraction(0), merged


def _merged(steps: Sequence[Step]) -> Iterator[Step]:
    """Puts equal neighbours together."""
    held: Step | None = None
    for step in steps:
        if held is not None and held.numeral == step.numeral:
            held = Step(held.numeral, held.length + step.length)
            continue
        if held is not None:
            yield held
        held = step
    if held is not None:
        yield held
