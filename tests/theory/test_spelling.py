"""Spelling of notes; what is right is common practice, no source."""

import pytest

from tests.theory.build import build
from tests.theory.claims.claiming import device
from transposary.passage import Passage
from transposary.pitch import Interval
from transposary.problems import Place, Problem
from transposary.theory.spelling import check_spelling, spelling_slips
from transposary.theory.transposition import transpose


def _slips(passage: Passage) -> list[str]:
    return [f"{slip.note.pitch} {slip.wanted}: {slip.reason}" for slip in spelling_slips(passage)]


@pytest.mark.parametrize(
    ("passage", "slips"),
    [
        # The chord tells: A sharp is no tone of C7.
        (build("C4 A#4 G4:2", chords="0 C7"), ["A#4 Bb: is the b7 of C7, spelled as its #6"]),
        (build("D4 Gb4 A4:2", chords="0 D7"), []),  # the blue b5 of the key
        (build("E4 Ab4 B4:2", chords="0 E7"), ["Ab4 G#: is the 3 of E7, spelled as its b4"]),
        (
            build("G3 C4 E4 A#4", chords="0 Gm7"),
            ["A#4 Bb: is the b3 of Gm7, spelled as its #2"],
        ),
        # Blue notes are never misspelled, over whatever chord and wherever they go.
        (build("C4 Eb4 E4 Gb4 G4 Bb4 B4:2", chords="0 C"), []),
        (build("F4 Ab4 A4:2", chords="0 F7"), []),
        # Chromatic approach notes go by their direction.
        (build("G4 G#4 A4:2"), []),
        (build("G4 Ab4 A4:2"), ["Ab4 G#: rises by a semitone to A4"]),
        (build("A4 Ab4 G4:2"), []),
        (build("A4 G#4 G4:2"), ["G#4 Ab: falls by a semitone to G4"]),
        (build("G4 F#4 F4:2"), []),  # #4 serves in both directions
        (build("D4 C#4 C4:2"), ["C#4 Db: falls by a semitone to C4"]),
        (build("C4 {Db4}D4:3"), ["Db4 C#: rises by a semitone to D4"]),
        (build("[C4 Ab4]:2 [C4 A4]:2"), ["Ab4 G#: rises by a semitone to A4"]),
        # Without a direction the usual spellings serve.
        (build("C4 A#4 F4:2"), ["A#4 Bb: is spelled as the #6 of C major"]),
        (build("C4 Fb4 G4:2"), ["Fb4 E: is spelled as the b4 of C major"]),
        (build("C4 D#4 G4:2"), []),
        # The key and the chord bring their own notes.
        (build("A4 G#4 F#4 G4", key="A minor"), []),
        (build("G4 F#4 F4 E4", chords="0 G7"), []),
        (build("G4 Ab4 F4 D4", chords="0 G7b9"), []),
        (build("C4 D#4 G4:2", chords="0 C7#9"), []),
        (build("C4 G#4 E4:2", chords="0 C7b13"), []),
        # Chords that divide the octave evenly are spelled by where they go.
        (build("C4 D#4 E4:2", chords="0 Adim7"), []),
        (build("E4 G#4 A4:2", chords="0 Caug"), []),
        # A note that anticipates may be spelled for either chord.
        (build("C#4:3 E4:1/2 Bb4~:1/2 Bb4:4", chords="0 F#7; 4 C7"), []),
    ],
)
def test_a_note_is_spelled_as_what_it_is(passage: Passage, slips: list[str]) -> None:
    """A slip names the spelling wanted and why."""
    assert _slips(passage) == slips


def test_a_slip_is_a_remark_at_its_note() -> None:
    """A slip misleads the reader and contradicts nothing: it is a remark that may be accepted."""
    passage = build("C4 A#4 G4:2", chords="0 C7")
    assert check_spelling(device(passage)) == (
        Problem.remark(
            Place("devices/x.md", 9, 2),
            "theory.spelling",
            "A#4 in bar 1, beat 2 is the b7 of C7, spelled as its #6",
            "spell it Bb4",
        ),
    )


def test_spelling_survives_transposition() -> None:
    """What is well spelled in one key is so in all others, and a slip stays a slip."""
    right = build("G4 G#4 A4 Bb4 B4 C5:3", chords="0 C7")
    wrong = build("G4 Ab4 A4 A#4 B4 C5:3", chords="0 C7")
    for interval in (Interval(1, 2), Interval(2, 4), Interval(3, 5), Interval(-1, -2)):
        assert _slips(transpose(right, interval)) == []
        assert len(_slips(transpose(wrong, interval))) == 2
