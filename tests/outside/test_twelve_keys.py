"""Twelve-key truth: our transposition against two implementations that are not ours.

Sources: music21 (`pitch.Pitch.transpose` by a named interval) and verovio (its own transpose
option, and the notes that it reads back from our MusicXML as MEI).
"""

import re
from functools import cache
from xml.etree.ElementTree import Element, fromstring

import music21
import pytest
import verovio

from tests.demo import GLOSSARY
from transposary.engraving.musicxml import write_for_engraver
from transposary.glossary import Device
from transposary.notes import Note, notes
from transposary.passage import Passage
from transposary.pitch import Interval
from transposary.settings import Settings
from transposary.theory.keys import Placement, key_at, placements
from transposary.theory.transposition import place

DEVICES = GLOSSARY.devices
MEI = "{http://www.music-encoding.org/ns/mei}"
XML_ID = "{http://www.w3.org/XML/1998/namespace}id"
ACCIDENTALS = {
    "n": "",
    "s": "#",
    "ss": "##",
    "x": "##",
    "f": "b",
    "ff": "bb",
    "ts": "###",
    "xs": "###",
    "tf": "bbb",
}

each_device = pytest.mark.parametrize("device", DEVICES, ids=lambda device: device.slug)


def _keys_of(device: Device) -> list[tuple[Placement, Passage]]:
    return [
        (one, place(device.passage, one)) for one in placements(device.passage, device.compass, Settings())
    ]


def _respelling(device: Device, placement: Placement, passage: Passage, note: Note) -> Interval:
    """Gives what a note's stretch was respelled by: a second without sound, or nothing.

    A stretch that would come into a key without a signature takes its enharmonic twin.
    """
    at_home = key_at(device.passage, note.onset).tonic.up(placement.interval)
    seconds = (at_home.fifths - key_at(passage, note.onset).tonic.fifths) // 12
    return Interval(seconds, 0)


def _hand_interval(placement: Placement, hand: str) -> Interval:
    octaves = next((count for one, count in placement.octaves if one == hand), 0)
    return placement.interval + Interval(7 * octaves, 12 * octaves)


@cache
def _by_music21(pitch: str, interval: str) -> str:
    moved = music21.pitch.Pitch(pitch.replace("b", "-")).transpose(interval)
    return moved.nameWithOctave.replace("-", "b")


def _by_verovio(passage: Passage, transpose: str = "") -> list[str]:
    """Gives the pitches by note index, as verovio reads them from our file."""
    verovio.enableLog(verovio.LOG_ERROR)
    toolkit = verovio.toolkit()
    toolkit.setOptions({"transpose": transpose})
    assert toolkit.loadData(write_for_engraver(passage, ()))
    found: dict[int, str] = {}
    for note in fromstring(toolkit.getMEI()).iter(f"{MEI}note"):
        match = re.fullmatch(r"n(\d+)", note.get(XML_ID, ""))
        if match is not None:
            found[int(match[1])] = f"{note.get('pname', '').upper()}{_alteration(note)}{note.get('oct')}"
    return [found[index] for index in range(len(found))]


def _alteration(note: Element) -> str:
    signs = [note.get("accid.ges"), note.get("accid")]
    for accid in note.iter(f"{MEI}accid"):
        signs += [accid.get("accid.ges"), accid.get("accid")]
    return ACCIDENTALS[next((sign for sign in signs if sign), "n")]


def test_the_demo_is_there_to_be_checked() -> None:
    """The demo glossary holds the devices that the twelve keys are checked with."""
    assert len(DEVICES) >= 12


@each_device
def test_our_notes_are_music21s(device: Device) -> None:
    """In every key each note is spelled as music21 spells it, a hand's octaves aside."""
    home = notes(device.passage)
    for placement, passage in _keys_of(device):
        ours = [str(note.pitch) for note in notes(passage)]
        theirs = [
            _by_music21(
                str(note.pitch),
                str(_hand_interval(placement, note.hand) + _respelling(device, placement, passage, note)),
            )
            for note in home
        ]
        assert ours == theirs, placement.slot


@each_device
def test_verovio_reads_our_notes_back(device: Device) -> None:
    """In every key the engraver finds in our file the notes that we meant, none lost and none added."""
    for placement, passage in _keys_of(device):
        assert _by_verovio(passage) == [str(note.pitch) for note in notes(passage)], placement.slot


@each_device
def test_verovios_own_transposition_agrees(device: Device) -> None:
    """The home key, transposed by verovio itself, gives our notes; it is trusted up to double accidentals.

    In four keys of each device, and in each key with a third of the devices.
    """
    for placement, passage in _keys_of(device)[DEVICES.index(device) % 3 :: 3]:
        theirs = _by_verovio(device.passage, str(placement.interval))
        ours = [
            str(
                note.pitch.up(-_respelling(device, placement, passage, note))
                .up(-_hand_interval(placement, note.hand))
                .up(placement.interval)
            )
            for note in notes(passage)
        ]
        wrong = [
            (one, other)
            for one, other, note in zip(ours, theirs, notes(passage), strict=True)
            if one != other and abs(note.pitch.alter) <= 2
        ]
        assert wrong == [], placement.slot
