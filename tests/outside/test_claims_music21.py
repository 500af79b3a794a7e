"""Shapes, intervals and scales against music21 (BSD), an independent library."""

from itertools import product

import pytest
from music21 import chord as m21_chord
from music21 import interval as m21_interval
from music21 import pitch as m21_pitch
from music21 import scale as m21_scale

from transposary.pitch import OCTAVE, Degree, Interval, Pitch
from transposary.problems import Fault
from transposary.theory.keys import SLOTS
from transposary.theory.scales import parse_scale
from transposary.theory.shapes import name_chord

QUALITIES = {
    "1 3 5": ("major triad", "isMajorTriad"),
    "1 b3 5": ("minor triad", "isMinorTriad"),
    "1 b3 b5": ("diminished triad", "isDiminishedTriad"),
    "1 3 5 b7": ("dominant 7th", "isDominantSeventh"),
    "1 b3 b5 b7": ("half-diminished 7th", "isHalfDiminishedSeventh"),
    "1 b3 b5 bb7": ("diminished 7th", "isDiminishedSeventh"),
}
POSITIONS = ("root position", "1st inversion", "2nd inversion", "3rd inversion")
SCALES = {
    "major": m21_scale.MajorScale,
    "minor": m21_scale.MinorScale,
    "dorian": m21_scale.DorianScale,
    "phrygian": m21_scale.PhrygianScale,
    "lydian": m21_scale.LydianScale,
    "mixolydian": m21_scale.MixolydianScale,
    "locrian": m21_scale.LocrianScale,
    "harmonic minor": m21_scale.HarmonicMinorScale,
    "whole tone": m21_scale.WholeToneScale,
}


def _m21(pitch: Pitch) -> m21_pitch.Pitch:
    return m21_pitch.Pitch(str(pitch).replace("b", "-"))


@pytest.mark.parametrize(("tones", "slot"), [*product(QUALITIES, SLOTS)])
def test_quality_root_and_inversion(tones: str, slot: str) -> None:
    """Triads and sevenths in every inversion have a name with music21's quality, root and inversion.

    It is the first name but for a half-diminished seventh on its third, which is also a minor sixth.
    """
    name, told = QUALITIES[tones]
    root = Pitch.parse(f"{slot}3")
    notes = [root.up(Interval(tone.number - 1, tone.semitones)) for tone in map(Degree.parse, tones.split())]
    for position in POSITIONS[: len(notes)]:
        theirs = m21_chord.Chord([_m21(note) for note in notes])
        assert getattr(theirs, told)()
        assert POSITIONS[theirs.inversion()] == position
        spelled = theirs.root().name.replace("-", "b")
        ours = [(str(shape.root), shape.quality, shape.position) for shape in name_chord(notes)]
        also_sixth = (name, position) == ("half-diminished 7th", "1st inversion")
        assert ours.index((spelled, name, position)) == int(also_sixth)
        notes = [*notes[1:], notes[0].up(OCTAVE)]


def test_names_of_intervals() -> None:
    """Every interval between spelled notes, up to two octaves, is named as music21 names it."""
    names = [letter + sign for letter in "CDEFGAB" for sign in ("", "b", "#")]
    for low, high, octave in product(names, names, "45"):
        one, other = Pitch.parse(f"{low}3"), Pitch.parse(high + octave)
        assert str(one.to(other)) == m21_interval.Interval(_m21(one), _m21(other)).name


@pytest.mark.parametrize("name", SCALES)
def test_scales(name: str) -> None:
    """The modes, harmonic minor and whole tone have the notes of music21."""
    ours = parse_scale(name)
    assert not isinstance(ours, Fault)
    theirs = SCALES[name]("C").getPitches("C4", "B4")
    assert ours.semitones == {pitch.midi % 12 for pitch in theirs}
