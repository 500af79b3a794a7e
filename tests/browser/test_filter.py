"""The filter above the index of devices."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.reader import ON_DISK, Visit
from transposary.site.static import shared

INDEX = "devices/index.html"


@pytest.fixture(scope="module")
def devices(site: Path) -> list[dict[str, Any]]:
    """The devices as glossary.json lists them."""
    content = json.loads((site / "glossary.json").read_text(encoding="utf-8"))
    listed: list[dict[str, Any]] = content["devices"]
    return listed


def _titles(page: Page) -> set[str]:
    return set(page.locator(".tp-index > li:visible > a").all_inner_texts())


@ON_DISK
def test_the_list_narrows_to_what_is_asked_and_the_address_says_so(
    visit: Visit, devices: list[dict[str, Any]]
) -> None:
    """Two questions at once leave the devices that answer both, and can be sent as a link."""
    page = visit().open(INDEX)
    page.get_by_label("Role").select_option("bass")
    page.get_by_label("Genre").select_option("soul")
    wanted = {one["title"] for one in devices if "bass" in one["role"] and "soul" in one["genres"]}
    assert 0 < len(wanted) < len(devices)
    assert _titles(page) == wanted
    assert page.url.endswith("?role=bass&genre=soul")
    assert page.locator(".tp-filter output").inner_text() == f"{len(wanted)} of {len(devices)} devices"
    page.reload()
    assert _titles(page) == wanted


@ON_DISK
def test_show_all_brings_the_whole_list_back(visit: Visit, devices: list[dict[str, Any]]) -> None:
    """The reader is one step away from everything."""
    page = visit().open(f"{INDEX}?hand=LH&level=1")
    assert _titles(page) != {one["title"] for one in devices}
    page.get_by_role("button", name="Show all").click()
    assert _titles(page) == {one["title"] for one in devices}
    assert "?" not in page.url


@ON_DISK
def test_an_unknown_value_in_the_address_filters_nothing(visit: Visit, devices: list[dict[str, Any]]) -> None:
    """An old or mistyped link still shows the list."""
    page = visit().open(f"{INDEX}?role=nonsense")
    assert _titles(page) == {one["title"] for one in devices}


@ON_DISK
def test_without_scripts_the_list_is_complete_and_shows_no_dead_controls(
    visit: Visit, devices: list[dict[str, Any]]
) -> None:
    """Controls that need a script appear only with it."""
    page = visit(scripts=False).open(INDEX)
    assert _titles(page) == {one["title"] for one in devices}
    assert not page.locator(".tp-filter").is_visible()


@ON_DISK
def test_on_a_phone_the_list_comes_before_the_choices(visit: Visit) -> None:
    """They are folded up and open by keyboard; an address that asks for something shows what it asked."""
    page = visit(width=360).open(INDEX)
    role = page.get_by_label("Role")
    expect(role).to_be_hidden()
    box = page.locator(".tp-index > li").first.bounding_box()
    assert box is not None
    assert box["y"] < 200
    page.get_by_text("Narrow the list").press("Enter")
    role.select_option("bass")
    page.reload()
    expect(role).to_have_value("bass")
    expect(role).to_be_visible()


@ON_DISK
def test_the_mark_of_a_bar_leads_to_what_fits_there(visit: Visit) -> None:
    """The list of a song narrows to the bar, and the mark is large enough for a finger."""
    page = visit(width=360).open("songs/low-tide.html")
    offers = page.locator(".tp-offers > li")
    every = offers.count()
    mark = page.locator(".tp-mark--offered[href]").first
    box = mark.bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 24
    count = int((mark.get_attribute("title") or "").split(" ", maxsplit=1)[0])
    mark.click()
    page.wait_for_url("**/low-tide.html?bar=section-*#tp-offered")
    assert page.locator(".tp-offers > li:visible").count() == count < every
    bar = page.locator("select[name=bar]").input_value()
    places = page.locator(".tp-places > li")
    shown = [place for place in places.all() if place.is_visible()]
    assert count <= len(shown) < places.count()
    assert all(bar in (place.get_attribute("data-bar") or "").split() for place in shown)
    page.get_by_role("button", name="Show all").click()
    assert page.locator(".tp-more[open]").count() == 0
    assert page.locator(".tp-more > summary:visible").count() > 0


@ON_DISK
def test_one_device_is_counted_as_one(visit: Visit) -> None:
    """A list of one says `1 device`."""
    page = visit().open(INDEX)
    page.evaluate("for (const one of document.querySelectorAll('.tp-index > li ~ li')) one.remove()")
    page.evaluate(f"() => {{ {shared()['filter.js'].decode()} }}")
    assert page.locator(".tp-filter output").inner_text() == "1 device"
