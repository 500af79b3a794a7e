"""Songs for tests, of one section, written in a line."""

from dataclasses import replace

from transposary.passage import STRAIGHT, Feel, Key, Meter
from transposary.pitch import Interval
from transposary.problems import Place, SourceText
from transposary.reading.chart import read_chart
from transposary.reading.form import play
from transposary.song import ChartBar, Section, Song
from transposary.theory.keys import parse_key
from transposary.theory.transposition import transpose_chord


def key_of(text: str) -> Key:
    """Reads a key that is known to be right."""
    key = parse_key(text)
    assert isinstance(key, Key), key
    return key


def make_song(key: str, chart: str, meter: str = "4/4", feel: Feel = STRAIGHT) -> Song:
    """Makes a song of its chart, played once."""
    count, unit = meter.split("/")
    time, tonality = Meter(int(count), int(unit)), key_of(key)
    bars, problems = read_chart(SourceText(chart, Place("songs/tune.md")), time, tonality)
    assert problems == ()
    sections = (Section("A", bars),)
    form, _ = play(sections, (), None)
    place = Place("songs/tune.md")
    return Song("tune", "Tune", tonality, time, place, sections, form.names, form.played, feel=feel)


def moved(song: Song, semitones: int) -> Song:
    """Moves the chart of a song up, spelled as near to its own key as can be."""
    interval = Interval((7 * semitones - (semitones * 7 + 5) % 12 + 5) // 12, semitones)
    return replace(
        song,
        key=_key(song.key, interval),
        played=tuple(replace(one, bar=_bar(one.bar, interval)) for one in song.played),
    )


def _key(key: Key, interval: Interval) -> Key:
    return Key(key.tonic.up(interval), key.mode)


def _bar(bar: ChartBar, interval: Interval) -> ChartBar:
    chords = tuple(
        one if one.chord is None else replace(one, chord=transpose_chord(one.chord, interval))
        for one in bar.chords
    )
    return replace(bar, chords=chords, key=_key(bar.key, interval))
