"""The author's page of practice, and the rule by which it and the reader's page measure a record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from random import Random

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import serving
from tests.browser.reader import ON_DISK, Visit
from tests.site.book import ENTRIES
from tests.site.published import configure, publish
from tests.site.small import walk_up
from transposary.practice import Take, coverage
from transposary.practice.coverage import PLAIN_TEMPO
from transposary.theory.keys import SLOTS, slot_of

FIRST = date(2026, 4, 1)
RECORD = "device,slot,date,tempo,slips\n" + "".join(
    f"climb,{slot},{FIRST + timedelta(days=place)},{60 + place},{place % 3}\n"
    for place, slot in enumerate(SLOTS)
)
OPTIONS = {"plugins": ["search", {"transposary": {"workers": 1, "publish_practice": True}}]}
ADDRESS = "practised/index.html"

# The same record as the reader's page has it, and what its script makes of it.
COVERED = """([pool, records]) => records.map((takes) => {
  const { rows, keys, atHome } = transposary.practice.coverage(pool, takes);
  const cell = ([slot, { date, tempo, slips }]) => [slot, date, tempo, slips];
  const cells = ({ cells }) => [...cells].map(cell).sort();
  return {
    rows: rows.map((row) => [row.device.slug, cells(row)]),
    keys: keys.map(({ slot, devices, strength, slips }) => [slot, devices, strength, slips]),
    atHome: atHome.map(({ slug }) => slug),
  };
})"""


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a small glossary whose author shows a record in twelve keys."""
    entries = {**ENTRIES, "practice.csv": RECORD}
    with serving(publish(configure(tmp_path_factory.mktemp("practised"), entries, **OPTIONS)).folder) as base:
        yield base


def _seen(browser: Browser, address: str, width: int) -> Page:
    page = browser.new_context(viewport={"width": width, "height": 800}).new_page()
    page.goto(f"{address}/{ADDRESS}")
    return page


def test_at_a_desk_all_twelve_keys_are_in_sight(browser: Browser, published: str) -> None:
    """Each cell has tempo, slips and day, and the last key is not cut off."""
    page = _seen(browser, published, 1440)
    row = page.get_by_role("row", name="Climb")
    expect(row.get_by_role("cell")).to_have_count(12)
    expect(row.get_by_role("cell").first).to_have_text("60 0 slips 1 Apr")
    table = page.get_by_role("region", name="Devices by keys")
    assert table.evaluate("(one) => one.scrollWidth <= one.clientWidth")
    assert Axe().run(page).violations_count == 0
    page.context.close()


def test_on_a_phone_the_table_scrolls_by_keyboard_inside_its_frame(browser: Browser, published: str) -> None:
    """The page stays as wide as the phone, and the last key comes into view."""
    page = _seen(browser, published, 360)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    last = page.get_by_role("columnheader", name="B", exact=True)
    expect(last).not_to_be_in_viewport()
    page.get_by_role("region", name="Devices by keys").focus()
    for _ in range(40):
        page.keyboard.press("ArrowRight")
    expect(last).to_be_in_viewport()
    assert Axe().run(page).violations_count == 0
    page.context.close()


@ON_DISK
def test_author_and_reader_are_measured_by_one_rule(visit: Visit) -> None:
    """Of forty made-up records the page of the author and that of the reader make the same tables."""
    draw = Random(11)  # noqa: S311  (the same records in each run)
    tempos = (60, 92, None, 120, 77)
    devices = tuple(replace(walk_up(), slug=f"d{place}", tempo=tempo) for place, tempo in enumerate(tempos))
    records = [_made_up(draw, [device.slug for device in devices]) for _ in range(40)]
    pool = [
        {"slug": one.slug, "home": slot_of(one.passage.key.tonic), "goal": one.tempo or PLAIN_TEMPO}
        for one in devices
    ]
    page = visit().open("coverage.html")
    expect(page.locator("[data-coverage]")).to_be_visible()
    found = page.evaluate(COVERED, [pool, [[_told(take) for take in record] for record in records]])
    for record, theirs in zip(records, found, strict=True):
        ours = coverage(devices, record)
        assert theirs["rows"] == [
            [
                row.device.slug,
                sorted([slot, str(c.last.day), c.last.tempo, c.last.slips] for slot, c in row.cells.items()),
            ]
            for row in ours.rows
        ]
        assert theirs["atHome"] == [device.slug for device in ours.at_home]
        assert [key[:2] for key in theirs["keys"]] == [[key.slot, key.devices] for key in ours.keys]
        for (_, _, strength, slips), key in zip(theirs["keys"], ours.keys, strict=True):
            assert (strength, slips) == pytest.approx((float(key.strength), float(key.slips)))


def _made_up(draw: Random, slugs: list[str]) -> list[Take]:
    days = sorted(draw.randrange(60) for _ in range(draw.randrange(30)))
    return [
        Take(
            draw.choice(slugs),
            draw.choice(SLOTS[: draw.choice((1, 12))]),
            FIRST + timedelta(days=day),
            draw.randrange(40, 140),
            draw.randrange(6),
        )
        for day in days
    ]


def _told(take: Take) -> dict[str, str | int]:
    at = f"{take.day}T10:00:00.000"
    return {"device": take.device, "slot": take.slot, "at": at, "tempo": take.tempo, "slips": take.slips}
