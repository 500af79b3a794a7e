"""Written keys against the table of transposing instruments (`instruments`)."""

from __future__ import annotations

import pytest

from tests.outside.instruments import CONCERT, WRITTEN
from tests.repertoire.songs import key_of
from transposary.theory.parts import PARTS, moves_of

LINES = [
    (part, concert, written.split("="))
    for part, row in WRITTEN.items()
    for concert, written in zip(CONCERT, row, strict=True)
]


@pytest.mark.parametrize(("name", "concert", "written"), LINES)
def test_a_part_is_written_in_the_key_of_the_table(name: str, concert: str, written: list[str]) -> None:
    """What sounds in a key is read in that of the table, or in its twin where the table leaves it open."""
    part = next(one for one in PARTS if one.name == name)
    key = key_of(concert)
    assert str(key.tonic.up(moves_of(key, {})[part.interval.semitones])) in written
