"""The matcher against human analyses of chorales, read from music21's package at test time.

Twenty chorales of the Riemenschneider edition, analysed by D. Tymoczko, A. Jones and others,
proofread by H. Robb. The numerals are realised and only the chords and the analysts' local keys
are given to the matcher, which has to find the analysts' progressions in the same measures. A
degree that is repeated in one key counts once.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import groupby

import pytest

from tests.outside.chorales import Label, labels
from tests.repertoire.songs import moved
from transposary.glossary import Frame
from transposary.passage import Key, Meter, Mode
from transposary.pitch import NoteName
from transposary.problems import Place
from transposary.repertoire.index import Index, index_of
from transposary.repertoire.matching import matches
from transposary.repertoire.patterns import Pattern, Step
from transposary.repertoire.performance import perform
from transposary.song import ChartBar, ChartChord, PlayedBar, Song
from transposary.theory.numerals import Numeral, parse_numeral

METER = Meter(1, 4)

# What the analysts write, what is looked for, and how often they write it at least. In minor keys
# they write ii–V–I where the last chord has a Picardy third.
TRIGRAMS = [
    ("ii V I", "ii7 V7 Imaj7 or iiø7 V7 I in minor", 32),
    ("ii V i", "iiø7 V7 i in minor", 9),
    ("IV V I", "IVmaj7 V7 Imaj7", 25),
    ("I IV V", "Imaj7 IVmaj7 V7", 17),
    ("vi ii V", "vi7 ii7 V7", 5),
    ("I V vi", "Imaj7 V7 vi7", 10),
    ("V vi IV", "V7 vi7 IVmaj7", 3),
    ("iv V i", "iv7 V7 i in minor", 7),
]


def _rows() -> list[list[Label]]:
    """The labels of each chorale, a degree repeated in one key only once."""
    rows = []
    for _, group in groupby(labels(), key=lambda label: label.chorale):
        row: list[Label] = []
        for label in group:
            if not row or _name(label) != _name(row[-1]):
                row.append(label)
        rows.append(row)
    return rows


def _name(label: Label) -> tuple[Key, str, bool]:
    return (label.key, label.roman, label.applied)


def _song(row: list[Label]) -> Song:
    """A song with a bar for each label, numbered in their order."""
    bars = [ChartBar((ChartChord(Fraction(1), Fraction(1), label.chord),), METER, label.key) for label in row]
    played = tuple(PlayedBar(number, "A", 1, number, bar) for number, bar in enumerate(bars, 1))
    slug = f"chorale-{row[0].chorale}"
    return Song(slug, slug, row[0].key, METER, Place(""), (), (), played)


ROWS = _rows()
SONGS = [_song(row) for row in ROWS]
REPERTOIRE = index_of([perform(song) for song in SONGS])


def _pattern(text: str) -> Pattern:
    row, _, mode = text.partition(" in ")
    numerals = [parse_numeral(word) for word in row.split()]
    steps = tuple(Step(one, Fraction(1)) for one in numerals if isinstance(one, Numeral))
    return Pattern(
        Frame.KEY, minor=mode == "minor", steps=steps, offset=Fraction(0), beat=Fraction(1), meter=METER
    )


def _hits(repertoire: Index, wanted: str) -> set[tuple[str, int]]:
    return {
        (match.performance.song.slug, match.performance.bar_at(match.start).number)
        for text in wanted.split(" or ")
        for match in matches(repertoire, _pattern(text))
    }


def _written(trigram: str) -> set[tuple[str, int]]:
    """Where the analysts write it: the chorale and the place of its first label."""
    romans = trigram.split()
    return {
        (f"chorale-{row[0].chorale}", at + 1)
        for row in ROWS
        for at in range(len(row) - 2)
        for three in [row[at : at + 3]]
        if [one.roman for one in three] == romans
        and len({one.key for one in three}) == 1
        and not any(one.applied for one in three)
    }


@pytest.mark.parametrize(("trigram", "wanted", "least"), TRIGRAMS)
def test_the_progressions_of_the_analysts_are_found(trigram: str, wanted: str, least: int) -> None:
    """The matcher finds what the analysts write, in the same places, at least as often as counted."""
    written = _written(trigram)
    assert len(written) >= least
    assert written - _hits(REPERTOIRE, wanted) == set()


@pytest.mark.parametrize("semitones", range(1, 12))
def test_hits_do_not_depend_on_the_key(semitones: int) -> None:
    """A chorale moved to another key has the same hits in the same bars."""
    repertoire = index_of([perform(moved(song, semitones)) for song in SONGS])
    for _, wanted, _ in TRIGRAMS:
        assert _hits(repertoire, wanted) == _hits(REPERTOIRE, wanted)


def test_one_chord_makes_no_progression() -> None:
    """A chorale whose chords are all one has no hits."""
    key = Key(NoteName(0), Mode.MAJOR)
    song = SONGS[0]
    chord = song.played[0].bar.chords[0]
    bars = tuple(replace(one, bar=replace(one.bar, chords=(chord,), key=key)) for one in song.played)
    repertoire = index_of([perform(replace(song, played=bars))])
    assert [_hits(repertoire, wanted) for _, wanted, _ in TRIGRAMS] == [set()] * len(TRIGRAMS)
