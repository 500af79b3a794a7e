"""Light and dark pages, phones, and readers who cannot see the engravings."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.browser.reader import DEVICE, ON_DISK, Visit, one_of_each_kind

# Lists of what is right are long and take their time.
ALL = {"resultTypes": ["violations"]}
# What depends on the scheme; the rest is the same in both.
COLOURS = {**ALL, "runOnly": {"type": "tag", "values": ["cat.color"]}}
SHORTER = """() => {
  for (const one of document.querySelectorAll(".md-content li:nth-child(n + 6)")) one.remove();
}"""


@ON_DISK
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_no_kind_of_page_has_a_barrier(pages: tuple[str, ...], visit: Visit, *, dark: bool) -> None:
    """Axe-core finds no violation of its rules on any kind of page.

    In the dark, where it asks for colours alone, of every list the first five items are enough.
    """
    reader = visit(dark=dark)
    axe = Axe()
    violations = {}
    for address in one_of_each_kind(pages):
        page = reader.open(address)
        if dark:
            page.evaluate(SHORTER)
        results = axe.run(page, options=COLOURS if dark else ALL)
        if results.violations_count:
            violations[address] = results.generate_report()
    assert violations == {}


@ON_DISK
def test_engravings_take_the_colour_of_the_text(visit: Visit) -> None:
    """Notes are dark on light pages and light on dark ones."""
    inks = []
    for dark in (False, True):
        page = visit(dark=dark).open(DEVICE)
        drawn = page.locator("figure[data-slot]:visible svg [data-note] use").first
        colour = drawn.evaluate("shape => getComputedStyle(shape).fill")
        assert colour == page.locator("body").evaluate("body => getComputedStyle(body).color")
        inks.append(colour)
    assert inks[0] != inks[1]


@ON_DISK
def test_staves_on_a_telephone_are_large_enough_to_read(visit: Visit) -> None:
    """From the bottom to the top line a staff measures at least 24 pixels, also of parts and answers."""
    page = visit(width=360).open(DEVICE)
    # The first shapes of a bar are its staff lines, joined into one path.
    heights = """() => [...document.querySelectorAll("svg")]
      .filter((one) => one.checkVisibility() && one.querySelector("[data-bar] path"))
      .map((one) => one.querySelector("[data-bar] path").getBoundingClientRect().height)"""
    measured = page.evaluate(heights)
    page.get_by_label("Written for").select_option("horn in F")
    expect(page.locator("figure:visible > .tp-part.tp-engraving")).to_be_visible()
    measured += page.evaluate(heights)
    page = visit(width=360).open("find.html?of=1+2+3+4")
    expect(page.locator(".tp-found svg").first).to_be_visible()
    measured += page.evaluate(heights)
    page = visit(width=360).open("collections/saturday-set.html")
    measured += page.evaluate(heights)
    assert len(measured) > 6
    assert min(measured) >= 24


@ON_DISK
def test_on_paper_engravings_are_black_and_the_controls_are_gone(visit: Visit) -> None:
    """A dark page prints black on white, without what only works on a screen."""
    page = visit(dark=True).open(DEVICE)
    page.emulate_media(media="print")
    drawn = page.locator("figure[data-slot]:visible svg [data-note] use").first
    assert drawn.evaluate("shape => getComputedStyle(shape).fill") == "rgb(0, 0, 0)"
    for control in (".md-header", ".tp-picker", ".tp-all", ".tp-downloads"):
        assert not page.locator(control).first.is_visible()
