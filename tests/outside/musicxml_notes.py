"""The notes of a MusicXML text, read with the standard library alone."""

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from transposary.notes import TieState, notes
from transposary.passage import Passage

_SIGNS = {"-2": "bb", "-1": "b", "0": "", "1": "#", "2": "##"}


class Written(NamedTuple):
    """A written note: onset from the start of the music and duration in quarter notes."""

    onset: Fraction
    grace: bool
    pitch: str
    duration: Fraction
    tied: bool


def written(passage: Passage) -> list[Written]:
    """Lists the notes of a passage."""
    start = passage.bars[0].onset
    return sorted(
        Written(
            note.onset - start,
            note.grace,
            str(note.pitch),
            note.duration,
            note.tie in (TieState.START, TieState.CONTINUE),
        )
        for note in notes(passage)
    )


def written_in(text: str) -> list[Written]:
    """Lists the notes of a partwise MusicXML text."""
    return sorted(_notes(ET.fromstring(text)))


def _notes(score: ET.Element) -> Iterator[Written]:
    for part in score.iter("part"):
        now = struck = Fraction(0)
        divisions = 1
        for element in part.iter():
            if element.tag == "divisions":
                divisions = int(element.text or 1)
            elif element.tag in {"backup", "forward"}:
                now += _duration(element, divisions) * (1 if element.tag == "forward" else -1)
            elif element.tag == "note":
                duration = _duration(element, divisions)
                if element.find("chord") is None:
                    struck = now
                    now += duration
                if element.find("pitch") is not None:
                    grace = element.find("grace") is not None
                    yield Written(struck, grace, _pitch(element), duration, _tied(element))


def _duration(element: ET.Element, divisions: int) -> Fraction:
    return Fraction(int(element.findtext("duration", "0")), divisions)


def _pitch(note: ET.Element) -> str:
    sign = _SIGNS[note.findtext("pitch/alter", "0")]
    return note.findtext("pitch/step", "") + sign + note.findtext("pitch/octave", "")


def _tied(note: ET.Element) -> bool:
    return any(tie.get("type") == "start" for tie in note.findall("tie"))
