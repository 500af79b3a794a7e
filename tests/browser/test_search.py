"""The theme's search, from the disk and over HTTP."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.reader import ON_DISK, Visit


def _found(page: Page, words: str) -> list[str]:
    page.get_by_role("textbox", name="Search").press_sequentially(words)
    results = page.locator(".md-search-result__item h1")
    expect(results.first).to_be_visible()
    return results.all_inner_texts()


@pytest.mark.parametrize(
    ("words", "title"),
    [
        ("walk-up four", "Walk-up to the four"),
        ("Paperlights at Quillmere", "Paperlights at Quillmere"),
        ("guide tones", "Rootless two–five–one"),
    ],
    ids=["title", "song", "concept"],
)
def test_search_finds_entries_by_title_and_what_they_name(visit: Visit, words: str, title: str) -> None:
    """A device is found by its own name and by the concepts it shows, a song by its title."""
    page = visit(searching=True).open("index.html")
    page.get_by_role("textbox", name="Search").click()
    assert title in _found(page, words)


@ON_DISK
def test_a_question_in_a_sentence_finds_the_lesson_first(visit: Visit) -> None:
    """The words of a question stand on many pages; the lesson on it comes before them."""
    page = visit(searching=True).open("index.html")
    page.get_by_role("textbox", name="Search").click()
    lesson = "What to play over a two–five–one"
    page.get_by_role("textbox", name="Search").press_sequentially("what can I play over a two five one")
    expect(page.locator(".md-search-result__item h1").first).to_have_text(lesson)
