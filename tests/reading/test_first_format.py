"""Entries as the first version wrote them, which every later one reads."""

from pathlib import Path

from transposary.check import check_device, check_reading
from transposary.glossary import Kind
from transposary.problems import errors
from transposary.reading import read_glossary
from transposary.settings import Settings

ENTRIES = Path(__file__).parent / "first_format"


def test_entries_of_the_first_format_are_read() -> None:
    """Every field of the first format is read, and means what it meant."""
    reading = read_glossary(ENTRIES)
    settings = Settings(14, {}, 1)
    checked = {device.slug: check_device(device, settings) for device in reading.glossary.devices}
    assert [str(problem) for problem in errors(check_reading(reading, settings, checked))] == []
    found = [(source.parent.name, source.stem) for source in sorted(ENTRIES.glob("*/*.md"))]
    assert len(found) == 6
    assert {kind for kind, _ in found} == set(Kind)
