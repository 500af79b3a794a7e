"""Where a device fits, and which devices a song offers, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from transposary.glossary import BarRange, Device, Kind
from transposary.pitch import pretty
from transposary.repertoire import Fit, runs_of_fit
from transposary.site.edition import Edition
from transposary.site.fitted import There
from transposary.site.later import later_name
from transposary.site.links import Link, source_of, source_of_entry
from transposary.site.pages.charts import section_anchor
from transposary.site.pages.common import (
    BarsOfChords,
    again_words,
    bars_words,
    chord_text,
    feel_words,
    part_moves,
)
from transposary.song import PlayedBar, Song
from transposary.theory.keys import pretty_key, slot_of


@dataclass(frozen=True, slots=True)
class ThereView:
    """A device carried over to a place.

    Attributes:
        file: The address of its engraving from the site's root, or an empty string.
        said: Key, meter and feel there, what moved, what has to change, and what clashes.
        command: What writes this version into the book, or an empty string.
    """

    file: str
    said: tuple[str, ...]
    command: str


@dataclass(frozen=True, slots=True)
class FitView:
    """A place where a device fits.

    Attributes:
        where: The bars in their section, linked to the chart.
        bars: The names of the bars for the filter.
        numbers: The same bars through the form, every time round, where they are called otherwise.
        chart: The chords there, bar by bar.
        moves: What a part adds to names there (`part_moves`).
        key: The key in which the device is played there, linked to its engraving.
        tonic: Its tonic on the line of fifths.
        reason: Why it fits.
        score: How well, and what that is made of.
        adapted: What has to change beside what the reason says.
        there: The device carried over, where it is the best place of the song.
    """

    where: Link
    bars: tuple[str, ...]
    numbers: str
    chart: BarsOfChords
    moves: tuple[int, ...]
    key: Link
    tonic: int
    reason: str
    score: str
    adapted: tuple[str, ...]
    there: ThereView | None


@dataclass(frozen=True, slots=True)
class FitGroup:
    """The places in one song, the best first."""

    song: Link
    places: tuple[FitView, ...]


@dataclass(frozen=True, slots=True)
class Offer:
    """A device that fits in a song, with its best place there first.

    Attributes:
        device: Its engraving in the key of the best place.
        tags: Its roles and its level.
        data: By name: the values that a filter compares, parted by spaces.
        places: Where it fits.
    """

    device: Link
    tags: tuple[str, ...]
    data: tuple[tuple[str, str], ...]
    places: tuple[FitView, ...]


def fit_groups(edition: Edition, device: Device) -> tuple[FitGroup, ...]:
    """Groups the places of a device by song, the song with the best place first."""
    found: dict[str, list[Fit]] = {}
    for fit in edition.fitted[device.slug].fits:
        found.setdefault(fit.song, []).append(fit)
    return tuple(
        FitGroup(
            edition.directory.entry(Kind.SONG, slug),
            tuple(_view(edition, edition.glossary.song[slug], device.slug, fit) for fit in fits),
        )
        for slug, fits in found.items()
    )


def offers(edition: Edition, song: Song) -> tuple[Offer, ...]:
    """Lists the devices that fit in a song, the best first."""
    found = []
    for device, fits in edition.offered.get(song.slug, ()):
        found.append((-fits[0].score, device.title.casefold(), device, fits))
    found.sort(key=lambda one: one[:2])
    return tuple(_offer(edition, song, device, fits) for _, _, device, fits in found)


def _offer(edition: Edition, song: Song, device: Device, fits: Sequence[Fit]) -> Offer:
    level = str(device.level or "")
    return Offer(
        edition.directory.entry(Kind.DEVICE, device.slug, slot_of(fits[0].tonic)),
        (*device.roles, *([f"level {level}"] if level else [])),
        (("role", " ".join(device.roles)), ("level", level), ("bar", " ".join(_bar_names(song, fits)))),
        tuple(_view(edition, song, device.slug, fit) for fit in fits),
    )


def bar_name(section: str, within: int) -> str:
    """Names a bar of the chart for the filter."""
    return f"{section_anchor(section)}-{within}"


def _bar_names(song: Song, fits: Sequence[Fit]) -> tuple[str, ...]:
    bars = [bar for fit in fits for run in runs_of_fit(song, fit) for bar in run]
    return tuple(dict.fromkeys(bar_name(bar.section, bar.within) for bar in bars))


def _view(edition: Edition, song: Song, device: str, fit: Fit) -> FitView:
    return edition.fitted[device].once(fit, lambda: _viewed(edition, song, device, fit))


def _viewed(edition: Edition, song: Song, device: str, fit: Fit) -> FitView:
    there = next((one for one in edition.fitted[device].carried if one.fit is fit), None)
    runs = runs_of_fit(song, fit)
    target = f"{source_of_entry(song)}#{section_anchor(fit.section)}"
    slot = slot_of(fit.tonic)
    return FitView(
        where=Link(_where(runs[0]), target),
        bars=_bar_names(song, (fit,)),
        numbers=again_words(
            BarRange(runs[0][0].within, runs[0][-1].within),
            [BarRange(run[0].number, run[-1].number) for run in runs],
        ),
        chart=tuple(tuple(chord_text(one.chord) for one in bar.bar.chords) for bar in runs[0]),
        moves=part_moves(runs[0][0].bar.key, edition.settings.tonics),
        key=Link(f"in {pretty(str(fit.tonic))}", f"{source_of(Kind.DEVICE, device)}#{slot}"),
        tonic=fit.tonic.fifths,
        reason=f"{fit.reason[:1].upper()}{fit.reason[1:]}.",
        score=_score(fit),
        adapted=tuple(one for one in fit.adapted if one not in fit.reason),
        there=None if there is None else _there(edition, device, there, runs[0]),
    )


def _there(edition: Edition, device: str, there: There, run: Sequence[PlayedBar]) -> ThereView:
    if there.key is None:
        return ThereView("", (f"To be worked out by hand: {there.refusal}.",), "")
    song = edition.glossary.song[there.fit.song]
    surroundings = (pretty_key(there.key), str(run[0].bar.meter), feel_words(song.feel))
    said = [f"In {', '.join(surroundings)}."]
    said += [f"Moved: {'; '.join(there.degrees)}."] if there.degrees else []
    said += [f"To change: {'; '.join(there.changes)}."] if there.changes else []
    said += [f"{one}." for one in there.clashes] or ["Nothing clashes."]
    return ThereView(
        later_name(device, there.figure),
        tuple(said),
        f"transposary apply {device} {there.fit.song} {_bars(run)}",
    )


def _bars(run: Sequence[PlayedBar]) -> str:
    """Writes bars as the command takes them: of the section where they stay in it."""
    first, last = run[0], run[-1]
    if (first.section, first.time) != (last.section, last.time) or not first.section.isalnum():
        return _span(first.number, last.number)
    time = f" --time {first.time}" if first.time > 1 else ""
    return f'"{first.section} {_span(first.within, last.within)}"{time}'


def _span(first: int, last: int) -> str:
    return str(first) if first == last else f"{first}-{last}"


def _where(run: Sequence[PlayedBar]) -> str:
    """Says `section A, bars 7–8`, or that the bars run on into another section."""
    first = run[0]
    own = [bar for bar in run if (bar.section, bar.time) == (first.section, first.time)]
    text = bars_words(BarRange(first.within, own[-1].within, first.section))
    return text if len(own) == len(run) else f"{text}, and on into section {run[-1].section}"


def _score(fit: Fit) -> str:
    parts = fit.parts
    shares = f"chords {_percent(parts.chords)}, time {_percent(parts.time)}, notes {_percent(parts.notes)}"
    return f"fits {_percent(fit.score)}: {shares}"


def _percent(share: float) -> str:
    return f"{round(100 * share)}\u00a0%"
