"""Notes that contradict their chord symbol; common practice, no source."""

from dataclasses import replace

import pytest

from tests.theory.build import build
from tests.theory.claims.claiming import device
from transposary.passage import Passage
from transposary.problems import Place, Problem
from transposary.theory.clash import check_clashes, clashes

SILENT = build("E4:2 G4:2", chords="0 Cm7")


@pytest.mark.parametrize(
    ("passage", "found"),
    [
        (build("E4:2 G4:2", chords="0 Cm7"), ["E4 3 b3"]),
        (build("G4:2 E4:2", chords="0 Cm7"), ["E4 3 b3"]),
        (build("G4 E4:3", chords="0 Cm7"), []),  # beat 2 is weak
        (build("E4:3", chords="0 Cm7", meter="3/4"), ["E4 3 b3"]),
        (build("G4:3/2 E4:3/2", chords="0 Cm7", meter="6/8"), []),
        (build("B4:2 G4:2", chords="0 C7"), ["B4 7 b7"]),
        (build("Bb4:2 G4:2", chords="0 Cmaj7"), ["Bb4 b7 7"]),
        (build("G4:2 E4:2", chords="0 Cm7b5"), ["G4 5 b5", "E4 3 b3"]),
        (build("Eb4:2 G4:2", chords="0 Cmaj7"), ["Eb4 b3 3"]),
        # The blue third over a dominant, tensions, the leading note of a diminished seventh.
        (build("Eb4:2 Gb4:2", chords="0 C7"), []),
        (build("B4:2 A4:2", chords="0 Cdim7"), []),
        # An appoggiatura steps on to a tone of the chord.
        (build("E4 Eb4 G4:2", chords="0 Cm7"), []),
        (build("E4 F4 G4:2", chords="0 Cm7"), ["E4 3 b3"]),
        # A note that anticipates belongs to the coming chord; without a chord nothing clashes.
        (build("G4:4 E4:7/2 Eb4~:1/2 Eb4:4", chords="0 C; 4 C; 8 Cm"), []),
        (build("E4:2 G4:2", chords="0 N.C."), []),
        (build("E4:2 G4:2"), []),
        # A voice without a note, as some scores have it.
        (replace(SILENT, voices=(replace(SILENT.voices[0], events=()),)), []),
    ],
)
def test_a_clash_takes_the_place_of_a_chord_tone(passage: Passage, found: list[str]) -> None:
    """On a strong beat, a third, fifth or seventh of another colour than the chord's is a clash."""
    assert [f"{one.note.pitch} {one.degree} {one.tone}" for one in clashes(passage)] == found


def test_a_clash_is_a_remark_at_its_note() -> None:
    """The remark has the note, its degree and what the chord has instead."""
    assert check_clashes(device(build("G4:2 E4:2", chords="0 Cm7"))) == (
        Problem.remark(
            Place("devices/x.md", 9, 2),
            "theory.clash",
            "E4 in bar 1, beat 3 is the 3 of Cm7, which has the b3",
            "mend the note or the chord symbol",
        ),
    )
