"""The one transposition, and its laws."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests import strategies
from tests.theory.build import build
from transposary.notes import notes
from transposary.passage import Chord, Hand, Key, Passage
from transposary.pitch import OCTAVE, Interval, NoteName, Pitch
from transposary.theory.chords import parse_chord
from transposary.theory.degrees import chord_degrees, degree_text, degrees
from transposary.theory.harmony import harmony, harmony_text
from transposary.theory.keys import UNISON
from transposary.theory.transposition import transpose, transpose_chord

FOURTH, FIFTH, MAJOR_THIRD, SEMITONE = Interval(3, 5), Interval(4, 7), Interval(2, 4), Interval(1, 1)


def _pitches(passage: Passage) -> list[str]:
    return [str(note.pitch) for note in notes(passage)]


def test_everything_spelled_moves() -> None:
    """Notes, graces, key, chord roots and basses move by the interval."""
    passage = build("{D#4}E4:2 [C4 G4]:2", chords="0 C7/E; 2 N.C.", key="C")
    moved = transpose(passage, SEMITONE)
    assert _pitches(moved) == ["E4", "F4", "Db4", "Ab4"]
    assert moved.key == Key(NoteName.parse("Db"))
    assert [str(symbol) for symbol in moved.symbols] == ["Db7/F", "N.C."]


def test_hands_can_move_by_octaves_of_their_own() -> None:
    """Octaves are added hand by hand, second voices going with their hand."""
    moved = transpose(build("C5", RH2="C4", LH="C3"), SEMITONE, {Hand.RIGHT: 1, Hand.LEFT: -1})
    assert _pitches(moved) == ["Db6", "Db5", "Db2"]


def test_spelling_follows_the_degree_beyond_double_accidentals() -> None:
    """♭♭7 over a lowered second degree stays a seventh in G♭, with three flats."""
    moved = transpose(build("Cbb5", chords="0 C"), Interval(4, 6))
    assert _pitches(moved) == ["Gbbb5"]


@given(strategies.passages())
def test_the_unison_changes_nothing(passage: Passage) -> None:
    """T0 is the identity."""
    assert transpose(passage, UNISON) == passage


@given(strategies.passages(), strategies.intervals(), strategies.intervals())
def test_transpositions_add_up(passage: Passage, one: Interval, other: Interval) -> None:
    """One interval after another is their sum, spelled."""
    assert transpose(transpose(passage, one), other) == transpose(passage, one + other)


@given(strategies.passages(), strategies.intervals())
def test_a_transposition_can_be_taken_back(passage: Passage, interval: Interval) -> None:
    """An interval and its opposite restore the passage."""
    assert transpose(transpose(passage, interval), -interval) == passage


@given(strategies.pitches(), strategies.pitches(), strategies.intervals())
def test_intervals_between_notes_stay(low: Pitch, high: Pitch, interval: Interval) -> None:
    """Transposing keeps every interval, spelled."""
    assert low.up(interval).to(high.up(interval)) == low.to(high)


@given(strategies.passages(), strategies.intervals())
def test_what_is_counted_stays(passage: Passage, interval: Interval) -> None:
    """Degrees over key and chord, and numerals, are the same in every key."""
    moved = transpose(passage, interval)
    assert degrees(moved) == degrees(passage)
    assert chord_degrees(moved) == chord_degrees(passage)
    assert [numeral for _, numeral in harmony(moved)] == [numeral for _, numeral in harmony(passage)]
    assert harmony_text(moved) == harmony_text(passage)
    for voice in passage.voices:
        assert degree_text(moved, voice.name) == degree_text(passage, voice.name)


@given(strategies.passages(), strategies.intervals())
def test_rhythm_and_contour_stay(passage: Passage, interval: Interval) -> None:
    """Onsets, lengths and ties stay, and every note moves by the same semitones."""
    moved = transpose(passage, interval)
    for before, after in zip(notes(passage), notes(moved), strict=True):
        assert after.pitch.midi - before.pitch.midi == interval.semitones
        assert (after.onset, after.duration, after.tie, after.voice) == (
            *(before.onset, before.duration, before.tie, before.voice),
        )


@given(strategies.keys(), strategies.intervals())
def test_signatures_add_on_the_line_of_fifths(key: Key, interval: Interval) -> None:
    """A key moved by an interval gains the interval's fifths in its signature."""
    passage = build("C4", key=str(key))
    assert transpose(passage, interval).key.signature == key.signature + interval.fifths


@given(strategies.chords(), st.sampled_from([FOURTH, FIFTH, SEMITONE, -MAJOR_THIRD]))
def test_a_chord_can_be_read_before_or_after_moving(chord: Chord, interval: Interval) -> None:
    """Reading the moved symbol gives the moved chord."""
    moved = transpose_chord(chord, interval)
    if all(abs(name.alter) <= 2 for name in (moved.root, moved.bass) if name is not None):
        assert parse_chord(str(moved)) == moved


@pytest.mark.parametrize(
    ("parts", "whole"),
    [
        ((FOURTH, FIFTH), OCTAVE),
        ((MAJOR_THIRD,) * 3, Interval(6, 12)),
        ((SEMITONE,) * 12, Interval(12, 12)),
    ],
)
def test_spelled_intervals_add_as_they_are_spelled(parts: tuple[Interval, ...], whole: Interval) -> None:
    """A fourth and a fifth make an octave; three major thirds make an augmented seventh, not one."""
    total = UNISON
    for part in parts:
        total += part
    assert total == whole
    assert str(Interval(6, 12)) == "A7"


def test_times_do_not_move() -> None:
    """Symbols and keys stay where they are."""
    moved = transpose(build("C4:4 C4:4", chords="0 C; 4 F"), FIFTH)
    assert [symbol.onset for symbol in moved.symbols] == [Fraction(0), Fraction(4)]
