"""Writes a checked score so that music21 misses nothing of what we carry.

music21 takes a grace note that says nothing of a slash for a slashed one, puts a note that
says nothing of its staff on both, and gathers the fingerings of a chord from its lowest note
up without saying which notes have none.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterator

NO_FINGER = "0"
"""The fingering that a note without one gets in a chord where others have theirs."""


def explicit(text: str) -> str:
    """Writes out what music21 would guess: slashes, staves, missing fingerings of chords."""
    score = ET.fromstring(text)  # noqa: S314 - see above
    for grace in score.iter("grace"):
        grace.set("slash", grace.get("slash", "no"))
    for note in score.iter("note"):
        if note.find("staff") is None:
            ET.SubElement(note, "staff").text = "1"
    for measure in score.iter("measure"):
        for chord in _chords(measure):
            if any(note.find("notations/technical/fingering") is not None for note in chord):
                for note in chord:
                    _finger(note)
    return ET.tostring(score, encoding="unicode")


def _chords(measure: ET.Element) -> Iterator[list[ET.Element]]:
    chord: list[ET.Element] = []
    for note in measure.iter("note"):
        if note.find("chord") is None:
            yield chord
            chord = []
        chord.append(note)
    yield chord


def _finger(note: ET.Element) -> None:
    if note.find("notations/technical/fingering") is None:
        notations = ET.SubElement(note, "notations")
        ET.SubElement(ET.SubElement(notations, "technical"), "fingering").text = NO_FINGER
