"""What a reader needs to see a chart in another key, or as another instrument reads it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from transposary.passage import Key
from transposary.pitch import pretty
from transposary.song import Song
from transposary.theory.keys import SLOTS, pretty_key, tonic_of
from transposary.theory.parts import moves_of


@dataclass(frozen=True, slots=True)
class MovingView:
    """The keys of a chart.

    Attributes:
        home: Pitch class of the song's tonic.
        tonic: The same on the line of fifths.
        key: The key of the song as the chart has it.
        keys: For each slot its pitch class and its key, in the mode of the song.
        shifts: For each key in which bars of the chart stand, what moving them up by 0 to 11
            semitones adds on the line of fifths.
    """

    home: int
    tonic: int
    key: str
    keys: tuple[tuple[int, str], ...]
    shifts: tuple[tuple[int, ...], ...]


def moving_view(song: Song, tonics: Mapping[str, str]) -> MovingView:
    """Lists the keys in which the chart of a song can be shown.

    Args:
        song: The song.
        tonics: Spellings that override the rule of the tonics.
    """
    home = song.key.tonic.pitch_class
    return MovingView(
        home=home,
        tonic=song.key.tonic.fifths,
        key=pretty_key(song.key),
        keys=tuple((at, _name(song.key, at, tonics)) for at in range(len(SLOTS))),
        shifts=tuple(tuple(move.fifths for move in moves_of(key, tonics)) for key in keys_of_chart(song)),
    )


def keys_of_chart(song: Song) -> tuple[Key, ...]:
    """Lists the keys in which bars of a chart stand, that of the song first."""
    bars = [*(bar for section in song.sections for bar in section.bars), *(one.bar for one in song.played)]
    return tuple(dict.fromkeys([song.key, *(bar.key for bar in bars)]))


def _name(home: Key, pitch_class: int, tonics: Mapping[str, str]) -> str:
    if pitch_class == home.tonic.pitch_class:
        return f"{pretty(str(home.tonic))}, as in the chart"
    return pretty(str(tonic_of(SLOTS[pitch_class], home.mode, tonics)))
