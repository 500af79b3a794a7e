"""Devices and songs that wait for each other."""

from __future__ import annotations

from pathlib import Path

from tests.site.book import write
from tests.site.inspect import parse
from transposary.build import build_site
from transposary.settings import Settings

DEVICE = """---
title: Landing
summary: Down to the one.
role: bass
frame: key
notation: |
  M: 4/4
  L: 1/4
  K: G clef=bass
  "D7" D,4 | "G" G,,4 |
---
"""
SONG = """---
title: Harbour
key: F
meter: 4/4
chart:
  A: "| Bb | C7 | F | % |"
form: [A]
---
"""


def test_each_is_offered_its_best_partner(tmp_path: Path) -> None:
    """A device names the song, the bars and the key where it fits best, a song the device."""
    root = write(tmp_path, {"devices/landing.md": DEVICE, "songs/harbour.md": SONG})
    site = build_site(root, Settings(workers=1), drafts=False, before=None)
    page = parse(site.compose({}, {source: source for source in site.pages})["unused/index.md"].html)
    assert [item.text for item in page.all("li")] == [
        "Landing Down to the one. fits in Harbour, section A, bars 2–3in F",
        "Harbour Landing fitssection A, bars 2–3",
    ]
    assert [link.attrs["href"] for link in page.all("a")] == [
        "../devices/landing.md",
        "../songs/harbour.md#section-a",
        "../devices/landing.md#F",
        "../songs/harbour.md",
        "../devices/landing.md#F",
        "../songs/harbour.md#section-a",
    ]
