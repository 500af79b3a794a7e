"""The page that finds devices, and the index that its scripts load."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.site.book import ENTRIES, write
from tests.site.inspect import parse
from transposary.build import Site, build_site
from transposary.settings import Settings
from transposary.site.pages.find import INDEX


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The small glossary, built without MkDocs."""
    root = write(tmp_path_factory.mktemp("entries"), ENTRIES)
    return build_site(root, Settings(workers=1), drafts=False, before=None)


def _told(site: Site, name: str, event: str) -> dict[str, Any]:
    text = site.files[name].read().decode()
    opening = f'transposary.tell("{event}",'
    assert text.startswith(opening)
    assert text.endswith(");\n")
    content: dict[str, Any] = json.loads(text[len(opening) : -3])
    return content


def test_the_index_has_each_strike_where_it_is_counted(site: Site) -> None:
    """A strike has its bar, its place in 48ths of a beat, the tonic and its notes; a chord its bits."""
    index = _told(site, INDEX, "index")
    climb, stretch = index["devices"]
    assert climb["slug"] == "climb"
    assert climb["home"] == 7
    assert climb["lines"] == [
        [[1, 0, 7, [0, 43]], [1, 96, 7, [1, 45]], [1, 144, 7, [2, 47]], [2, 0, 7, [3, 48]]],
    ]
    dominant = 1 << 0 | 1 << 4 | 1 << 7 | 1 << 10
    assert climb["chords"] == [[0, 1, 7, 7, dominant, -1], [1, 2, 7, 0, dominant, -1]]
    assert stretch["lines"][0][1] == [1, 96, 9, [2, 72, 3, 76]]


def test_the_index_says_what_else_can_be_asked_for(site: Site) -> None:
    """Roles, songs of both kinds, the length in bars and every range that is wide enough."""
    climb = _told(site, INDEX, "index")["devices"][0]
    assert climb["facets"] == {
        "role": ["bass", "fill"],
        "concept": ["walk-up", "chromatic"],
        "genre": ["deep-soul"],
        "level": ["2"],
        "hand": ["LH"],
        "frame": ["key"],
        "meter": ["4/4"],
        "song": ["harbour", "low-tide"],
        "length": ["2"],
        "range": ["1", "2", "3"],
    }


def test_the_page_offers_only_what_some_device_has(site: Site) -> None:
    """No choice leads to nothing, and each has the words of its entry."""
    pages = site.compose({}, {source: source.replace(".md", ".html") for source in site.pages})
    page = parse(pages["find.md"].html)
    song = page.one("select", name="song")
    assert [option.text for option in song.all("option")] == ["any", "Harbour", "Low Tide"]
    assert [option.text for option in page.one("select", name="level").all("option")] == ["any", "2"]
    form = page.one("form", class_="tp-seek")
    assert form.attrs["data-index"] == "find/index.js"
    assert form.attrs["data-entry"] == "devices/climb.html"
    assert [link.attrs["href"] for link in page.one("noscript").all("a")] == ["devices/index.html"]


def test_each_device_has_its_home_engraving_as_a_script(site: Site) -> None:
    """The engraving is that of the page, with the glyphs it needs; drafts have none."""
    assert {name for name in site.files if name.startswith("find/")} == {
        INDEX,
        "find/climb.js",
        "find/stretch.js",
    }
    told = _told(site, "find/climb.js", "engraving")
    assert told["slug"] == "climb"
    assert told["svg"] == site.prints.drawn("climb").engravings["G"].svg
    assert told["glyphs"].startswith('<svg class="glyphs"')


def test_a_glossary_without_devices_has_the_page_all_the_same(tmp_path: Path) -> None:
    """An author who has just begun sees an empty page and no error."""
    root = write(tmp_path, {"songs/harbour.md": ENTRIES["songs/harbour.md"]})
    site = build_site(root, Settings(workers=1), drafts=False, before=None)
    assert _told(site, INDEX, "index")["devices"] == []
    assert (
        parse(site.compose({}, {s: s for s in site.pages})["find.md"].html).all("select", name="role") == []
    )
