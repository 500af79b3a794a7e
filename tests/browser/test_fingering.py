"""Fingers under the notes, on the keyboard, and in the table."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.reader import DEVICE, ON_DISK, Visit


@ON_DISK
def test_fingers_stand_under_the_notes_of_each_key(visit: Visit) -> None:
    """On request: the author's own at home, bent where the thumb would come onto black."""
    page = visit().open(DEVICE)
    words = page.locator("figure[data-slot]:visible svg [data-note] > text")
    page.get_by_label("Under the notes").select_option("fingering (suggested)")
    assert words.all_text_contents() == ["5", "3", "2", "1"]
    page.get_by_role("tab", name="E♭", exact=True).click()
    assert words.all_text_contents() == ["4", "3", "1", "2"]
    board = page.locator("figure:visible .tp-strip svg")
    expect(board).to_have_attribute("aria-label", "Keyboard: left hand E♭2 (4), F2 (3), G2 (1), A♭2 (2)")


@ON_DISK
def test_the_table_of_fingers_needs_no_script(visit: Visit) -> None:
    """It opens, names the keys that share a row, and scrolls by itself on a phone."""
    page = visit(width=360, scripts=False).open(DEVICE)
    page.get_by_text("Left hand, 3 fingerings for twelve keys").click()
    table = page.locator(".tp-fingers")
    assert [row.split("\t")[0] for row in table.inner_text().splitlines()] == [
        "Bar",
        "Degree",
        "C, D, E, G♭, G, A and B",
        "D♭, E♭, A♭ and B♭",
        "F",
    ]
    assert page.locator("tr:has-text('D♭, E♭') td").all_text_contents() == ["4", "3", "1", "2"]
