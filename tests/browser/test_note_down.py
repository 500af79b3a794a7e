"""The page on which an idea is noted down by playing it."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.reader import ON_DISK, Visit
from tests.browser.test_find import KEYBOARD
from tests.site.book import write
from transposary.reading import read_glossary


@ON_DISK
@pytest.mark.parametrize(
    ("way", "notes", "degrees", "pitches"),
    [
        ("step", [(43, 0), (46, 3000), (47, 6000), (48, 7000)], "1 b3 3 4", "G2 Bb2 B2 C3"),
        ("pulse", [(43, 0), (45, 1270), (47, 1860), (48, 2490)], "1 2 3 | 4", "G2 A2 B2 C3"),
    ],
    ids=["step", "pulse"],
)
def test_what_is_played_becomes_an_entry_that_can_be_read(
    visit: Visit, tmp_path: Path, way: str, notes: list[tuple[int, int]], degrees: str, pitches: str
) -> None:
    """The draft has the notes that were played, spelled for the key, and its claim is quoted."""
    reader = visit()
    reader.page.add_init_script(KEYBOARD)
    page = reader.open("note-down.html")
    page.get_by_label("Tonic").select_option("G")
    page.get_by_label("Played").select_option(way)
    page.get_by_role("button", name="Listen to a MIDI keyboard").click()
    expect(page.get_by_role("button", name="Listening to Stage keys")).to_be_visible()
    for midi, time in notes:
        page.evaluate("([midi, time]) => press(midi, time)", [midi, 1000 + time])
    text = page.get_by_label("As a draft entry").input_value()
    assert f'  degrees: "{degrees}"' in text
    reading = read_glossary(write(tmp_path, {"devices/idea.md": text}))
    assert [str(problem) for problem in reading.problems] == []
    heads = [h for event in reading.glossary.device["idea"].passage.voices[0].events for h in event.heads]
    assert " ".join(str(head.pitch) for head in heads) == pitches
    assert reader.faults == []
