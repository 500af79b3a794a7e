"""What the demo says that it has from a print, held against the print.

Source: Ryan's Mammoth Collection (Boston 1883), as transcribed in music21's corpus.
"""

from __future__ import annotations

from music21 import corpus
from music21.note import Note

from tests.demo import GLOSSARY
from transposary.notes import attacks


def test_the_close_of_the_hornpipe_is_that_of_the_book() -> None:
    """The device has the pitches and lengths with which the book ends Fisher's Hornpipe."""
    printed = list(corpus.parse("ryansMammoth/FishersHornpipe").flatten().notes)[-11:]
    assert all(isinstance(note, Note) for note in printed)
    device = GLOSSARY.device["hornpipe-close"]
    own = [(note.pitch.midi, note.duration) for note in attacks(device.passage)]
    assert own == [(note.pitch.midi, note.quarterLength) for note in printed]
