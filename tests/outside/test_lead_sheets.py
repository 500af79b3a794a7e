"""Lead sheets that nobody here wrote, read from music21's package at test time.

Truth is music21's own reading of the same files.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import music21
import pytest

from transposary.passage import Key
from transposary.pitch import NoteName
from transposary.reading.leadsheet import LeadSheet, read_lead_sheet

FOLDER = Path(music21.__file__).parent / "corpus" / "leadSheet"
F = Key(NoteName.parse("F"))


def sheet(name: str) -> LeadSheet:
    """Reads one of the package's lead sheets."""
    found = read_lead_sheet((FOLDER / name).read_bytes(), name, F)
    assert isinstance(found, LeadSheet)
    return found


@pytest.mark.parametrize(
    ("name", "bars", "symbols"), [("fosterBrownHair.mxl", 35, 40), ("berlinAlexandersRagtime.mxl", 34, 19)]
)
def test_every_chord_symbol_is_where_music21_has_it(name: str, bars: int, symbols: int) -> None:
    """Each chord begins in the bar and on the quarter where music21 finds it, with the same tones."""
    ours = sheet(name)
    assert ours.pickup is None
    assert len(ours.bars) == bars
    part = music21.converter.parse(FOLDER / name).parts[0]
    checked = 0
    for bar, measure in zip(ours.bars, part.getElementsByClass("Measure"), strict=True):
        starts = {(one.beat - 1) * bar.meter.beat: one for one in bar.chords}
        for theirs in measure.getElementsByClass("ChordSymbol"):
            chord = starts[Fraction(theirs.offset)].chord
            assert chord is not None
            assert {tone.pitch_class for tone in chord.names} == set(theirs.pitchClasses)
            checked += 1
    assert checked == symbols
