"""The ABC reader as a whole: text in, passage and problems out."""

from __future__ import annotations

from transposary.notes import notes
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc


def test_reads_a_device_in_one_hand() -> None:
    """A bass line becomes a left hand with the pitches of its key."""
    text = 'M: 4/4\nL: 1/8\nK: G clef=bass\n"G" G,,4 A,,2 B,,2 | "C" C,4 z4 |'
    passage, problems = read_abc(SourceText(text, Place("devices/x.md", 14, 3), indent=2), None)
    assert problems == ()
    assert passage is not None
    assert [str(note.pitch) for note in notes(passage)] == ["G2", "A2", "B2", "C3"]
    assert [voice.name for voice in passage.voices] == ["LH"]
    assert [str(symbol) for symbol in passage.symbols] == ["G", "C"]
