"""Bars of a section wherever the form plays them."""

from __future__ import annotations

from collections.abc import Container

from transposary.glossary import BarRange
from transposary.song import PlayedBar, Song

Run = tuple[PlayedBar, ...]


def runs_of(song: Song, bars: BarRange) -> tuple[Run, ...]:
    """Gives the bars that an author names, a run for each time they come round.

    Bars that the song does not have make no run.
    """
    if bars.section is None:
        found = tuple(bar for bar in song.played if bars.first <= bar.number <= bars.last)
        return (found,) if found else ()
    return section_runs(song, bars.section, bars.first, bars.last)


def has_bars(song: Song, bars: BarRange) -> bool:
    """Whether a song, or the section named, has the bars to the last; none runs on into another section."""
    if bars.section is None:
        return {bars.first, bars.last} <= {bar.number for bar in song.played}
    return any(
        one.name == bars.section and 1 <= bars.first <= bars.last <= len(one.bars) for one in song.sections
    )


def section_runs(
    song: Song, section: str, first: int, last: int, times: Container[int] | None = None
) -> tuple[Run, ...]:
    """Gives bars that begin in a section, a run for each time they come round.

    Args:
        song: The song.
        section: Name of the section.
        first: First bar within it.
        last: Last bar; the bars that follow the section are counted on.
        times: Which times round the section, or None for all.
    """
    return tuple(
        song.played[at : at + last - first + 1]
        for at, bar in enumerate(song.played)
        if bar.section == section and bar.within == first and (times is None or bar.time in times)
    )
