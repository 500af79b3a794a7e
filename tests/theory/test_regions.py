"""Numerals of songs: applied chords, tonicised regions, minor keys, the blues.

Common practice, no source.
"""

import pytest

from transposary.passage import Chord, Key
from transposary.theory.chords import is_no_chord, parse_chord
from transposary.theory.keys import parse_key
from transposary.theory.regions import song_harmony

SONGS = [
    ("diatonic", "C", "Cmaj7 Am7 Dm7 G7 Cmaj7", "Imaj7 vi7 ii7 V7 Imaj7"),
    ("ii–V to IV", "C", "C Gm7 C7 F G7 C", "I ii7/IV V7/IV IV V7 I"),
    ("the dominant of the dominant", "C", "C D7 G7 C", "I V7/V V7 I"),
    ("the dominant of ii, its ii in the key", "C", "C Em7 A7 Dm7 G7 C", "I iii7 V7/ii ii7 V7 I"),
    ("the dominant of ii with its own ii", "C", "C Em7b5 A7 Dm7 G7 C", "I iiø7/ii V7/ii ii7 V7 I"),
    ("the dominant of vi", "C", "C E7 Am F", "I V7/vi vi IV"),
    ("a chain of dominants", "C", "C E7 A7 D7 G7 C", "I V7/VI V7/II V7/V V7 I"),
    ("I7 to IV outside the blues", "G", "G Bm7 G7 C Cm6 G", "I iii7 V7/IV IV iv6 I"),
    ("a blues", "F", "F7 Bb7 F7 C7 Bb7 F7", "I7 IV7 I7 V7 IV7 I7"),
    ("a blues with its turnaround", "F", "F7 Bb7 F7 D7 Gm7 C7 F7", "I7 IV7 I7 V7/ii ii7 V7 I7"),
    ("the back door", "C", "C Fm7 Bb7 C", "I iv7 bVII7 I"),
    ("a tritone substitute before the tonic", "C", "Dm7 Db7 C", "ii7 bII7 I"),
    ("minor with both sevenths", "A minor", "Am G F E7 Am Bm7b5 E7", "i bVII bVI V7 i iiø7 V7"),
    ("minor: the relative major tonicised", "A minor", "Am Dm7 G7 C", "i iv7 bVII7 bIII"),
    ("minor: to the subdominant", "A minor", "Am A7 Dm E7", "i V7/iv iv V7"),
    ("a ii–V whose goal does not come", "C", "C Gm7 C7 Am7", "I ii7/IV V7/IV vi7"),
    ("a lone dominant that goes elsewhere", "C", "C E7 F", "I III7 IV"),
    ("no chord cuts the thread", "C", "D7 N.C. G7", "II7 N.C. V7"),
    ("repeated chords go together", "C", "C D9 D7 G7", "I V9/V V7/V V7"),
    ("a bass under an applied chord", "C", "C D7/F# G", "I V7/V/#4 V"),
    ("dorian vamp", "D dorian", "Dm7 G7 Dm7 G7", "i7 IV7 i7 IV7"),
    ("mixolydian", "G mixolydian", "G F C G", "I bVII IV I"),
]


def _chord(word: str) -> Chord | None:
    if is_no_chord(word):
        return None
    found = parse_chord(word)
    assert isinstance(found, Chord), found
    return found


@pytest.mark.parametrize(("name", "key", "chords", "numerals"), SONGS, ids=[song[0] for song in SONGS])
def test_numerals_of_a_song(name: str, key: str, chords: str, numerals: str) -> None:
    """The chords of a song are counted as a player would call them."""
    tonic = parse_key(key)
    assert isinstance(tonic, Key)
    found = song_harmony([(_chord(word), tonic) for word in chords.split()])
    assert " ".join("N.C." if one is None else str(one.numeral) for one in found) == numerals, name


def test_the_goal_belongs_to_the_region() -> None:
    """A tonicised region is its ii, its V and the chord they lead to."""
    key = parse_key("C")
    assert isinstance(key, Key)
    found = song_harmony([(_chord(word), key) for word in ["C", "Gm7", "C7", "F", "G7"]])
    assert [str(one.local) for one in found if one is not None] == [
        "None",
        "F major",
        "F major",
        "F major",
        "None",
    ]
