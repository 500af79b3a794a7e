"""Every page of the demo, in a browser."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.reader import ON_DISK, Visit, one_of_each_kind

TELEPHONE, DESK = 360, 1440


def test_every_page_opens_without_errors_foreign_requests_or_sideways_scrolling(
    pages: tuple[str, ...], visit: Visit, base: str
) -> None:
    """No script fails, nothing is asked of another host, and only frames scroll sideways.

    From a server on a telephone every song and every third of the rest; from the disk at a desk; of
    each kind one in both.
    """
    served = base.startswith("http:")
    width = TELEPHONE if served else DESK
    reader = visit(width=width)
    wide = []
    shown = one_of_each_kind(pages)
    if served:
        rest = [one for one in pages if one not in shown]
        shown += [one for one in rest if one.startswith("songs/")]
        shown += [one for one in rest if not one.startswith("songs/")][::3]
    for address in shown:
        reached = reader.open(address).evaluate("document.scrollingElement.scrollWidth")
        if reached > width:
            wide.append(f"{address} is {reached} pixels wide")
    assert (reader.faults, wide) == ([], [])


def test_a_device_page_is_light(site: Path, pages: tuple[str, ...]) -> None:
    """With our style sheets and scripts each stays under 80 kB as a server sends it, file by file."""

    def packed(file: Path) -> int:
        return len(gzip.compress(file.read_bytes(), mtime=0))

    around = sum(packed(file) for file in (site / "assets/transposary").iterdir() if file.is_file())
    sizes = {name: packed(site / name) + around for name in pages if name.startswith("devices/")}
    assert max(sizes.values()) < 80_000, sizes


@ON_DISK
def test_links_lead_from_a_device_to_its_song_and_back(visit: Visit) -> None:
    """A reader gets from a device to where it was played, and from there to the device in that key."""
    reader = visit()
    page = reader.open("devices/climb-to-the-five.html")
    page.locator(".tp-uses a", has_text="Paperlights at Quillmere").first.click()
    page.wait_for_url("**/songs/paperlights-at-quillmere.html")
    page.locator(".tp-uses a", has_text="Climb to the five").first.click()
    page.wait_for_url("**/devices/climb-to-the-five.html#D")
    assert page.locator("figure[data-slot]:visible").get_attribute("data-slot") == "D"
    assert reader.faults == []


@ON_DISK
def test_an_old_name_leads_to_its_entry(visit: Visit) -> None:
    """A link to an alias still arrives, at the heading that it names; without scripts at the page."""
    reader = visit()
    reader.page.goto(f"{reader.base}/concepts/upbeat.html#tp-devices")
    reader.page.wait_for_url("**/concepts/pickup.html#tp-devices")
    assert reader.faults == []
    plain = visit(scripts=False)
    plain.page.goto(f"{plain.base}/concepts/upbeat.html")
    plain.page.wait_for_url("**/concepts/pickup.html")


@pytest.mark.parametrize("base", ["http"], indirect=True)
def test_a_missing_page_leads_on(visit: Visit) -> None:
    """Whoever comes to an address that is gone finds the way to everything else."""
    reader = visit()
    page = reader.open("404.html")
    expect(page.get_by_role("heading", name="This page is not here")).to_be_visible()
    page.get_by_role("article").get_by_role("link", name="Devices").click()
    page.wait_for_url("**/devices/index.html")
    assert reader.faults == []
