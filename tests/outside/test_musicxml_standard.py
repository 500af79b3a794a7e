"""Our MusicXML against the published standard, and in the hands of another reader.

Sources: the MusicXML 4.0 XSD (W3C Music Notation Community Group), as the package `musicxml`
carries it; partitura, which shares no code with music21 or verovio.
"""

import warnings
from fractions import Fraction
from io import BytesIO
from typing import Any

import pytest
import xmlschema
from hypothesis import assume, given, settings

from tests.demo import GLOSSARY
from tests.engraving.samples import SAMPLES
from tests.strategies import tunes
from tests.theory.abc import passage
from transposary.engraving.musicxml import break_systems, write_for_engraver, write_musicxml
from transposary.exchange.scores import collection_score
from transposary.glossary import Device
from transposary.notes import attacks, notes
from transposary.passage import Passage
from transposary.pitch import accidental
from transposary.settings import Settings
from transposary.theory.keys import placements
from transposary.theory.transposition import place

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # what it imports warns about the standard library
    import partitura

DEVICES = GLOSSARY.devices

Sounding = tuple[Fraction, Fraction, str, int]
"""Onset and length in quarter notes from the start (a grace note has no length), pitch, staff."""


def _errors(schema: xmlschema.XMLSchema10, text: str) -> list[str]:
    return [str(error.reason) for error in schema.iter_errors(text)]


@pytest.mark.parametrize("name", SAMPLES)
def test_samples_are_valid(schema: xmlschema.XMLSchema10, name: str) -> None:
    """Whatever notation we write is valid MusicXML 4.0, for readers and for the engraver."""
    one = SAMPLES[name]
    labels = ("♭3 &",) * len(notes(one))
    assert _errors(schema, write_musicxml(one, title="A < B", tempo=92, labels=labels)) == []
    assert _errors(schema, break_systems(write_for_engraver(one, labels), 2)) == []


@pytest.mark.parametrize("device", DEVICES, ids=lambda device: device.slug)
def test_the_demo_is_valid(schema: xmlschema.XMLSchema10, device: Device) -> None:
    """What the site offers for download is valid MusicXML 4.0, in the home key and the most signed ones."""
    for placement in placements(device.passage, device.compass, Settings()):
        if placement.slot not in ("Gb", "B") and placement.key != device.passage.key:
            continue
        written = write_musicxml(place(device.passage, placement), title=device.title, tempo=device.tempo)
        assert _errors(schema, written) == [], placement.slot


@settings(max_examples=40)
@given(tune=tunes())
def test_any_tune_is_valid(schema: xmlschema.XMLSchema10, tune: Passage) -> None:
    """Tunes that nobody would play are valid MusicXML 4.0 as well."""
    assert _errors(schema, write_musicxml(tune)) == []


def _open(one: Passage) -> Any:  # noqa: ANN401 - partitura has no types
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it remarks on whatever it guesses
        (part,) = partitura.load_musicxml(BytesIO(write_musicxml(one).encode()))
    return part


def _by_partitura(one: Passage) -> list[Sounding]:
    part = _open(one)

    def quarters(moment: int) -> Fraction:
        return Fraction(float(part.quarter_map(moment))).limit_denominator(192)

    found = []
    for note in part.notes_tied:
        alter = note.alter or 0
        pitch = f"{note.step}{accidental(alter)}{note.octave}"
        onset, end = quarters(note.start.t), quarters(note.start.t + note.duration_tied)
        found.append((onset, end - onset, pitch, note.staff))
    return _from_first(found)


def _from_first(found: list[Sounding]) -> list[Sounding]:
    shift = min((onset for onset, *_ in found), default=Fraction(0))
    return sorted((onset - shift, length, pitch, staff) for onset, length, pitch, staff in found)


def _ours(one: Passage) -> list[Sounding]:
    found = [(n.onset, n.duration, str(n.pitch), one.hands.index(n.hand) + 1) for n in attacks(one)]
    return _from_first(found)


@pytest.mark.parametrize("name", SAMPLES)
def test_partitura_reads_the_notes_of_the_samples(name: str) -> None:
    """Another reader finds every note at its time, with its length through ties, and on its staff."""
    assert _by_partitura(SAMPLES[name]) == _ours(SAMPLES[name])


@pytest.mark.parametrize("device", DEVICES, ids=lambda device: device.slug)
def test_partitura_reads_the_notes_of_the_demo(device: Device) -> None:
    """Every device opens in another reader with the same notes."""
    assert _by_partitura(device.passage) == _ours(device.passage)


@settings(max_examples=40)
@given(tunes())
def test_partitura_reads_the_notes_of_any_tune(tune: Passage) -> None:
    """The other reader agrees; it mixes up ties of two voices in unison, which are left out."""
    assume(all(len(voice.name) == 2 for voice in tune.voices))
    by_hand = [{note.pitch for note in notes(tune) if note.hand is hand} for hand in tune.hands]
    assume(len(by_hand) == 1 or by_hand[0].isdisjoint(by_hand[1]))
    assert _by_partitura(tune) == _ours(tune)


def test_partitura_finds_key_meter_and_barlines() -> None:
    """Signature, mode, meter and repeats are understood too."""
    part = _open(passage("M:6/8\nL:1/8\nK:Ebm\n|: E6 :|\n"))
    score = partitura.score
    assert [(key.fifths, key.mode) for key in part.iter_all(score.KeySignature)] == [(-6, "minor")]
    assert [(time.beats, time.beat_type) for time in part.iter_all(score.TimeSignature)] == [(6, 8)]
    assert len(list(part.iter_all(score.Repeat))) == 1


def test_a_collection_is_valid_and_opens_elsewhere(schema: xmlschema.XMLSchema10) -> None:
    """Devices on one and two staves and charts of songs are one valid score, whole for another reader."""
    for slug in ("winter-concert", "first-left-hand"):
        score = collection_score(GLOSSARY.collection[slug], GLOSSARY, Settings())
        assert isinstance(score, bytes)
        assert _errors(schema, score.decode()) == []
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            (part,) = partitura.load_musicxml(BytesIO(score))
        assert len(part.notes) == score.count(b"<pitch>")
        assert len(part.measures) == score.count(b"<measure ")
