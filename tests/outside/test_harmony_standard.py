"""Chord symbols in MusicXML: what the standard says that they mean, and what another reader makes of them.

Sources: MusicXML 4.0, types kind-value, degree-alter and degree-type; mir_eval for the tones (see
`test_chords_pitch_classes`); music21's reading of the elements.
"""

import xml.etree.ElementTree as ET

import pytest
from mir_eval import chord as harte
from music21 import converter
from music21.harmony import ChordSymbol

from tests.outside.chord_tables import AGREED
from transposary.engraving.harmony import harmony_element
from transposary.passage import Chord
from transposary.theory.chords import parse_chord

# The semitones above the root of each degree, as the text of kind-value lists them.
KINDS = {
    "major": {1: 0, 3: 4, 5: 7},
    "minor": {1: 0, 3: 3, 5: 7},
    "augmented": {1: 0, 3: 4, 5: 8},
    "diminished": {1: 0, 3: 3, 5: 6},
    "dominant": {1: 0, 3: 4, 5: 7, 7: 10},
    "major-seventh": {1: 0, 3: 4, 5: 7, 7: 11},
    "minor-seventh": {1: 0, 3: 3, 5: 7, 7: 10},
    "diminished-seventh": {1: 0, 3: 3, 5: 6, 7: 9},
    "augmented-seventh": {1: 0, 3: 4, 5: 8, 7: 10},
    "half-diminished": {1: 0, 3: 3, 5: 6, 7: 10},
    "major-minor": {1: 0, 3: 3, 5: 7, 7: 11},
    "major-sixth": {1: 0, 3: 4, 5: 7, 6: 9},
    "minor-sixth": {1: 0, 3: 3, 5: 7, 6: 9},
    "dominant-ninth": {1: 0, 3: 4, 5: 7, 7: 10, 9: 14},
    "major-ninth": {1: 0, 3: 4, 5: 7, 7: 11, 9: 14},
    "minor-ninth": {1: 0, 3: 3, 5: 7, 7: 10, 9: 14},
    "dominant-11th": {1: 0, 3: 4, 5: 7, 7: 10, 9: 14, 11: 17},
    "dominant-13th": {1: 0, 3: 4, 5: 7, 7: 10, 9: 14, 11: 17, 13: 21},
    "suspended-second": {1: 0, 2: 2, 5: 7},
    "suspended-fourth": {1: 0, 4: 5, 5: 7},
    "power": {1: 0, 5: 7},
}
# An added degree is counted from a dominant chord: major and perfect but for the minor seventh.
ADDED = {2: 2, 4: 5, 5: 7, 6: 9, 7: 10, 9: 14, 11: 17, 13: 21}
ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
NATURAL = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
# music21 counts a seventh that is added to a suspended fourth from the major scale.
MISREAD = {"7sus4", "9sus4", "13sus4"}


def _element(symbol: str) -> str:
    chord = parse_chord(symbol)
    assert isinstance(chord, Chord), chord
    return harmony_element(chord, offset=0)


def _by_the_standard(text: str) -> set[int]:
    harmony = ET.fromstring(text)
    root = NATURAL[harmony.findtext("root/root-step", "")] + int(harmony.findtext("root/root-alter", "0"))
    tones = dict(KINDS[harmony.findtext("kind", "")])
    for degree in harmony.iter("degree"):
        value = int(degree.findtext("degree-value", ""))
        alter = int(degree.findtext("degree-alter", ""))
        match degree.findtext("degree-type"):
            case "add":
                # A seventh or a ninth may be added twice, flat and sharp.
                tones[value + 100 * alter] = ADDED[value] + alter
            case "alter":
                tones[value] += alter
            case "subtract":
                del tones[value]
    return {(root + tone) % 12 for tone in tones.values()}


def _by_mir_eval(root: str, quality: str) -> set[int]:
    start, bits, _ = harte.encode(f"{root}:{quality}", reduce_extended_chords=True)
    return {(start + step) % 12 for step in range(12) if bits[step]}


@pytest.mark.parametrize(("suffix", "quality"), AGREED.items())
def test_kind_and_degrees_mean_the_tones_of_the_chord(suffix: str, quality: str) -> None:
    """By the words of the standard each element has the tones of an independent library, on every root."""
    for root in ROOTS:
        assert _by_the_standard(_element(f"{root}{suffix}")) == _by_mir_eval(root, quality)


def test_another_reader_finds_the_tones() -> None:
    """music21 makes the same chords of our elements, but for the sevenths that it miscounts."""
    bars = "".join(
        f'<measure number="{number}"><attributes><divisions>1</divisions></attributes>'
        f"{_element('A' + suffix)}<note><rest/><duration>4</duration></note></measure>"
        for number, suffix in enumerate(AGREED, 1)
    )
    score = converter.parseData(
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part></part-list>'
        f'<part id="P1">{bars}</part></score-partwise>',
        format="musicxml",
    )
    read = score.recurse().getElementsByClass(ChordSymbol)
    found = dict(zip(AGREED, ({pitch.pitchClass for pitch in one.pitches} for one in read), strict=True))
    wanted = {suffix: _by_mir_eval("A", quality) for suffix, quality in AGREED.items()}
    assert {suffix for suffix in AGREED if found[suffix] != wanted[suffix]} == MISREAD
