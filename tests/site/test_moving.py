"""What a page says for moving its chart."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from tests.repertoire.songs import key_of, make_song
from tests.site.small import song
from tests.theory.build import chord
from transposary.passage import Meter
from transposary.pitch import NoteName
from transposary.site.pages.charts import section_views
from transposary.site.pages.moving import moving_view
from transposary.song import ChartBar, ChartChord, Section


def test_the_keys_are_those_of_the_songs_mode() -> None:
    """A minor song is offered in C sharp minor, and its own key is marked."""
    view = moving_view(make_song("E minor", "| Em |"), {})
    assert view.keys[1] == (1, "C♯")
    assert view.keys[4] == (4, "E, as in the chart")
    assert (view.home, view.tonic, view.key) == (4, 4, "E minor")


def test_each_chord_says_where_it_lies_on_the_line_of_fifths() -> None:
    """Root and bass are told apart; where there is no chord, there is nothing to move."""
    (view,) = section_views(make_song("F", "| Bbm7/Db | N.C. |"))
    assert [(one.root, one.bass) for bar in view.bars for one in bar.chords] == [(-2, -5), (None, None)]


def test_bars_in_another_key_have_shifts_of_their_own() -> None:
    """A bridge that would need nine sharps is written in flats, though the song stays in sharps."""
    bars = tuple(
        ChartBar((ChartChord(Fraction(1), Fraction(4), chord(name)),), Meter(4, 4), key_of(name))
        for name in ("D", "F#")
    )
    tune = replace(song("tune"), sections=(Section("A", bars),), played=())
    assert [bar.key for bar in section_views(tune)[0].bars] == [0, 1]
    own, bridge = moving_view(tune, {}).shifts
    assert [str(NoteName(key + row[9])) for key, row in ((2, own), (6, bridge))] == ["B", "Eb"]
