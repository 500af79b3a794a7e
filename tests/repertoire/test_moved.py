"""Songs that a band plays in another key than that of the chart."""

from __future__ import annotations

import pytest

from tests.demo import GLOSSARY
from tests.repertoire.songs import key_of, make_song
from transposary.passage import Key, Mode
from transposary.pitch import NoteName
from transposary.repertoire.moved import key_of_band, move_song
from transposary.song import Song

SONGS = GLOSSARY.songs


def _chords(song: Song) -> list[str]:
    return [str(one) for bar in song.played for one in bar.bar.chords]


def test_the_chords_move_with_the_key() -> None:
    """Roots and basses move as far as the key, and are spelled as it is; N.C. stays."""
    song = make_song("D", "| D7 | G/B | N.C. | F#m7b5 |")
    assert _chords(move_song(song, key_of("F"))) == ["F7", "Bb/D", "N.C.", "Am7b5"]
    assert _chords(move_song(song, key_of("Gb"))) == ["Gb7", "Cb/Eb", "N.C.", "Bbm7b5"]
    assert _chords(move_song(song, key_of("F#"))) == ["F#7", "B/D#", "N.C.", "A#m7b5"]


@pytest.mark.parametrize("song", SONGS, ids=lambda song: song.slug)
def test_there_and_back(song: Song) -> None:
    """A song of the demo that is moved and moved back has the chart that it had."""
    for name in ("C", "Eb", "A"):
        away = move_song(song, Key(NoteName.parse(name), song.key.mode))
        back = move_song(away, song.key)
        assert [bar.bar.key.tonic.pitch_class for bar in back.played] == [
            bar.bar.key.tonic.pitch_class for bar in song.played
        ]
        if len({bar.bar.key for bar in song.played}) == 1:
            assert back == song


@pytest.mark.parametrize(
    ("chart", "wanted", "found"),
    [
        ("D", Key(NoteName.parse("F")), Key(NoteName.parse("F"))),
        ("D minor", Key(NoteName.parse("F")), Key(NoteName.parse("F"), Mode.MINOR)),
        ("D minor", Key(NoteName.parse("F"), Mode.MINOR), Key(NoteName.parse("F"), Mode.MINOR)),
        ("D", Key(NoteName.parse("F"), Mode.MINOR), None),
    ],
)
def test_a_tonic_takes_the_mode_of_the_song(chart: str, wanted: Key, found: Key | None) -> None:
    """Who says only F means F minor of a minor song; another mode would be another song."""
    assert key_of_band(make_song(chart, "| D |"), wanted) == found
