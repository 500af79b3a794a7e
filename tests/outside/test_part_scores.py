"""Parts by command: a sample of `part_scores`, which goes through all of them."""

from __future__ import annotations

from pathlib import Path

import pytest
import xmlschema

from tests.outside.part_scores import DEVICES, INSTRUMENTS, faults, lines_of
from transposary.cli import main
from transposary.theory.keys import SLOTS
from transposary.theory.parts import Part


@pytest.mark.parametrize("part", INSTRUMENTS, ids=lambda part: part.slug)
def test_a_part_is_valid_and_sounds_at_concert_pitch(schema: xmlschema.XMLSchema10, part: Part) -> None:
    """In every key, of one device or another, each line is valid and sounds the notes of the device."""
    start = 7 * INSTRUMENTS.index(part)
    for turn, slot in enumerate(SLOTS):
        device = DEVICES[(start + 5 * turn) % len(DEVICES)]
        for line in lines_of(device, slot, part)[:2]:
            assert faults(schema, device, slot, part, line) == [], (device.slug, slot, line.name)


def test_a_part_by_command(capsys: pytest.CaptureFixture[str]) -> None:
    """The command writes a part, and names the lines where there is none of the name given."""
    home = ("--folder", str(Path(__file__).parents[2]))
    words = ("score", "device", "walk-up-to-the-four", "--part", "alto", "--key", "Eb", *home)
    assert main([*words, "--line", "voice-9"]) == 2
    assert capsys.readouterr().err == (
        "expected a line of Walk-up to the four, found `voice-9`; the part has line\n"
    )
    assert main([*words, "--format", "abc"]) == 2
    assert capsys.readouterr().err == "only MusicXML says what a part sounds; leave out --format\n"
