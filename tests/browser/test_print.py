"""Clean pages to play from."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.browser.reader import ON_DISK, Visit, wait_until

WALK = "devices/walk-up-to-the-four.html"
_A4 = {"width": 690, "height": 1000}
"""The space within the margins of a sheet of A4, in pixels of a 96th of an inch, rounded down."""

_TALLEST = """() => Math.max(...[...document.querySelectorAll('.tp-engraving')]
  .filter((one) => one.offsetParent)
  .map((one) => getComputedStyle(one).breakInside === 'avoid' ? one.offsetHeight : Infinity))"""


def _press(page: Page, button: str) -> None:
    """Presses a button that prints, and looks at the page as the printer gets it."""
    # Within a function: one that an expression gives is called at once.
    page.evaluate(
        "() => { window.print = () => { window.printed = true; dispatchEvent(new Event('beforeprint')); }; }"
    )
    page.get_by_role("button", name=button, exact=True).click()
    wait_until(page, "window.printed")
    page.set_viewport_size(_A4)
    page.emulate_media(media="print")


def _pages(page: Page) -> int:
    """Counts the pages that come out."""
    return page.pdf(format="A4").count(b"/Type /Page\n")


def _shown(page: Page) -> list[str]:
    return page.locator("figure[data-slot]:visible").evaluate_all(
        "(all) => all.map((one) => one.dataset.slot)"
    )


@ON_DISK
@pytest.mark.parametrize("part", ["concert pitch", "E♭ alto saxophone"])
def test_a_device_prints_in_every_key(visit: Visit, part: str) -> None:
    """Title, summary and twelve engravings for the part chosen, none of them cut, on numbered pages."""
    page = visit(dark=True).open(WALK)
    page.get_by_label("Written for").select_option(part)
    page.get_by_text("Print", exact=True).click()
    page.get_by_role("button", name="All", exact=True).click()
    _press(page, "Print these keys")
    assert page.locator("figure[data-slot] > .tp-engraving:visible").count() == 12
    assert 0 < page.evaluate(_TALLEST) < _A4["height"]
    for gone in (".md-header", ".md-tabs", ".tp-picker", ".tp-tools", ".tp-facts", ".tp-body"):
        assert not page.locator(gone).is_visible(), gone
    assert (
        page.locator("body").evaluate("(one) => getComputedStyle(one).backgroundColor")
        == "rgb(255, 255, 255)"
    )
    foot = page.evaluate("document.adoptedStyleSheets.map((one) => one.cssRules[0]?.cssText).join()")
    reader = "" if part == "concert pitch" else f", for {part}"
    assert f'content: "Walk-up to the four{reader}"' in foot
    assert _pages(page) == 3


@ON_DISK
def test_the_keys_chosen_are_printed_and_the_page_comes_back(visit: Visit) -> None:
    """Two keys come on one page; afterwards the page shows the one key that it showed."""
    page = visit().open(f"{WALK}#Eb")
    page.get_by_text("Print", exact=True).click()
    assert page.get_by_role("checkbox", name="E♭").is_checked()
    page.get_by_role("checkbox", name="A", exact=True).check()
    _press(page, "Print these keys")
    assert _shown(page) == ["Eb", "A"]
    assert _pages(page) == 1
    wait_until(page, "!document.body.classList.contains('tp-sheet')")
    assert _shown(page) == ["Eb"]


@ON_DISK
def test_nothing_is_printed_without_a_key(visit: Visit) -> None:
    """The button waits for a key."""
    page = visit().open(WALK)
    page.get_by_text("Print", exact=True).click()
    page.get_by_role("button", name="None", exact=True).click()
    assert page.get_by_role("button", name="Print these keys").is_disabled()


@ON_DISK
def test_a_hand_out_prints_whole_for_the_part(visit: Visit) -> None:
    """Charts and engravings are written for the horn, and no engraving is cut."""
    page = visit().open("collections/saturday-set.html")
    page.get_by_label("Written for").select_option("horn in F")
    _press(page, "Print")
    assert page.locator(".tp-handout .tp-chord").first.inner_text() == "Am7"
    assert page.locator(".tp-handout .tp-text").first.inner_text() == "A dorian, 4/4"
    assert 0 < page.evaluate(_TALLEST) < _A4["height"]
    for gone in (".md-header", ".md-tabs", ".tp-parts", "button.tp-print"):
        assert not page.locator(gone).is_visible(), gone
    assert 4 <= _pages(page) <= 7
