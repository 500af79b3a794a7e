"""Our chords, keys, numerals, transposition and ABC against libraries whose answers were written down.

Sources: tonal 6.4.3 and abcjs 6.7.2 (MIT, for Node), mingus 0.6.1 (GPL): three code bases that share
nothing with each other, with music21 or with us. `recording` has asked them; the answers stand in
`recorded`.
"""

import json
from fractions import Fraction
from typing import Any

import pytest

from tests.engraving.samples import SAMPLES
from tests.outside.recording import MOVED, NUMERALS, PLAYED, RECORDED, SPELLED
from tests.outside.test_chords_spelling import ROOTS
from tests.outside.test_transposition_spelled import INTERVALS, NAMES
from transposary.notes import attacks
from transposary.passage import Chord, Key, Passage
from transposary.pitch import NoteName, Pitch
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc
from transposary.theory.chords import parse_chord
from transposary.theory.numerals import Numeral, parse_numeral, realise


def _answers(library: str) -> dict[str, dict[str, Any]]:
    answers: dict[str, dict[str, Any]] = json.loads((RECORDED / f"{library}.json").read_text("utf-8"))
    return answers


TONAL, ABCJS, MINGUS = map(_answers, ("tonal", "abcjs", "mingus"))


def test_the_answers_are_there() -> None:
    """98 chords, 15 keys, 273 and 210 transpositions, 180 chords of numerals, 77 tunes that were moved."""
    assert len(TONAL["chords"]) == len(SPELLED) * len(ROOTS) == 98
    assert all(TONAL["chords"].values())
    assert sum(len(row) for row in TONAL["transposed"].values()) == 273
    assert sum(len(row) for row in MINGUS["transposed"].values()) == 210
    assert (len(TONAL["sevenths"]), sum(len(row) for row in MINGUS["numerals"].values())) == (15, 180)
    assert (sorted(ABCJS["heard"]), sorted(ABCJS["moved"])) == (sorted(PLAYED), sorted(MOVED))
    assert sum(len(row) for row in ABCJS["moved"].values()) == 77


@pytest.mark.parametrize("quality", SPELLED)
def test_chords_are_spelled_as_tonal_spells_them(quality: str) -> None:
    """The same note names on every root, of the chords that pychord leaves open."""
    for root in ROOTS:
        chord = parse_chord(root + quality)
        assert isinstance(chord, Chord), chord
        assert {str(name) for name in chord.names} == set(TONAL["chords"][root + quality])


@pytest.mark.parametrize("tonic", TONAL["sevenths"])
def test_sevenths_of_a_key_are_those_of_tonal(tonic: str) -> None:
    """The chord of each degree of a major key has the symbol that tonal gives it."""
    key = Key(NoteName.parse(tonic))
    numerals = [parse_numeral(text) for text in ["Imaj7", "ii7", "iii7", "IVmaj7", "V7", "vi7", "viiø7"]]
    found = [str(realise(one, key)) for one in numerals if isinstance(one, Numeral)]
    assert found == TONAL["sevenths"][tonic]


@pytest.mark.parametrize("tonic", MINGUS["numerals"])
def test_numerals_are_the_chords_of_mingus(tonic: str) -> None:
    """Triads and sevenths of the degrees of a major key have the notes that mingus gives them."""
    for text in NUMERALS:
        numeral = parse_numeral(text)
        assert isinstance(numeral, Numeral), numeral
        chord = realise(numeral, Key(NoteName.parse(tonic)))
        assert [str(name) for name in chord.names] == MINGUS["numerals"][tonic][text]


@pytest.mark.parametrize("interval", INTERVALS)
def test_tonal_and_mingus_move_notes_alike(interval: str) -> None:
    """The same letter, accidental and octave as tonal, the same name as mingus, which has no tritones."""
    moved = [Pitch.parse(f"{name}4").up(INTERVALS[interval]) for name in NAMES]
    assert [str(pitch) for pitch in moved] == TONAL["transposed"][interval]
    names = [str(pitch.name) for pitch in moved]
    assert MINGUS["transposed"].get(interval, names) == names


def _read(text: str) -> Passage:
    passage, problems = read_abc(SourceText(text.partition("\n")[2], Place("tune")), None)
    assert problems == ()
    assert passage is not None
    return passage


def _sounding(passage: Passage) -> list[tuple[int, Fraction, Fraction]]:
    """Gives number, beginning and end of each note, graces left out."""
    start = passage.bars[0].onset
    struck = [(one, one.onset - start) for one in attacks(passage) if not one.grace]
    return sorted((note.pitch.midi, begin, begin + note.duration) for note, begin in struck)


@pytest.mark.parametrize("name", PLAYED)
def test_abcjs_hears_the_notes_that_we_wrote(name: str) -> None:
    """Each note of ABC that we wrote begins there when we begin it, but behind graces, and ends with ours."""
    written = _sounding(SAMPLES[name])
    assert _sounding(_read(ABCJS["abc"][name])) == written
    graced = any(event.graces for voice in SAMPLES[name].voices for event in voice.events)
    heard = [(midi, 4 * begin, 4 * (begin + length)) for midi, begin, length in ABCJS["heard"][name]]
    ends = [(midi, round(float(end), 3)) for midi, _, end in written]
    assert sorted((midi, round(end, 3)) for midi, _, end in heard) == sorted(ends)
    begins = [(midi, round(float(begin), 3)) for midi, begin, _ in written]
    assert graced or sorted((midi, round(begin, 3)) for midi, begin, _ in heard) == begins


@pytest.mark.parametrize("name", MOVED)
def test_abcjs_moves_whole_tunes_alike(name: str) -> None:
    """Moved there by one to eleven semitones, a tune has our notes, our key and our chords moved."""
    home = SAMPLES[name]
    for up, text in enumerate(ABCJS["moved"][name], 1):
        moved = _read(text)
        assert _sounding(moved) == [(midi + up, begin, end) for midi, begin, end in _sounding(home)]
        assert moved.key.mode is home.key.mode
        assert (moved.key.tonic.pitch_class - home.key.tonic.pitch_class) % 12 == up
        assert _symbols(moved, 0) == _symbols(home, up)


def _symbols(passage: Passage, up: int) -> list[tuple[Fraction, int, str]]:
    return [
        (one.onset, (one.chord.root.pitch_class + up) % 12, one.chord.suffix)
        for one in passage.symbols
        if one.chord is not None
    ]
