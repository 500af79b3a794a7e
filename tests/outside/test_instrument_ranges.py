"""What the parts ask of instruments, against their published compasses; sources: see `instruments`."""

from __future__ import annotations

import pytest
from music21 import instrument

from tests.outside.instruments import COMPASSES, LEFT_OUT
from transposary.passage import Clef
from transposary.pitch import OCTAVE, Pitch
from transposary.theory.part_lines import RANGES

READERS = {name: one for name, one in COMPASSES.items() if name not in LEFT_OUT}


@pytest.mark.parametrize("name", READERS)
def test_every_instrument_has_the_notes_of_its_parts(name: str) -> None:
    """No note that a part may have lies below or above what is published for who reads its clef."""
    compass = READERS[name]
    low, high = RANGES[Clef(compass.clef)]
    assert Pitch.parse(compass.lowest).midi <= low.midi
    assert not compass.highest or high.midi <= Pitch.parse(compass.highest).midi


@pytest.mark.parametrize("clef", RANGES)
def test_all_low_notes_that_the_instruments_share_are_used(clef: Clef) -> None:
    """The lowest note of a clef is the highest of those that its readers have as their lowest."""
    lowest = [Pitch.parse(one.lowest) for one in READERS.values() if one.clef == clef.value]
    assert max(lowest, key=lambda pitch: pitch.midi) == RANGES[clef][0]


@pytest.mark.parametrize("name", [name for name, one in COMPASSES.items() if one.music21])
def test_music21_has_the_same_lowest_note(name: str) -> None:
    """The table's lowest notes are those of another library, whose guitars have what sounds."""
    compass = COMPASSES[name]
    note = getattr(instrument, compass.music21)().lowestNote
    lowest = Pitch.parse(note.nameWithOctave.replace("-", "b"))
    assert (lowest.up(OCTAVE) if compass.octave_up else lowest) == Pitch.parse(compass.lowest)
