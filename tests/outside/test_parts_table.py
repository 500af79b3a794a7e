"""Parts against the tables of transposing instruments, and against music21.

Sources: `instruments`; the instruments of music21; the MusicXML 4.0 element `transpose` as music21
reads it.
"""

from __future__ import annotations

from typing import Any

import pytest
from music21 import converter, instrument, interval, pitch

from tests.engraving.samples import STEPPING_OUT
from tests.outside.instruments import CONCERT, MUSIC21, SOUNDS, WRITTEN
from tests.repertoire.songs import key_of
from tests.theory.abc import passage
from transposary.engraving.musicxml import write_part
from transposary.glossary import Device, Role
from transposary.notes import attacks
from transposary.passage import Key, Passage
from transposary.pitch import pretty
from transposary.problems import Place
from transposary.settings import Settings
from transposary.theory.keys import placements
from transposary.theory.part_lines import part_lines
from transposary.theory.parts import PARTS, Part, sounding_interval, written_slot
from transposary.theory.transposition import place

BY_NAME = {part.name: part for part in PARTS}
LINES = [
    (part, concert, written.split("="))
    for part, row in WRITTEN.items()
    for concert, written in zip(CONCERT, row, strict=True)
]
DEVICE = Device("x", "X", "X.", (Role.BASS,), STEPPING_OUT, Place(""), Place(""))
IN_SLOT = {one.slot: place(STEPPING_OUT, one) for one in placements(STEPPING_OUT, DEVICE.compass, Settings())}


def _line(part: Part, slot: str) -> Passage:
    """Gives what a part reads while the others sound in a slot."""
    assert part.clef is not None
    (line,) = part_lines(DEVICE, IN_SLOT[written_slot(part, slot)], part.clef)
    return line.passage


@pytest.mark.parametrize(("name", "concert", "written"), LINES)
def test_a_part_is_written_in_the_key_of_the_table(name: str, concert: str, written: list[str]) -> None:
    """What sounds in a key is read in that of the table, or in its twin where the table leaves it open."""
    part = BY_NAME[name]
    line = _line(part, concert)
    assert str(line.key.tonic) in written
    up = sounding_interval(part, IN_SLOT[concert].key, line.key)
    sounding = [note.pitch.name for note in attacks(IN_SLOT[concert])]
    assert [note.pitch.name.up(up) for note in attacks(line)] == sounding


@pytest.mark.parametrize("name", SOUNDS)
def test_a_part_sounds_as_far_below_as_the_table_says(name: str) -> None:
    """The interval of a part is that of the table, in letters, semitones and octaves."""
    steps, semitones, octaves = SOUNDS[name]
    sounds = sounding_interval(BY_NAME[name], key_of("C"), _line(BY_NAME[name], "C").key)
    assert (sounds.steps, sounds.semitones) == (steps + 7 * octaves, semitones + 12 * octaves)


@pytest.mark.parametrize("name", MUSIC21)
def test_music21_transposes_alike(name: str) -> None:
    """A written C sounds where the instruments of music21 sound it."""
    low = -BY_NAME[name].interval
    for kind in MUSIC21[name]:
        one = getattr(instrument, kind)()
        assert one.transposition is not None
        assert one.transposition.semitones == low.semitones
        assert interval.Interval(one.transposition.directedName).generic.staffDistance == low.steps


def _sounding(score: Any) -> list[tuple[int, float]]:  # noqa: ANN401 - music21 has no types
    part = score.parts[0].toSoundingPitch().stripTies()
    return [(p.midi, float(n.quarterLength)) for n in part.flatten().notes for p in n.pitches if n.isNote]


@pytest.mark.parametrize("part", PARTS[1:], ids=lambda part: part.slug)
@pytest.mark.parametrize("slot", ["Gb", "B"])
def test_a_written_part_sounds_the_line_of_the_device(part: Part, slot: str) -> None:
    """Read back by music21 and brought to concert pitch, a part sounds the device's notes, octaves aside."""
    concert, line = IN_SLOT[slot], _line(part, slot)
    sounds = sounding_interval(part, concert.key, line.key)
    score = converter.parseData(write_part(line, name=part.name, sounds=sounds), format="musicxml")
    heard = _sounding(score)
    wanted = [(note.pitch.midi, float(note.duration)) for note in attacks(concert)]
    assert [(midi % 12, length) for midi, length in heard] == [(midi % 12, length) for midi, length in wanted]
    assert len({midi - other for (midi, _), (other, _) in zip(heard, wanted, strict=True)}) == 1
    assert pretty(str(score.parts[0].partName)) == pretty(part.name)


def test_a_respelled_key_sounds_in_the_letters_of_the_concert_key() -> None:
    """Concert B is written A flat for an alto, a diminished seventh up, and sounds B and not C flat."""
    concert, written = IN_SLOT["B"].key, _line(BY_NAME["E♭ alto saxophone"], "B").key
    sounds = sounding_interval(BY_NAME["E♭ alto saxophone"], concert, written)
    tune = passage("M:4/4\nL:1/1\nK:Ab\nA |]")
    text = write_part(tune, name="alto", sounds=sounds)
    assert "<transpose><diatonic>-6</diatonic><chromatic>-9</chromatic></transpose>" in text
    (note,) = converter.parseData(text, format="musicxml").parts[0].toSoundingPitch().flatten().notes
    assert note.pitch == pitch.Pitch("B3")
    assert Key(written.tonic.up(sounds)) == concert
