"""The page that listens to a device being played."""

from __future__ import annotations

from collections.abc import Sequence

from playwright.sync_api import Page, expect

from tests.browser.reader import DEVICE, ON_DISK, Reader, Visit
from tests.browser.test_find import KEYBOARD


def _listening(visit: Visit) -> Reader:
    reader = visit()
    reader.page.add_init_script(KEYBOARD)
    page = reader.open(f"{DEVICE}#G")
    page.get_by_role("button", name="Let the page listen").click()
    page.get_by_role("button", name="Listen to a MIDI keyboard").click()
    expect(page.get_by_role("button", name="Listening to Stage keys")).to_be_visible()
    return reader


def _play(page: Page, notes: Sequence[tuple[int, float]]) -> None:
    for midi, time in notes:
        page.evaluate("([midi, time]) => press(midi, time)", [midi, 1000 * (1 + time)])


@ON_DISK
def test_right_wrong_and_late_are_told_apart(visit: Visit) -> None:
    """All right says so; a wrong key and a late landing are named with bar and beat."""
    reader = _listening(visit)
    page = reader.page
    status = page.locator(".tp-listen [role=status]")
    expect(status).to_have_text("Play it in G, from bar 1, beat 1.")
    _play(page, [(43, 0), (45, 1), (47, 1.5), (48, 2)])
    expect(status).to_have_text("All 4 right.")
    _play(page, [(43, 10), (46, 11), (45, 11.1), (47, 11.5), (48, 12)])
    expect(status).to_have_text("3 of 4 right. To repair:")
    expect(page.locator(".tp-repairs li")).to_have_text(["bar 1, beat 3: B♭2 does not belong here; it is A2"])
    assert page.locator("figure[data-slot='G'] [data-played='wrong'] > .tp-verdict").count() == 1
    _play(page, [(43, 20), (45, 21), (47, 21.5), (48, 22.4)])
    expect(page.locator(".tp-repairs li")).to_have_text(["bar 2, beat 1: late by 0.8 of a beat"])
    assert page.locator(".tp-verdict").count() == 1
    assert page.locator("[data-played='late'] > .tp-verdict").count() == 1
    assert reader.faults == []


@ON_DISK
def test_the_key_shown_is_the_key_listened_for(visit: Visit) -> None:
    """In another key other notes are right, and the keyboard on the page plays them without a clock."""
    reader = visit()
    page = reader.open(f"{DEVICE}#C")
    page.get_by_role("button", name="Let the page listen").click()
    keys = page.get_by_role("group", name="Keyboard to play on")
    tonic = page.evaluate("transposary.notes(document.querySelector('[data-home]')).keys.C.midi")
    for midi in tonic:
        keys.locator(f"[data-midi='{midi}']").dispatch_event("pointerdown", {"button": 0})
    expect(page.locator(".tp-listen [role=status]")).to_have_text("All 4 right.")
    assert reader.faults == []
