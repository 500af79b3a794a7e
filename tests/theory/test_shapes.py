"""Names of chords struck and how they are spaced; the names are common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.theory.build import chord
from transposary.passage import Chord
from transposary.pitch import Interval, Pitch
from transposary.problems import Fault
from transposary.theory.chords import parse_chord
from transposary.theory.qualities import Quality, all_qualities
from transposary.theory.shape_words import ShapeWords, read_shape
from transposary.theory.shapes import name_chord, spacings


def _pitches(text: str) -> list[Pitch]:
    return [Pitch.parse(note) for note in text.split()]


def _names(text: str, symbol: str | None = None) -> list[str]:
    found = name_chord(_pitches(text), None if symbol is None else chord(symbol))
    return [f"{shape.root} {shape}" for shape in found]


@pytest.mark.parametrize(
    ("notes", "name"),
    [
        ("C4 E4 G4", "C major triad root position"),
        ("E4 G4 C5", "C major triad 1st inversion"),
        ("G3 C4 E4 G4", "C major triad 2nd inversion"),
        ("A3 C4 E4", "A minor triad root position"),
        ("B3 D4 F4", "B diminished triad root position"),
        ("E4 G#4 C5", "C augmented triad 1st inversion"),
        ("G3 C4 D4", "G sus4 triad root position"),
        ("C2 G2 C3", "C open fifth root position"),
        ("C4 E4 G4 A4", "C major 6th root position"),
        ("A3 C4 E4 G4", "A minor 7th root position"),
        ("C4 D4 F4 A4", "D minor 7th 3rd inversion"),
        ("F4 Ab4 C5 D5", "F minor 6th root position"),
        ("D4 F4 Ab4 C5", "D half-diminished 7th root position"),
        ("D4 F4 Ab4 B4", "B diminished 7th 1st inversion"),
        ("C4 Eb4 G4 B4", "C minor-major 7th root position"),
        ("F4 G4 B4 D5", "G dominant 7th 3rd inversion"),
        ("G2 F3 B3 E4", "G dominant 13th root position"),
        ("G2 B3 F4 Ab4", "G dominant 7th b9 root position"),
        ("C3 E3 Bb3 D#4", "C dominant 7th #9 root position"),
        ("C3 E4 B4 F#5", "C major 7th b5 root position"),
        ("C4 E4 G4 D5", "C major add9 root position"),
        ("C3 E3 A3 D4", "C major 6/9 root position"),
        ("D3 C4 F4 G4", "D minor 11th root position"),
    ],
)
def test_chords_are_named_by_their_likeliest_root(notes: str, name: str) -> None:
    """The bass is preferred as root, a seventh to a sixth, a spelling in thirds to another one."""
    assert _names(notes)[0] == name


@pytest.mark.parametrize(
    ("notes", "symbol", "name"),
    [
        ("F3 A3 C4 E4", "Dm7", "D minor 9th rootless"),
        ("F3 A3 B3 E4", "G7", "G dominant 13th rootless"),
        ("B3 F4", "G7", "G dominant 7th rootless"),
        ("D3 C4", "Dm7", "D minor 7th root position"),
        ("Bb3 D4 G4", "C9", "C dominant 9th rootless"),
        ("G3 C4 E4", "C/G", "C major triad 2nd inversion"),
        ("A3 C4 E4 G4", "C6", "C major 6th 3rd inversion"),
        ("G3 C4 D4 F4", "G7sus4", "G dominant 7th sus4 root position"),
        ("D4 F4 A4", "C", "D minor triad root position"),
    ],
)
def test_a_symbol_names_its_own_root_first(notes: str, symbol: str, name: str) -> None:
    """A chord symbol tells of a silent root, and gives the third to a root with its seventh."""
    assert _names(notes, symbol)[0] == name


def test_other_names_follow() -> None:
    """Every root that makes a name is a candidate, the likelier ones first."""
    assert _names("C4 E4 G4 A4") == ["C major 6th root position", "A minor 7th 1st inversion"]
    assert _names("C4 C#4 D4") == []
    assert _names("C4 E4") == []


def test_a_shell_is_root_third_and_seventh() -> None:
    """Root, third and seventh, or two of them, are a shell; a fifth is none."""
    found = [name_chord(_pitches(notes), chord("G7"))[0].shell for notes in ("G3 B3 F4", "B3 F4", "G3 D4 F4")]
    assert found == [True, True, False]


@pytest.mark.parametrize(
    ("notes", "words"),
    [
        ("C4 E4 G4 C5", ("close",)),
        ("F3 A3 C4 E4", ("close",)),
        ("C3 G3 E4 D5", ("spread", "open")),
        ("C4 A4 E5", ("spread", "open")),
        ("D3 G3 C4 F4 A4", ("quartal", "open")),
        ("C4 F4 B4", ("quartal", "close")),
        ("G4 C5 E5", ("close",)),
        ("C4 Db4", ("close",)),
    ],
)
def test_spacings(notes: str, words: tuple[str, ...]) -> None:
    """A chord may be spaced in several words, the most telling one first."""
    assert spacings(_pitches(notes)) == words


@pytest.mark.parametrize(
    ("close", "dropped", "word"),
    [
        ("C4 E4 G4 B4", "G3 C4 E4 B4", "drop-2"),
        ("E4 G4 B4 C5", "B3 E4 G4 C5", "drop-2"),
        ("C4 E4 G4 B4", "E3 C4 G4 B4", "drop-3"),
    ],
)
def test_a_dropped_voice_is_lowered_by_an_octave(close: str, dropped: str, word: str) -> None:
    """Drop-2 lowers the second voice from the top by an octave, drop-3 the third (common practice)."""
    voices = _pitches(close)
    place = -int(word[-1])
    voices[place] = voices[place].up(Interval(-7, -12))
    assert sorted(voice.midi for voice in voices) == [pitch.midi for pitch in _pitches(dropped)]
    assert word in spacings(_pitches(dropped))
    assert word not in spacings(_pitches(close))


@given(st.sampled_from(all_qualities()), st.integers(-6, 6), st.data())
def test_names_travel_with_the_notes(quality: Quality, fifths: int, data: st.DataObject) -> None:
    """Any quality, in any inversion and key, is among the names of its own notes."""
    root = Pitch.parse("C3")
    tones = [root.up(Interval(tone.number - 1, tone.semitones)) for tone in quality.tones]
    bass = data.draw(st.sampled_from(tones))
    low = bass.up(Interval(-14, -24))
    home = name_chord([low, *tones])
    assert quality.name in [shape.quality for shape in home]
    away = Interval(4 * fifths % 7, 7 * fifths % 12)
    moved = name_chord([pitch.up(away) for pitch in (low, *tones)])
    assert [(shape.root, str(shape)) for shape in moved] == [
        (shape.root.up(away), str(shape)) for shape in home
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("minor 7th 3rd inversion", ShapeWords("minor 7th", "3rd inversion", "")),
        ("Minor Seventh third inversion close", ShapeWords("minor 7th", "3rd inversion", "close")),
        ("m7", ShapeWords("minor 7th", "", "")),
        ("M7 drop 2", ShapeWords("major 7th", "", "drop-2")),
        ("m7b5", ShapeWords("half-diminished 7th", "", "")),
        ("half diminished", ShapeWords("half-diminished 7th", "", "")),
        ("9 rootless", ShapeWords("dominant 9th", "rootless", "")),
        ("dominant 7 #9", ShapeWords("dominant 7th #9", "", "")),
        ("7#11", ShapeWords("dominant 7th #11", "", "")),
        ("minor major 7th", ShapeWords("minor-major 7th", "", "")),
        ("open fifth", ShapeWords("open fifth", "", "")),
        ("major triad open position", ShapeWords("major triad", "", "open")),
        ("6/9", ShapeWords("major 6/9", "", "")),
        ("augmented", ShapeWords("augmented triad", "", "")),
        ("2nd inversion", ShapeWords("", "2nd inversion", "")),
        ("quartal voicing", ShapeWords("", "", "quartal")),
    ],
)
def test_shapes_are_read_as_players_say_them(text: str, words: ShapeWords) -> None:
    """Quality in words or as symbols write it, position and spacing, in any order."""
    assert read_shape(text) == words


@pytest.mark.parametrize("quality", all_qualities(), ids=lambda quality: quality.name)
def test_every_quality_is_read_by_its_name(quality: Quality) -> None:
    """Each name that we write is read back."""
    assert read_shape(quality.name) == ShapeWords(quality.name, "", "")


def test_unknown_qualities_are_refused() -> None:
    """A quality that nobody knows is a fault, a chord symbol with its root has its own hint."""
    assert read_shape("crunchy") == Fault(
        0, "no quality is called 'crunchy'", "such as minor 7th, dominant 9th, major triad"
    )


@pytest.mark.parametrize(
    ("symbol", "notes", "name"),
    [
        ("Cm6", "C3 Eb3 A3", "minor 6th root position"),
        ("Bb6", "Bb2 D3 G3", "major 6th root position"),
        ("Dm7b5", "D3 F3 C4", "half-diminished 7th root position"),
        ("F", "A2 F3", "major triad 1st inversion"),
    ],
)
def test_a_symbol_whose_root_sounds_names_the_chord(symbol: str, notes: str, name: str) -> None:
    """The name of the symbol comes first where its root sounds and its fifth at most is missing."""
    chord = parse_chord(symbol)
    assert isinstance(chord, Chord)
    assert str(name_chord([Pitch.parse(note) for note in notes.split()], chord)[0]) == name
