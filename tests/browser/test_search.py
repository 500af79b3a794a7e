"""The theme's search, from the disk and over HTTP."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.reader import ON_DISK, Visit


def test_search_finds_entries_by_title_and_what_they_name(visit: Visit) -> None:
    """A device is found by its own name and by the concepts it shows, a song by its title."""
    page = visit(searching=True).open("index.html")
    box = page.get_by_role("textbox", name="Search")
    box.click()
    found = page.locator(".md-search-result__item h1")
    for words, title in (
        ("walk-up four", "Walk-up to the four"),
        ("Paperlights at Quillmere", "Paperlights at Quillmere"),
        ("guide tones", "Rootless two–five–one"),
    ):
        box.press("Control+A")
        box.press_sequentially(words)
        expect(found.filter(has_text=re.compile(rf"^\s*{title}\s*$"))).to_be_visible()


@ON_DISK
def test_a_question_in_a_sentence_finds_the_lesson_first(visit: Visit) -> None:
    """The words of a question stand on many pages; the lesson on it comes before them."""
    page = visit(searching=True).open("index.html")
    page.get_by_role("textbox", name="Search").click()
    lesson = "What to play over a two–five–one"
    page.get_by_role("textbox", name="Search").press_sequentially("what can I play over a two five one")
    expect(page.locator(".md-search-result__item h1").first).to_have_text(lesson)
