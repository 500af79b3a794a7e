"""From an entry to MIDI and back to an entry."""

from collections import Counter
from fractions import Fraction
from functools import cache

import pytest

from tests.demo import GLOSSARY
from transposary.capture.midi import read_midi
from transposary.capture.transcribing import Captured, Wanted, transcribe
from transposary.capture.values import Take
from transposary.engraving.midi import write_midi
from transposary.notes import attacks
from transposary.passage import Passage
from transposary.stretches import unfolded

DEVICES = GLOSSARY.device
PLAIN = [slug for slug, one in DEVICES.items() if not any(note.grace for note in attacks(one.passage))]


@cache
def _there_and_back(slug: str) -> Passage:
    device = DEVICES[slug]
    return _captured(slug, device.tempo or 96, Wanted(key=device.passage.key)).passage


def _captured(slug: str, tempo: int | None, wanted: Wanted) -> Captured:
    device = DEVICES[slug]
    take = read_midi(write_midi(device.passage, tempo=tempo, title=device.title))
    assert isinstance(take, Take)
    captured = transcribe(take, wanted)
    assert isinstance(captured, Captured)
    return captured


def _rhythm(
    passage: Passage, short: set[tuple[Fraction, int]]
) -> Counter[tuple[int, Fraction, Fraction | None, str]]:
    """Lists keys, onsets, lengths where no dot shortens them, and hands where there are two."""
    two = len(passage.hands) == 2
    return Counter(
        (
            note.pitch.midi,
            note.onset,
            None if (note.onset, note.pitch.midi) in short else note.duration,
            note.hand.value if two else "",
        )
        for note in attacks(passage)
    )


@pytest.mark.parametrize("slug", PLAIN)
def test_notes_and_rhythm_come_back(slug: str) -> None:
    """The MIDI file of a device is captured as its notes, lengths, hands and bars, repeats written out."""
    home = unfolded(DEVICES[slug].passage)
    back = _there_and_back(slug)
    short = {
        (event.onset, head.pitch.midi)
        for voice in home.voices
        for event in voice.events
        if event.staccato
        for head in event.heads
    }
    assert _rhythm(back, short) == _rhythm(home, short)
    assert back.meter == home.meter


def test_notes_are_spelled_as_their_author_spelled_them() -> None:
    """Of the notes of all devices, 97 in a hundred and more have the author's own spelling."""
    home, back = Counter[tuple[str, str, Fraction]](), Counter[tuple[str, str, Fraction]]()
    for slug in PLAIN:
        home.update((slug, str(note.pitch), note.onset) for note in attacks(unfolded(DEVICES[slug].passage)))
        passage = _there_and_back(slug)
        back.update((slug, str(note.pitch), note.onset) for note in attacks(passage))
    assert sum((home & back).values()) / sum(home.values()) >= 0.97


@pytest.mark.parametrize("slug", PLAIN[::5])
def test_a_file_without_a_tempo_comes_back_without_one(slug: str) -> None:
    """Where an entry states no tempo, its MIDI file does not, and the draft asks instead of guessing."""
    home = DEVICES[slug].passage
    back = _captured(slug, None, Wanted(key=home.key))
    assert back.tempo is None
    assert back.doubts[0] == "The file states no tempo, and so does the draft: --tempo says one."
    assert back.passage == _there_and_back(slug)


def test_the_tempo_of_a_file_without_one_is_told() -> None:
    """The player's tempo is that of the draft; where notes stand is in the file."""
    back = _captured(PLAIN[0], None, Wanted(tempo=84))
    assert back.tempo == 84
    assert not any("tempo" in doubt for doubt in back.doubts)
