"""Every demo device in every key, and every part of it: valid, readable elsewhere, at concert pitch.

A sample of it is a test. The whole takes some minutes: `python -m tests.outside.part_scores`.
"""

from __future__ import annotations

import sys
import warnings
import xml.etree.ElementTree as ET
from io import BytesIO

import xmlschema

from tests.demo import GLOSSARY
from tests.outside.musicxml_schema import musicxml_schema
from transposary.exchange.scores import Form, device_score, in_slot, part_score
from transposary.glossary import Device
from transposary.notes import TieState, notes
from transposary.pitch import Pitch
from transposary.settings import Settings
from transposary.theory.keys import SLOTS
from transposary.theory.part_lines import PartLine, part_lines
from transposary.theory.parts import PARTS, Part, written_slot

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # what it imports warns about the standard library
    import partitura

DEVICES = GLOSSARY.devices
_HELD = (TieState.STOP, TieState.CONTINUE)
INSTRUMENTS = tuple(part for part in PARTS if part.clef is not None)


def lines_of(device: Device, slot: str, part: Part) -> tuple[PartLine, ...]:
    """Gives the lines of a part in the key that sounds in a slot."""
    assert part.clef is not None
    _, passage = in_slot(device, written_slot(part, slot), Settings())
    return part_lines(device, passage, part.clef)


def faults(schema: xmlschema.XMLSchema10, device: Device, slot: str, part: Part, line: PartLine) -> list[str]:
    """Says what is wrong with the score of a part, empty where nothing is."""
    score = part_score(device, slot, part, line.name, Settings())
    assert isinstance(score, bytes)
    found = [str(error.reason) for error in schema.iter_errors(score.decode())]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it remarks on whatever it guesses
        (opened,) = partitura.load_musicxml(BytesIO(score))
    if len(opened.notes) != score.count(b"<pitch>"):
        found.append(f"another reader finds {len(opened.notes)} of {score.count(b'<pitch>')} notes")
    _, concert = in_slot(device, slot, Settings())
    sounding = notes(concert)
    heard = _heard(score)
    if "slash" in score.decode():
        return found
    wanted = [
        sounding[source].pitch
        for note, source in zip(notes(line.passage), line.sources, strict=True)
        if note.tie not in _HELD
    ]
    # By sound: where a device modulates, a key reached may be spelled as its twin in one of the two.
    if [one.midi % 12 for one in heard] != [one.midi % 12 for one in wanted]:
        return [*found, f"it sounds {[*map(str, heard)]}, the device has {[*map(str, wanted)]}"]
    # All notes of a line lie off by the same octaves, but where it is folded into a range.
    if not line.folded and len({a.midi - b.midi for a, b in zip(heard, wanted, strict=True)}) > 1:
        found.append("octaves are mixed")
    return found


def _heard(score: bytes) -> list[Pitch]:
    """Lists what sounds, a tied note once, with the standard library alone.

    Source: MusicXML 4.0, element `transpose`: what is added to a written pitch.
    """
    root = ET.fromstring(score)
    octave = int(root.findtext(".//transpose/octave-change", "0"))
    steps = int(root.findtext(".//transpose/diatonic", "0")) + 7 * octave
    semitones = int(root.findtext(".//transpose/chromatic", "0")) + 12 * octave
    found = []
    for note in root.iter("note"):
        if note.find("pitch") is None or any(tie.get("type") == "stop" for tie in note.findall("tie")):
            continue
        letter, alter = note.findtext("pitch/step", ""), int(note.findtext("pitch/alter", "0"))
        written = Pitch.parse(f"{letter}{'#' * alter or 'b' * -alter}{note.findtext('pitch/octave')}")
        natural = Pitch(written.step + steps, 0)
        found.append(Pitch(natural.step, written.midi + semitones - natural.midi))
    return found


def concert_faults(schema: xmlschema.XMLSchema10, device: Device, slot: str) -> list[str]:
    """Says what is wrong with the score of a device at concert pitch."""
    score = device_score(device, slot, Form.MUSICXML, Settings())
    assert isinstance(score, bytes)
    found = [str(error.reason) for error in schema.iter_errors(score.decode())]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        (opened,) = partitura.load_musicxml(BytesIO(score))
    if len(opened.notes) != score.count(b"<pitch>"):
        found.append("another reader finds other notes")
    _, concert = in_slot(device, slot, Settings())
    wanted = sorted(note.pitch.midi for note in notes(concert) if note.tie not in _HELD)
    if sorted(pitch.midi for pitch in _heard(score)) != wanted:
        found.append("it sounds otherwise")
    return found


def main() -> int:
    """Goes through all of it, prints what is wrong and a line at the end."""
    schema = musicxml_schema()
    done = wrong = 0
    for device in DEVICES:
        for slot in SLOTS:
            done += 1
            for fault in concert_faults(schema, device, slot):
                wrong += 1
                print(f"{device.slug} in {slot}: {fault}")  # noqa: T201
    print(f"{done} scores at concert pitch, {wrong} faults")  # noqa: T201
    done = 0
    for device in DEVICES:
        for part in INSTRUMENTS:
            for slot in SLOTS:
                for line in lines_of(device, slot, part):
                    done += 1
                    for fault in faults(schema, device, slot, part, line):
                        wrong += 1
                        print(f"{device.slug} in {slot} for {part.slug}, {line.name}: {fault}")  # noqa: T201
    print(f"{done} scores of parts, {wrong} faults")  # noqa: T201
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
