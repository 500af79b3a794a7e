"""Chord symbols for notes that come without any.

A row of chords is chosen together, beat by beat: a chord gains by what sounds of its tones, loses
by what sounds beside them and by tones that its name needs and nobody plays; a change of chord
costs something, least at a barline. The weights are our own, set by what the demo's devices say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from transposary.passage import Bar, Chord, Key, Mode, Symbol
from transposary.pitch import Degree, NoteName
from transposary.problems import Fault
from transposary.theory.chords import parse_chord
from transposary.theory.scales import key_degrees

# Suffix, and what the name costs: simple ones first.
_SUFFIXES = (
    *(("", 0.0), ("m", 0.0), ("7", 0.1), ("m7", 0.1), ("maj7", 0.12), ("m7b5", 0.25), ("dim7", 0.25)),
    *(("dim", 0.3), ("6", 0.3), ("m6", 0.3), ("9", 0.25), ("m9", 0.25), ("maj9", 0.27), ("13", 0.35)),
    *(("sus4", 0.4), ("7sus4", 0.4), ("aug", 0.5), ("7b9", 0.35), ("7#9", 0.35), ("add9", 0.35)),
    *(("69", 0.35), ("mMaj7", 0.4), ("9sus4", 0.45), ("m11", 0.5), ("7#11", 0.5), ("7b13", 0.5)),
    *(("7b5", 0.5), ("7#5", 0.45), ("maj7#11", 0.5), ("m69", 0.45), ("13sus4", 0.55), ("madd9", 0.4)),
)
_OUTSIDE = 1.1
_MISSING = 0.32
_NO_ROOT = 0.6
_IN_BASS = 0.35
_STRANGE = 0.06
_CHANGE = {0: 0.25, 1: 0.45, 2: 0.9}
_STATED = 3


@dataclass(frozen=True, slots=True)
class Sounding:
    """A key and when it sounds, in quarter notes from the first downbeat."""

    number: int
    onset: Fraction
    end: Fraction


@dataclass(frozen=True, slots=True)
class FoundChord:
    """A chord symbol that notes suggest.

    Attributes:
        symbol: The symbol.
        stated: Whether three of its tones or more, or all of a smaller chord, sound together.
    """

    symbol: Symbol
    stated: bool


@dataclass(frozen=True, slots=True)
class _Offer:
    """A kind of chord over a root, as pitch classes."""

    root: int
    suffix: str
    tones: frozenset[int]
    needed: frozenset[int]
    cost: float
    degrees: tuple[Degree, ...]


def find_chords(notes: Sequence[Sounding], bars: Sequence[Bar], key: Key) -> tuple[FoundChord, ...]:
    """Finds the chords of a passage.

    Args:
        notes: What sounds.
        bars: The bars.
        key: The key, for spelling roots and for choosing between chords alike.
    """
    windows = list(_windows(notes, bars))
    if not windows:
        return ()
    scale = {degree.above(key.tonic).pitch_class for degree in key_degrees(key)}
    # In the same order from the tonic up, so that moving all notes moves the chords and no more.
    tonic = key.tonic.pitch_class
    offers = sorted(_offers(), key=lambda offer: (offer.root - tonic) % 12)
    best = [0.0] * len(offers)
    back: list[list[int]] = []
    for index, window in enumerate(windows):
        fits = [_fit(offer, window, scale) for offer in offers]
        if index == 0:
            best, chosen = fits, list(range(len(offers)))
        else:
            top = max(range(len(offers)), key=best.__getitem__)
            changed = best[top] - _CHANGE[window.level]
            chosen = [own if best[own] >= changed else top for own in range(len(offers))]
            best = [max(best[own], changed) + fits[own] for own in range(len(offers))]
        back.append(chosen)
    now = max(range(len(offers)), key=best.__getitem__)
    path = []
    for chosen in reversed(back):
        path.append(now)
        now = chosen[now]
    path.reverse()
    return tuple(_symbols([offers[one] for one in path], windows, notes, bars, key))


def guess_chords(notes: Sequence[Sounding], bars: Sequence[Bar], key: Key) -> tuple[Symbol, ...]:
    """Guesses what a chart may show over a line: a triad of the key for each bar, in minor with a major V.

    A line can pass through any chord, so that finer ones would only name its own notes.
    """
    scale = {degree.above(key.tonic).pitch_class for degree in key_degrees(key)}
    tonic = key.tonic.pitch_class
    if key.mode is Mode.MINOR:
        scale.add((tonic - 1) % 12)
    offers = [one for one in _offers() if one.suffix in ("", "m") and one.tones <= scale]
    # Of chords alike, the one nearest to the tonic by fifths, as tonic, dominant and subdominant are.
    fifths = {offer.root: (offer.root - tonic) * 7 % 12 for offer in offers}
    offers.sort(key=lambda offer: (min(fifths[offer.root], 12 - fifths[offer.root]), fifths[offer.root]))
    found = []
    for bar in bars:
        window = _window(notes, bar.onset, bar.end, 0)
        if window.bass is not None:
            best = max(offers, key=lambda offer: _fit(offer, window, scale))
            chord = Chord(_root_name(best, key), best.suffix, best.degrees)
            found.append(Symbol(bar.onset, bar.number, chord))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Window:
    """A stretch of time: how much of each pitch class sounds in it, and which is lowest."""

    start: Fraction
    end: Fraction
    weights: tuple[float, ...]
    bass: int | None
    level: int


def _windows(notes: Sequence[Sounding], bars: Sequence[Bar]) -> Iterator[_Window]:
    for bar in bars:
        beat = bar.meter.beat
        start = bar.onset
        while start < bar.end:
            end = min(start + beat, bar.end)
            middle = (start - bar.onset) * 2 == bar.duration
            yield _window(notes, start, end, 0 if start == bar.onset else 1 if middle else 2)
            start = end


def _window(notes: Sequence[Sounding], start: Fraction, end: Fraction, level: int) -> _Window:
    inside = [note for note in notes if note.onset < end and note.end > start]
    weights = [0.0] * 12
    for note in inside:
        share = float((min(note.end, end) - max(note.onset, start)) / (end - start))
        struck = 0.3 * (note.onset == start)
        weights[note.number % 12] += min(share, 1.0) * 0.7 + struck
    low = min((note.number for note in inside), default=None)
    return _Window(start, end, tuple(min(one, 1.0) for one in weights), low, level)


@cache
def _offers() -> tuple[_Offer, ...]:
    found = []
    for root in range(12):
        for suffix, cost in _SUFFIXES:
            chord = parse_chord(f"C{suffix}")
            if isinstance(chord, Fault):
                continue
            tones = frozenset((root + tone.semitones) % 12 for tone in chord.tones)
            # A fifth and what lies between the seventh and the highest tension may be left out.
            names = [tone for tone in chord.tones if tone.number in (3, 4, 7, 6) or tone == chord.tones[-1]]
            names += [tone for tone in chord.tones if tone.number == 5 and tone.alter]
            needed = frozenset((root + tone.semitones) % 12 for tone in names)
            found.append(_Offer(root, suffix, tones, needed, cost, chord.tones))
    return tuple(found)


def _fit(offer: _Offer, window: _Window, scale: set[int]) -> float:
    if window.bass is None:
        return 0.0
    heard = sum(window.weights)
    inside = sum(window.weights[one] for one in offer.tones)
    score = inside - _OUTSIDE * (heard - inside) - 0.15 * len(offer.tones)
    score -= _MISSING * sum(window.weights[one] == 0 for one in offer.needed)
    score -= _NO_ROOT * (window.weights[offer.root] == 0)
    score += _IN_BASS * (window.bass % 12 == offer.root)
    score -= _STRANGE * len(offer.tones - scale)
    return score - offer.cost


def _symbols(
    path: Sequence[_Offer],
    windows: Sequence[_Window],
    notes: Sequence[Sounding],
    bars: Sequence[Bar],
    key: Key,
) -> Iterator[FoundChord]:
    first = 0
    for index in range(1, len(path) + 1):
        if index < len(path) and path[index] == path[first]:
            continue
        start, end = windows[first].start, windows[index - 1].end
        own = [note for note in notes if note.onset < end and note.end > start]
        if own:
            offer = path[first]
            bar = next(bar for bar in bars if start < bar.end)
            begun = max(start, min(note.onset for note in own))
            lowest = min(note.number for note in own if note.onset <= begun < note.end)
            chord = _chord(offer, lowest, key)
            yield FoundChord(Symbol(start, bar.number, chord), _is_stated(offer, own))
        first = index


def _is_stated(offer: _Offer, notes: Sequence[Sounding]) -> bool:
    wanted = min(_STATED, len(offer.tones))
    for struck in notes:
        together = {note.number % 12 for note in notes if note.onset <= struck.onset < note.end}
        if len(together & offer.tones) >= wanted:
            return True
    return False


def _chord(offer: _Offer, lowest: int, key: Key) -> Chord:
    root = _root_name(offer, key)
    plain = Chord(root, offer.suffix, offer.degrees)
    bass = lowest % 12
    under = (
        None if bass == offer.root else next((one for one in plain.names if one.pitch_class == bass), None)
    )
    return Chord(root, offer.suffix, offer.degrees, under)


_ROOTS = tuple(map(Degree.parse, ("b2", "b3", "3", "#4", "b6", "6", "b7", "7")))


def _root_name(offer: _Offer, key: Key) -> NoteName:
    """Spells a root: as the key does, else a raised degree under a diminished chord, else lowered."""
    degrees = key_degrees(key)
    raised = tuple(map(Degree.parse, ("#1", "#2", "#4", "#5", "7"))) if offer.suffix.startswith("dim") else ()
    names = [degree.above(key.tonic) for degree in (*degrees, *raised, *_ROOTS)]
    return next(one for one in names if one.pitch_class == offer.root)
