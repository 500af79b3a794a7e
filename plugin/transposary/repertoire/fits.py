"""Where a device fits: the places found, judged note by note, best first, each with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from transposary.glossary import Device
from transposary.pitch import NoteName
from transposary.repertoire.index import Index, index_of
from transposary.repertoire.judging import Voiced, judge, notes_score, voiced
from transposary.repertoire.matching import Match, matches
from transposary.repertoire.patterns import patterns_of
from transposary.repertoire.performance import perform
from transposary.repertoire.places import Run, section_runs
from transposary.repertoire.reasons import adaptations, reason
from transposary.song import PlayedBar, Song

# Only so many of the likeliest places are judged note by note, and so many are offered.
_JUDGED = 50
_OFFERED = 24
_LEAST = 0.4


@dataclass(frozen=True, slots=True)
class Parts:
    """What the score of a fit is made of, each from 0 to 1; the score is their product."""

    chords: float
    time: float
    notes: float

    @property
    def score(self) -> float:
        """The score, 0 to 1, to two places."""
        return round(self.chords * self.time * self.notes, 2)


@dataclass(frozen=True, slots=True)
class Fit:
    """A place in a song where a device can be played.

    Attributes:
        song: Slug of the song.
        section: Name of the section in which it begins.
        first: First bar within the section.
        last: Last bar, counted on where it runs into the next section.
        number: First bar through the form as played, at its first time.
        times: Which times round the section.
        tonic: Tonic in which the device is played there.
        parts: What the score is made of.
        adapted: What has to change, in words; empty where nothing does.
        reason: Why it fits, in a sentence.
    """

    song: str
    section: str
    first: int
    last: int
    number: int
    times: tuple[int, ...]
    tonic: NoteName
    parts: Parts
    adapted: tuple[str, ...]
    reason: str

    @property
    def score(self) -> float:
        """How well it fits, 0 to 1."""
        return self.parts.score


@dataclass(frozen=True, slots=True)
class Found:
    """A place where a device fits, as it was found.

    Attributes:
        fit: The place.
        match: The chords that answer there, at the first of its times.
    """

    fit: Fit
    match: Match


def runs_of_fit(song: Song, fit: Fit) -> tuple[Run, ...]:
    """Gives the bars of a fit, a run for each time they come round."""
    return section_runs(song, fit.section, fit.first, fit.last, fit.times)


def repertoire_of(songs: Iterable[Song]) -> Index:
    """Prepares songs for being searched."""
    return index_of([perform(song) for song in songs])


def fits_of(device: Device, repertoire: Index) -> tuple[Fit, ...]:
    """Finds where a device fits, the best places first."""
    return tuple(one.fit for one in find_fits(device, repertoire, voiced(device)))


def find_fits(device: Device, repertoire: Index, notes: Sequence[Voiced]) -> tuple[Found, ...]:
    """Finds where a device fits as `fits_of` does, with what answers there.

    Args:
        device: The device.
        repertoire: Where it is looked for.
        notes: Its notes, prepared for being judged.
    """
    matched = [match for pattern in patterns_of(device) for match in matches(repertoire, pattern)]
    likeliest = islice(sorted(_single(matched), key=_before_judging), _JUDGED)
    found = [one for one in _fits(device, list(likeliest), notes) if one.fit.score >= _LEAST]
    ordered = sorted(found, key=lambda one: _before(one.fit))
    return tuple(ordered[:_OFFERED])


def _before(fit: Fit) -> tuple[float, str, int, int]:
    return (-fit.score, fit.song, fit.number, fit.tonic.fifths)


def _single(found: Iterable[Match]) -> Iterator[Match]:
    """Keeps one match for each place, tonic and time of a section: the likeliest one."""
    best: dict[tuple[str, object, NoteName], Match] = {}
    for match in found:
        name = (match.performance.song.slug, match.start, match.tonic)
        if name not in best or _before_judging(match) < _before_judging(best[name]):
            best[name] = match
    yield from best.values()


def _before_judging(match: Match) -> tuple[float, str, object, int]:
    return (-estimate(match), match.performance.song.slug, match.start, match.tonic.fifths)


def estimate(match: Match) -> float:
    """Says how well a device fits before its notes are judged, 0 to 1: by chords and time."""
    return match.likeness * _time_score(match)


def _time_score(match: Match) -> float:
    score = 1.0 if match.speed == 1 else 0.85
    score *= 0.9 if match.displaced else 1.0
    score *= 0.95 if match.cut else 1.0
    score *= 0.8 if match.uneven else 1.0
    return score * (0.97 if match.stepped else 1.0)


def _fits(device: Device, found: Sequence[Match], notes: Sequence[Voiced]) -> Iterator[Found]:
    """Judges matches; those that come round again in the same bars of a section are one fit."""
    merged: dict[tuple[str, str, int, int, NoteName], Found] = {}
    for match in sorted(found, key=lambda one: (one.performance.song.slug, one.start)):
        judged = judge(match, notes, device.passage.key.tonic)
        adapted = adaptations(device, match)
        time = _time_score(match) * (0.95 if _other_surroundings(device, match) else 1.0)
        parts = Parts(round(match.likeness, 3), round(time, 3), round(notes_score(judged), 3))
        first, last = _bars(match)
        fit = Fit(
            match.performance.song.slug,
            first.section,
            first.within,
            first.within + last.number - first.number,
            first.number,
            (first.time,),
            match.tonic,
            parts,
            adapted,
            reason(device, match, judged),
        )
        name = (fit.song, fit.section, fit.first, fit.last, fit.tonic)
        known = merged.get(name)
        merged[name] = Found(fit, match) if known is None else _again(known, first.time)
    yield from merged.values()


def _again(found: Found, time: int) -> Found:
    """Adds another time at which the same bars come round."""
    times = tuple(sorted({*found.fit.times, time}))
    return replace(found, fit=replace(found.fit, times=times))


def _other_surroundings(device: Device, match: Match) -> bool:
    song = match.performance.song
    return device.passage.meter != song.meter or device.feel != song.feel


def _bars(match: Match) -> tuple[PlayedBar, PlayedBar]:
    performance = match.performance
    last = max(match.start, match.end - match.ratio / 8)
    return performance.bar_at(match.start), performance.bar_at(last)
