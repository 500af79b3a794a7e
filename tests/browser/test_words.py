"""Every engraving of the published pages has its words: for who listens, and for who cannot read notes."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.reader import DEVICE, ON_DISK, Visit

# Drawings hold no drawings. What stands behind one is compared, so that any other markup is a fault.
_DRAWING = re.compile(r'<svg (?P<attributes>[^>]*\brole="img"[^>]*)>.*?</svg>(?P<behind>.{0,400})', re.DOTALL)
_NAME = re.compile(r'(?:^| )aria-label="Notation, said in words below: [^"]{8,}"')
_WORDS = re.compile(r'\s*</div>\s*<details class="tp-words"><summary>The notes in words</summary><p>[^<]{8,}')
# The drawings of notes in sight that have no name, or no words beside them.
_WORDLESS = """() => [...document.querySelectorAll(".md-content .tp-engraving svg[role='img']")]
  .filter((svg) => svg.checkVisibility())
  .filter((svg) => {
    const frame = svg.closest(".tp-engraving");
    const own = frame.matches(".tp-part") ? ".tp-part" : ":not(.tp-part)";
    const words = frame.parentElement.querySelector(`:scope > details.tp-words${own}`);
    const named = (svg.getAttribute("aria-label") || "").length > 20;
    return !(named && words && words.textContent.length > "The notes in words".length + 8);
  })
  .map((svg) => svg.outerHTML.slice(0, 120))"""
SONG = "songs/boatyard-boogie.html"


def test_every_engraving_has_its_words(site: Path, pages: tuple[str, ...]) -> None:
    """A drawing of notes is an image with a name, and the notes in words stand behind it."""
    drawings = [
        (name, drawing)
        for name in pages
        for drawing in _DRAWING.finditer((site / name).read_text(encoding="utf-8"))
    ]
    assert len(drawings) > 500
    wordless = [
        f"{name}: {drawing['attributes']}"
        for name, drawing in drawings
        if not (_NAME.search(drawing["attributes"]) and _WORDS.match(drawing["behind"]))
    ]
    assert wordless == []


def _open_places(page: Page) -> None:
    places = page.locator("details[data-later]")
    for _ in range(min(places.count(), 4)):
        places.first.locator("summary").first.click()
    expect(page.locator(".tp-later svg[role=img]").first).to_be_visible()


@ON_DISK
def test_engravings_that_come_later_have_their_words(visit: Visit) -> None:
    """So do other keys, what other instruments read, and the device carried over to a song."""
    page = visit().open(f"{DEVICE}#Gb")
    _open_places(page)
    assert page.evaluate(_WORDLESS) == []
    for part in ("B♭ trumpet or clarinet", "bass clef (trombone, cello)"):
        page.get_by_label("Written for").select_option(part)
        expect(page.locator(f"figure:visible > .tp-part svg[aria-label*='{part}']")).to_be_visible()
        assert page.evaluate(_WORDLESS) == []
    page.get_by_role("button", name="All twelve keys").click()
    expect(page.locator("figure[data-slot] > .tp-part.tp-engraving")).to_have_count(12)
    assert page.evaluate(_WORDLESS) == []


@ON_DISK
def test_engravings_of_a_song_that_come_later_have_their_words(visit: Visit) -> None:
    """The notes of a device at a place of a song come with their words."""
    page = visit().open(SONG)
    _open_places(page)
    assert page.evaluate(_WORDLESS) == []
