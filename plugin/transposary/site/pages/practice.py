"""The pages that say what to practise, and what they tell their scripts.

The plan and the reader's record live in the browser (`assets/wanted/practice/`); a page names
the devices, with what a plan needs to know about each.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from transposary.glossary import Device, Purpose, matching_name
from transposary.pitch import pretty
from transposary.site.edition import Edition
from transposary.site.links import COVERAGE, TODAY, Link, source_of_entry
from transposary.site.page import Page
from transposary.site.pages.indexes import Item, by_title
from transposary.site.worked import Worked
from transposary.theory.keys import SLOTS

_TODAY = "What to play now, in how many minutes. Write down how it went, and the page plans the next time."
_MIDDLE_LEVEL = 3
"""Where a device without a level stands between easy and hard."""


@dataclass(frozen=True, slots=True)
class PracticeView:
    """What a page of practice shows.

    Attributes:
        items: The devices, easy ones first.
        onward: Where to go from here.
        keys: The names of the twelve keys.
    """

    items: tuple[Item, ...]
    onward: Link
    keys: tuple[str, ...] = tuple(map(pretty, SLOTS))


def today_page(edition: Edition) -> Page:
    """Makes the page that says what to play today."""
    view = PracticeView(_items(edition), Link("What you have played, key by key", COVERAGE))
    return Page(TODAY, "Today", "today", view, _TODAY, listed=True)


def coverage_page(edition: Edition) -> Page:
    """Makes the page of what the reader has played."""
    view = PracticeView(_items(edition), Link("What to play today", TODAY))
    return Page(COVERAGE, "What you have played", "coverage", view, "Your own record, key by key.")


def _items(edition: Edition) -> tuple[Item, ...]:
    lessons = [one for one in by_title(edition.glossary.collections) if one.purpose is Purpose.LESSON]
    asked = {one.title: {item.device.slug for item in one.items if item.device} for one in lessons}
    return tuple(
        _item(
            edition.worked[device.slug],
            (*map(str, device.roles), *(title for title, slugs in asked.items() if device.slug in slugs)),
        )
        for device in easy_first(edition.glossary.devices)
    )


def easy_first(devices: Iterable[Device]) -> list[Device]:
    """Sorts devices by level; one without a level stands in the middle."""
    return sorted(by_title(devices), key=lambda device: device.level or _MIDDLE_LEVEL)


def _item(worked: Worked, among: Sequence[str]) -> Item:
    device = worked.device
    level = "" if device.level is None else f", level {device.level}"
    text = f"{worked.home.name}{level}"
    data = (("practice", practice_data(worked, among=among)),)
    return Item(Link(device.title, source_of_entry(device)), text, data=data)


def practice_data(
    worked: Worked,
    keys: Sequence[str] = (),
    goal: int | None = None,
    until: date | None = None,
    *,
    among: Sequence[str] = (),
) -> str:
    """Writes what a plan has to know about a device, as JSON.

    Args:
        worked: The device.
        keys: The slots in which it is asked for; empty for all twelve.
        goal: The tempo to reach in beats a minute, or None for that of the entry.
        until: The day by which it is wanted, or None.
        among: Its roles, and the lessons that have it: a reader can ask for the new devices of one.
    """
    device = worked.device
    bar = next((bar for bar in device.passage.bars if bar.number > 0), device.passage.bars[0])
    content = {
        "slug": device.slug,
        "names": [matching_name(name) for name in (device.slug, *device.aliases)],
        "level": device.level,
        "home": worked.home.slot,
        "keys": list(keys) or [key.slot for key in worked.keys],
        "called": {key.slot: key.name for key in worked.keys},
        "goal": goal or device.tempo,
        "among": list(among),
        "until": None if until is None else until.isoformat(),
        # A bar and its beat in quarter notes, for the clicks.
        "bar": [float(bar.meter.length), float(bar.meter.beat)],
    }
    return json.dumps(content, ensure_ascii=False, separators=(",", ":"))
