"""Degrees over the key and over the chord."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given

from tests import strategies
from tests.theory.build import build
from transposary.notes import notes
from transposary.passage import Chord, Key, Passage
from transposary.pitch import NoteName
from transposary.problems import Fault
from transposary.theory.chords import parse_chord
from transposary.theory.counting import read_groups
from transposary.theory.degrees import chord_degrees, degree_over, degree_text, degrees


def _over(symbol: str, names: str) -> str:
    chord = parse_chord(symbol)
    assert isinstance(chord, Chord)
    return " ".join(str(degree_over(chord, NoteName.parse(name))) for name in names.split())


def _from_chords(passage: Passage) -> list[str]:
    return [str(degree) for degree in chord_degrees(passage)]


def test_notes_are_counted_from_the_tonics_major_scale() -> None:
    """In minor too: the third of A minor is b3."""
    passage = build("A3 B3 C4 C#4 D4 F4 G4 G#4", key="A minor")
    assert [str(degree) for degree in degrees(passage)] == ["1", "2", "b3", "3", "4", "b6", "b7", "7"]


def test_a_change_of_key_changes_the_tonic() -> None:
    """Notes are counted from the key in force."""
    passage = build("C4:4 C4:4")
    passage = replace(passage, keys=(*passage.keys, (Fraction(4), Key(NoteName.parse("Ab")))))
    assert [str(degree) for degree in degrees(passage)] == ["1", "3"]


@pytest.mark.parametrize(
    ("symbol", "names", "expected"),
    [
        ("C", "C E G D F A B Eb F#", "1 3 5 2 4 6 7 b3 #4"),
        ("C6", "A D F Bb", "6 2 4 b7"),
        ("C7", "D F A Db D# F# Ab G# Gb", "9 11 13 b9 #9 #11 b13 #5 b5"),
        ("Dm7", "E G B C F Bb", "9 11 13 b7 b3 b13"),
        ("Cmaj7", "D F# A B", "9 #11 13 7"),
        ("C9", "D F A", "9 11 13"),
        ("Cadd9", "D F A", "9 11 13"),
        ("Csus4", "F D A", "4 2 6"),
        ("C7sus4", "F D A E", "4 9 13 3"),
        ("Csus2", "D F", "2 4"),
        ("C69", "A D", "6 9"),
        ("Cdim7", "Bbb A D F", "bb7 6 9 11"),
        ("C7b5", "Gb F# F", "b5 #4 11"),
        ("C7#9", "D# Eb", "#9 b3"),
        ("C13", "A D F", "13 9 11"),
        ("C11", "F E", "11 3"),
        ("G7/B", "B F E", "3 b7 13"),
    ],
)
def test_degrees_over_a_chord_are_called_as_the_trade_calls_them(
    symbol: str, names: str, expected: str
) -> None:
    """9 11 13 over chords with a seventh or a tension, 2 4 6 over triads, members by their own number."""
    assert _over(symbol, names) == expected


def test_notes_are_counted_from_the_chord_of_the_moment() -> None:
    """The root changes with the symbol; N.C. gives none."""
    passage = build("E4 A4 E4 A4", chords="0 C; 1 F; 2 A7; 3 N.C.")
    assert _from_chords(passage) == ["3", "3", "5", "None"]


def test_notes_before_the_first_symbol_belong_to_it() -> None:
    """A pickup is counted from the chord that it leads to."""
    assert _from_chords(build("G3 | C4", chords="0 C")) == ["5", "1"]


def test_without_symbols_there_are_no_chord_degrees() -> None:
    """Nothing is guessed."""
    assert chord_degrees(build("C4 E4")) == (None, None)


def test_an_anticipation_is_counted_from_the_coming_chord() -> None:
    """Struck an eighth early and held over, with the grace note before it, in all its tied parts."""
    passage = build("C4:7/2 {B4}A4~:1/2 A4:1 A4:3", chords="0 C; 4 F")
    assert _from_chords(passage) == ["1", "#4", "3", "3", "3"]


def test_a_note_held_longer_stays_with_its_own_chord() -> None:
    """A note struck more than an eighth early is no anticipation; its tied part has the new chord."""
    assert _from_chords(build("C4:2 A4~:2 A4:4", chords="0 C; 4 F")) == ["1", "6", "3"]


@pytest.mark.parametrize(
    ("right", "text"),
    [
        ("C4 D4 Eb4 F4 G4:4", "1 2 b3 4 | 5"),
        ("[C4 E4 G4]:2 {Eb4}E4:2", "(1 3 5) {b3} 3"),
        ("{D4}{Eb4}E4:4", "{2 b3} 3"),
        ("{D4 F4}E4:4", "{(2 4)} 3"),
        ("C4~:4 C4:2 D4:2", "1 | 2"),
        ("C4:4 r:4 D4:4", "1 | | 2"),
        ("r:4 D4:4", "2"),
        ("G3 | C4:4", "5 | 1"),
    ],
)
def test_degrees_are_written_as_a_claim(right: str, text: str) -> None:
    """Notes once, at their attack; together in parentheses; graces in braces; bars marked."""
    assert degree_text(build(right), "RH") == text


def test_a_voice_is_written_alone() -> None:
    """Each voice has its own text; one that does not play has none."""
    passage = build("E4", RH2="C4", LH="G2")
    assert [degree_text(passage, voice) for voice in ("RH", "RH2", "LH", "LH2")] == ["3", "1", "5", ""]


@given(strategies.passages())
def test_every_note_has_a_degree_that_gives_it_back(passage: Passage) -> None:
    """Degree and tonic, or root, make the note's name again; the text reads as a claim."""
    over_key, over_chord = degrees(passage), chord_degrees(passage)
    for note in notes(passage):
        assert over_key[note.index].above(passage.key.tonic) == note.pitch.name
        found = over_chord[note.index]
        roots = [symbol.chord.root for symbol in passage.symbols if symbol.chord is not None]
        assert found is None or note.pitch.name in [found.above(root) for root in roots]
    for voice in passage.voices:
        text = degree_text(passage, voice.name)
        assert text == "" or not isinstance(read_groups(text), Fault)
