"""Scores that nobody here wrote: outer voices of chorales and a prelude by Bach, from music21's corpus.

What a passage does not carry (lyrics, fermatas, the other parts) is taken out; the notes are
held against what the standard library finds in the same XML. Chorales whose editor parted
bars at the ends of phrases are left out: the reader refuses bars that do not fill their meter.
"""

import xml.etree.ElementTree as ET
from importlib.util import find_spec
from pathlib import Path

import pytest

from tests.outside.musicxml_notes import written, written_in
from transposary.passage import Hand
from transposary.problems import Place, errors
from transposary.reading.score import read_score
from transposary.reading.score.container import unpack

CHORALES = (
    *("bwv1.6", "bwv117.4", "bwv137.5", "bwv158.4", "bwv175.7", "bwv194.6", "bwv227.1", "bwv244.40"),
    *("bwv248.23-2", "bwv26.6", "bwv292", "bwv329", "bwv366", "bwv40.3", "bwv66.6", "bwv846"),
)
TAKEN_OUT = ("lyric", "fermata", "direction", "transpose")


def _chorale(name: str) -> Path:
    spec = find_spec("music21")
    assert spec is not None
    assert spec.submodule_search_locations is not None
    return Path(spec.submodule_search_locations[0]) / "corpus" / "bach" / f"{name}.mxl"


def _outer_voices(path: Path) -> str:
    text = unpack(path.read_bytes(), path.name)
    assert isinstance(text, str)
    score = ET.fromstring(text)
    parts = score.findall("part")
    for part in parts[1:-1]:
        score.remove(part)
    kept = {parts[0].get("id"), parts[-1].get("id")}
    names = score.find("part-list")
    assert names is not None
    for name in list(names):
        if name.get("id") not in kept:
            names.remove(name)
    for parent in list(score.iter()):
        for child in list(parent):
            if child.tag in TAKEN_OUT:
                parent.remove(child)
    return ET.tostring(score, encoding="unicode")


@pytest.mark.parametrize("name", CHORALES)
def test_reads_every_note(name: str) -> None:
    """Pitches, onsets, durations and ties of both hands are those of the XML."""
    text = _outer_voices(_chorale(name))
    passage, problems = read_score(text.encode(), f"{name}.musicxml", Place("x.md"), None)
    assert errors(problems) == ()
    assert passage is not None
    assert passage.hands == (Hand.RIGHT, Hand.LEFT)
    assert written(passage) == written_in(text)
