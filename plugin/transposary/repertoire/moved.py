"""A song as a band plays it in another key than that of its chart."""

from __future__ import annotations

from dataclasses import replace

from transposary.passage import Key, Mode
from transposary.pitch import Interval
from transposary.song import ChartBar, Song
from transposary.theory.parts import moves_of
from transposary.theory.transposition import transpose_chord


def key_of_band(song: Song, wanted: Key) -> Key | None:
    """Gives the key in which a band plays a song; None where its mode is another one.

    A tonic alone, which reads as major, takes the mode of the song.
    """
    if wanted.mode not in (Mode.MAJOR, song.key.mode):
        return None
    return Key(wanted.tonic, song.key.mode)


def move_song(song: Song, key: Key) -> Song:
    """Moves the chart of a song to another key, which is spelled as wanted; the mode stays.

    Bars in other keys of the song move as far, into keys that have a signature.
    """
    semitones = (key.tonic.pitch_class - song.key.tonic.pitch_class) % 12
    fifths = key.tonic.fifths - song.key.tonic.fifths
    home = Interval.of(fifths, semitones)

    def moved(bar: ChartBar) -> ChartBar:
        way = home if bar.key == song.key else moves_of(bar.key, {})[semitones]
        chords = tuple(
            one if one.chord is None else replace(one, chord=transpose_chord(one.chord, way))
            for one in bar.chords
        )
        return replace(bar, chords=chords, key=Key(bar.key.tonic.up(way), bar.key.mode))

    return replace(
        song,
        key=Key(key.tonic, song.key.mode),
        sections=tuple(replace(one, bars=tuple(map(moved, one.bars))) for one in song.sections),
        played=tuple(replace(one, bar=moved(one.bar)) for one in song.played),
    )
