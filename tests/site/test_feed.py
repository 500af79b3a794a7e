"""The Atom feed, held against the requirements of RFC 4287."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from tests.site.published import configure, publish
from tests.site.small import device
from tests.theory.build import build
from transposary.glossary import Device
from transposary.problems import report
from transposary.reading.reader import read_entry
from transposary.site.feed import MOST, Publisher, feed

ATOM = "{http://www.w3.org/2005/Atom}"
HERE = Publisher("Small <book>", "", "https://example.org/book/")
NOTES = build(LH="G2 A2 B2 C3")


def _dated(slug: str, added: str, revised: str = "") -> Device:
    return replace(
        device(slug, NOTES),
        added=date.fromisoformat(added),
        revised=date.fromisoformat(revised) if revised else None,
    )


def _feed(devices: list[Device], publisher: Publisher = HERE) -> ET.Element:
    text = feed(devices, {f"devices/{one.slug}.md": f"devices/{one.slug}/" for one in devices}, publisher)
    assert text is not None
    return ET.fromstring(text)


def test_it_has_what_the_standard_asks_for() -> None:
    """Feed and entries have each of id, title and updated once (4.1.1, 4.1.2), and the feed an author."""
    root = _feed([_dated("walk", "2026-03-14"), _dated("climb", "2026-01-02", "2026-04-05")])
    assert root.tag == f"{ATOM}feed"
    entries = root.findall(f"{ATOM}entry")
    for element in (root, *entries):
        for name in ("id", "title", "updated"):
            assert len(element.findall(f"{ATOM}{name}")) == 1
    assert root.findtext(f"{ATOM}author/{ATOM}name") == "Small <book>"
    names = [element.findtext(f"{ATOM}id", "") for element in (root, *entries)]
    assert len(set(names)) == 3
    assert all(name.startswith("urn:uuid:") for name in names)
    links = [link.attrib for link in root.findall(f"{ATOM}link")]
    assert {"rel": "self", "href": "https://example.org/book/feed.xml"} in links


def test_the_latest_comes_first() -> None:
    """A revision counts as news, and says so; the feed is as new as its newest entry (RFC 3339 times)."""
    root = _feed(
        [_dated("b", "2026-03-14"), _dated("a", "2026-03-14"), _dated("c", "2026-01-02", "2026-04-05")]
    )
    entries = root.findall(f"{ATOM}entry")
    assert [one.findtext(f"{ATOM}title") for one in entries] == ["Revised: C", "A", "B"]
    assert root.findtext(f"{ATOM}updated") == "2026-04-05T00:00:00Z"
    assert entries[0].findtext(f"{ATOM}published") == "2026-01-02T00:00:00Z"
    href = entries[0].find(f"{ATOM}link")
    assert href is not None
    assert href.attrib["href"] == "https://example.org/book/devices/c/"


def test_it_stays_short_and_the_same() -> None:
    """Old news fall out, the order of the entries does not matter, and without a day there is no feed."""
    many = [_dated(f"d{number:03}", f"2026-01-{1 + number % 28:02}") for number in range(MOST + 9)]
    assert len(_feed(many).findall(f"{ATOM}entry")) == MOST
    assert ET.tostring(_feed(many)) == ET.tostring(_feed(many[::-1]))
    assert feed([device("walk", NOTES)], {}, HERE) is None
    strangers = [replace(_dated("walk", "2026-03-14"), slug="horns/walk")]
    assert feed(strangers, {}, HERE) is None


def test_a_site_without_an_address_has_relative_links() -> None:
    """Where the address is not known, a reader resolves links against that of the feed."""
    root = _feed([_dated("walk", "2026-03-14")], replace(HERE, address=""))
    hrefs = [link.attrib["href"] for link in root.iter(f"{ATOM}link")]
    assert hrefs == ["feed.xml", "index.html", "devices/walk/"]


@pytest.mark.parametrize(
    ("days", "said"),
    [
        ("added: 2026-03-14\nrevised: 2026-03-14\n", "0 errors, 0 remarks"),
        (
            "added: 2026-03-14\nrevised: 2026-03-13\n",
            (
                "devices/walk.md:6:1: entry.value: `revised`: expected a day on or after the one in `added`, "
                "found `2026-03-14` there; write `added: 2026-03-13` or an earlier day\n1 error, 0 remarks"
            ),
        ),
        (
            "revised: 2026-03-13\n",
            (
                "devices/walk.md:5:1: entry.value: `revised`: expected a day on or after the one in `added`, "
                "found none there; write `added: 2026-03-13` or an earlier day\n1 error, 0 remarks"
            ),
        ),
    ],
)
def test_nothing_is_revised_before_it_is_there(days: str, said: str) -> None:
    """The two days of an entry stand in their order."""
    text = f"---\ntitle: Walk\nsummary: Four.\nrole: bass\n{days}notation: |\n  M: 4/4\n  L: 1/4\n  K: G\n"
    entry = f'{text}  "G"G A B c|\n---\nWords.\n'.encode()
    assert report(read_entry(Path(), "devices/walk.md", entry)[1]) == said


def test_the_site_has_it_and_the_index_names_it(tmp_path: Path) -> None:
    """The feed lies at the root, and the index of devices leads to it."""
    entries = {
        "index.md": "# Home\n",
        "devices/walk.md": (
            "---\ntitle: Walk\nsummary: Four.\nrole: bass\nadded: 2026-03-14\nnotation: |\n  M: 4/4\n"
            '  L: 1/4\n  K: G\n  "G"G A B c|\n---\nWords.\n'
        ),
    }
    site = publish(configure(tmp_path, entries))
    assert ET.fromstring(site.text("feed.xml")).findtext(f"{ATOM}entry/{ATOM}title") == "Walk"
    assert '<a href="../feed.xml">New and changed devices, as a feed</a>' in site.text("devices/index.html")
