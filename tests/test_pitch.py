"""Spelled pitches, names, degrees and intervals."""

import pytest

from transposary.pitch import OCTAVE, Degree, Interval, NoteName, Pitch, pretty


@pytest.mark.parametrize(
    ("text", "fifths", "pitch_class"),
    [("C", 0, 0), ("F", -1, 5), ("Bb", -2, 10), ("F#", 6, 6), ("Gb", -6, 6), ("Fb", -8, 4), ("B##", 19, 1)],
)
def test_note_name_reads_and_prints(text: str, fifths: int, pitch_class: int) -> None:
    """A note name is its place on the line of fifths and prints as it was written."""
    name = NoteName.parse(text)
    assert (name.fifths, name.pitch_class, str(name)) == (fifths, pitch_class, text)


def test_note_name_reads_printed_accidentals() -> None:
    """♭, ♯ and x serve as well as b and #."""
    assert [str(NoteName.parse(text)) for text in ("B♭", "F♯", "Fx", "E♭♭")] == ["Bb", "F#", "F##", "Ebb"]


@pytest.mark.parametrize("text", ["", "H", "c", "Cb#", "C4", "Cbbb"])
def test_note_name_refuses_other_texts(text: str) -> None:
    """What is no note name raises with the text."""
    with pytest.raises(ValueError, match="not a note name"):
        NoteName.parse(text)


@pytest.mark.parametrize(
    ("text", "midi"),
    [("C4", 60), ("A4", 69), ("A0", 21), ("C8", 108), ("B#3", 60), ("Cb4", 59), ("Bb2", 46)],
)
def test_pitch_gives_midi_numbers(text: str, midi: int) -> None:
    """Middle C (C4) is 60 and A4 is 69, as in MIDI 1.0; the octave belongs to the letter."""
    assert (Pitch.parse(text).midi, str(Pitch.parse(text))) == (midi, text)


@pytest.mark.parametrize(
    ("low", "high", "name"),
    [
        ("C4", "C4", "P1"),
        ("C4", "E4", "M3"),
        ("C4", "Eb4", "m3"),
        ("F4", "B4", "A4"),
        ("B3", "F4", "d5"),
        ("C4", "D5", "M9"),
        ("C4", "B3", "-m2"),
        ("C4", "Cb4", "-A1"),
        ("C4", "C5", "P8"),
        ("B3", "Ab4", "d7"),
    ],
)
def test_interval_is_named_as_musicians_do(low: str, high: str, name: str) -> None:
    """Quality and number follow the letters, a falling interval has a minus sign."""
    interval = Pitch.parse(low).to(Pitch.parse(high))
    assert str(interval) == name
    assert Pitch.parse(low).up(interval) == Pitch.parse(high)


def test_intervals_add() -> None:
    """A fourth and a fifth make an octave, three major thirds an augmented seventh."""
    third = Interval(2, 4)
    assert Interval(3, 5) + Interval(4, 7) == OCTAVE
    assert str(third + third + third) == "A7"


@pytest.mark.parametrize(
    ("tonic", "name", "degree"),
    [
        ("G", "Bb", "b3"),
        ("C", "A#", "#6"),
        ("Gb", "Fb", "b7"),
        ("E", "D", "b7"),
        ("C", "Bbb", "bb7"),
        ("C", "F#", "#4"),
    ],
)
def test_degree_is_counted_from_the_major_scale(tonic: str, name: str, degree: str) -> None:
    """A degree keeps the letter, so that A# over C is the raised sixth and no flat seventh."""
    found = Degree.between(NoteName.parse(tonic), NoteName.parse(name))
    assert (str(found), found) == (degree, Degree.parse(degree))
    assert found.above(NoteName.parse(tonic)) == NoteName.parse(name)


def test_degree_beyond_the_octave() -> None:
    """A flat thirteenth is twenty semitones above the root and a flat sixth within the octave."""
    thirteenth = Degree.parse("♭13")
    assert (thirteenth.semitones, str(thirteenth.simple)) == (20, "b6")
    assert str(thirteenth.above(NoteName.parse("G"))) == "Eb"


def test_pretty_prints_accidentals() -> None:
    """Readers see ♭ and ♯."""
    assert pretty("bb7 #4 Bb") == "♭♭7 ♯4 B♭"
