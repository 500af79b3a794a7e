"""Devices carried over to songs: what the reader sees when a place is opened."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.reader import DEVICE, ON_DISK, Visit

SONG = "songs/paperlights-at-quillmere.html"


@pytest.mark.parametrize(("base", "address"), [("file", DEVICE), ("http", SONG)], indirect=["base"])
def test_opening_a_place_shows_the_notes_there(visit: Visit, address: str) -> None:
    """The engraving comes when the details are opened, once, drawn and with its glyphs on the page."""
    page = visit().open(address)
    box = page.locator("details.tp-there[data-later]").first
    box.evaluate("box => box.setAttribute('id', 'chosen')")
    box = page.locator("#chosen")
    expect(box.locator("svg")).to_have_count(0)
    for _ in range(3):
        box.locator("summary").first.click()
    expect(box.locator("figure.tp-later svg[role=img]")).to_have_count(1)
    missing = box.evaluate(
        "box => [...box.querySelectorAll('use')].map((use) => use.getAttribute('href').slice(1))"
        ".filter((id) => document.querySelectorAll(`[id='${id}']`).length !== 1)"
    )
    assert missing == []
    assert box.locator("svg[role=img]").evaluate("svg => svg.getBBox().width") > 0


@ON_DISK
def test_a_file_that_is_missing_is_said(visit: Visit) -> None:
    """Where the notes cannot be fetched the details say so."""
    box = visit().open(DEVICE).locator("details.tp-there").first
    box.evaluate("box => { box.dataset.later = 'missing.js' }")
    box.locator("summary").first.click()
    expect(box.locator("figure.tp-later")).to_have_text("This could not be loaded.")


@ON_DISK
def test_its_notes_wear_what_the_reader_chooses(visit: Visit) -> None:
    """Names of the notes there, by the choice for the device, and degrees again as engraved."""
    page = visit().open(DEVICE)
    box = page.locator("details.tp-there").first
    box.locator("summary").first.click()
    expect(box.locator("svg[role=img]")).to_have_count(1)
    words = box.locator("[data-note] > text")
    degrees = words.all_text_contents()
    assert degrees == ["1", "2", "3", "4"]
    choice = page.get_by_label("Under the notes")
    choice.select_option("note names")
    assert words.all_text_contents() == ["A", "B", "C♯", "D"]
    choice.select_option("nothing")
    assert words.all_text_contents() == [""] * len(degrees)
    choice.select_option("degrees")
    assert words.all_text_contents() == degrees
