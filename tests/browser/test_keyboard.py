"""Readers who use the keyboard alone, and readers who want no motion."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.reader import DEVICE, ON_DISK, Visit

FIND = "find.html"
SONG = "songs/boatyard-boogie.html"
TODAY = "today.html"
PAGES = (DEVICE, FIND, TODAY, SONG)
# The controls in sight that the Tab key should stop at. Of a row of tabs and of a group of radio
# buttons it is one; arrows move within them. A list that scrolls may be a stop of its own.
MARK = """() => {
  const wanted = "a[href], button, select, input, textarea, summary, [tabindex='0']";
  const shown = (one) => one.checkVisibility({ visibilityProperty: true }) && one.getClientRects().length;
  const left = [...document.querySelectorAll(`.md-content :is(${wanted})`)].filter((one) =>
    shown(one) && !one.disabled && !one.matches("[role='tab'][tabindex='-1'], [type='radio']:not(:checked)"));
  window.left = new Set(left);
  return left.length;
}"""
# Takes what has the focus from the list. Gives how many are left, and what is focused without a sign.
STEP = """() => {
  const one = document.activeElement;
  window.left.delete(one);
  const count = [...window.left].filter((other) => other.isConnected).length;
  if (!one.closest(".md-content")) return [count, ""];
  const seen = (part) => {
    const { outlineStyle, outlineWidth, boxShadow } = getComputedStyle(part);
    return (outlineStyle !== "none" && parseFloat(outlineWidth) > 0) || boxShadow !== "none";
  };
  const label = one.closest("label");
  return [count, seen(one) || (label && seen(label)) ? "" : one.outerHTML.slice(0, 120)];
}"""
LEFT = "() => [...window.left].filter((one) => one.isConnected).map((one) => one.outerHTML.slice(0, 120))"
# What moves, or would when it changes.
MOVING = """() => {
  const slow = (text) => text.split(", ").some((one) => parseFloat(one) > 0.001);
  return [...document.querySelectorAll("html, .md-content *, .md-content")].filter((one) => {
    const style = getComputedStyle(one);
    const still = style.animationName === "none" || !slow(style.animationDuration);
    return !still || style.scrollBehavior === "smooth" || slow(style.transitionDuration);
  }).map((one) => one.outerHTML.slice(0, 120));
}"""


@ON_DISK
@pytest.mark.parametrize("address", PAGES)
def test_tab_reaches_every_control_and_shows_where_it_is(visit: Visit, address: str) -> None:
    """Each link, button, list and field of a page gets the focus by Tab alone, and an outline with it."""
    page = visit().open(address)
    page.wait_for_load_state()
    controls = page.evaluate(MARK)
    assert controls > 5
    unseen: list[str] = []
    for _ in range(controls + 40):
        page.keyboard.press("Tab")
        left, unsigned = page.evaluate(STEP)
        unseen += [unsigned] if unsigned else []
        if not left:
            break
    assert page.evaluate(LEFT) == []
    assert unseen == []


@ON_DISK
@pytest.mark.parametrize("address", PAGES)
def test_nothing_of_a_page_moves_for_readers_who_want_no_motion(visit: Visit, address: str) -> None:
    """Where others see something glide, no animation, transition or smooth scrolling is left.

    Nor is it on what comes later: what is found, and the notes of a place in a song.
    """
    page = visit().open(address)
    if address == FIND:
        page.get_by_label("What it is made of").fill("1 2 b3 3")
        expect(page.locator(".tp-found svg[role=img]").first).to_be_visible()
    if address == SONG:
        page.locator("details[data-later] > summary").first.click()
        expect(page.locator(".tp-later svg[role=img]").first).to_be_visible()
    assert page.evaluate(MOVING) != []
    page.emulate_media(reduced_motion="reduce")
    assert page.evaluate(MOVING) == []
