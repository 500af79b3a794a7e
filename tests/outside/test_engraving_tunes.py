"""A hundred tunes in twelve keys, from the reader through the engraver without a lost note.

Source of the tunes: see tunes.py. What is counted is counted in the SVG and in the MIDI file, the
latter read by mido.
"""

import re
from io import BytesIO

import mido
import pytest

from tests.outside.tunes import tunes
from transposary.engraving import Engraving, Job, engrave
from transposary.engraving.midi import write_midi
from transposary.notes import attacks, notes
from transposary.passage import Passage
from transposary.settings import Settings
from transposary.stretches import unfolded
from transposary.theory.keys import Placement, placements
from transposary.theory.transposition import place

TUNES = tunes()
_CHUNK = 50
_APART = 3


def _keys(tune: Passage) -> list[tuple[Placement, Passage]]:
    return [(one, place(tune, one)) for one in placements(tune, None, Settings())]


def _bare(passage: Passage) -> tuple[str, ...]:
    return ("",) * len(notes(passage))


def _struck(midi: bytes) -> list[int]:
    file = mido.MidiFile(file=BytesIO(midi))
    return [m.note for track in file.tracks for m in track if m.type == "note_on" and m.velocity]


@pytest.mark.parametrize("first", range(0, len(TUNES), _CHUNK))
def test_no_note_is_lost_in_any_key(first: int) -> None:
    """Every written note is in the drawing, and every struck one in the MIDI file, shifted.

    The file is written in twelve keys; each tune is drawn in four of them, the next one in four others,
    and each key with a third of the tunes.
    """
    chosen = {name: _keys(TUNES[name]) for name in list(TUNES)[first : first + _CHUNK]}
    jobs = [
        Job(name, placement.slot, passage, _bare(passage), like=(keys[0][1], _bare(keys[0][1])))
        for number, (name, keys) in enumerate(chosen.items(), first)
        for placement, passage in keys[number % _APART :: _APART]
    ]
    for job, drawn in zip(jobs, engrave(jobs, 0), strict=True):
        assert isinstance(drawn, Engraving), drawn
        found = sorted({int(index) for index in re.findall(r'data-note="(\d+)"', drawn.svg)})
        assert found == list(range(len(notes(job.passage)))), (job.slug, job.slot)
    for name, keys in chosen.items():
        home = [note.pitch.midi for note in attacks(unfolded(TUNES[name]))]
        for placement, passage in keys:
            shift = placement.shift(passage.hands[0])
            played = _struck(write_midi(passage, tempo=None, title=name))
            assert sorted(played) == sorted(number + shift for number in home), (name, placement.slot)


def test_no_key_signature_needs_double_accidentals() -> None:
    """In twelve keys no tune has more than six sharps or flats in its signature, but its home may."""
    wide = {
        (name, placement.slot)
        for name, tune in TUNES.items()
        for placement in placements(tune, None, Settings())
        if placement.key != tune.key and abs(placement.key.signature) > 6
    }
    assert wide == set()
    assert len(TUNES) == 100
