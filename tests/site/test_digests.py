"""Digests of the pages of devices tell all that reaches them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from tests.site.book import ENTRIES, write
from transposary.build import Site, Workshop, build_site
from transposary.cache import Cache
from transposary.settings import Settings
from transposary.site.digests import digests_of
from transposary.site.pages.device import device_page

SETTINGS = Settings(workers=1)
CLIMB, STRETCH = "devices/climb.md", "devices/stretch.md"


def _edited(name: str, old: str, new: str) -> dict[str, str]:
    assert old in ENTRIES[name]
    return {**ENTRIES, name: ENTRIES[name].replace(old, new)}


# What an edit changes: the pages of which devices.
EDITS: dict[str, tuple[Mapping[str, str], set[str]]] = {
    "nothing": (ENTRIES, set()),
    "a note": (_edited(STRETCH, "[ce] |", "[df] |"), {STRETCH}),
    "a word of prose": (_edited(STRETCH, "Roll it.", "Play it."), {STRETCH}),
    "a summary": (_edited(STRETCH, "A tenth that", "What"), {STRETCH}),
    "a line more": (_edited(STRETCH, "role: voicing\n", "role: voicing\n\n"), set()),
    "a remark that is accepted": (_edited(STRETCH, "role:", "accept: [reach]\nrole:"), {STRETCH}),
    "a word of a song": (_edited("songs/harbour.md", "Ends with", "Begins with"), set()),
    "a word of a concept": (_edited("concepts/bass-line.md", "The lowest", "A low"), set()),
    "a word of a collection": (_edited("collections/first.md", "Ten minutes", "An hour"), set()),
    "what a device shares with another": (
        _edited(CLIMB, "see_also: [stretch]\n", ""),
        {CLIMB, STRETCH},
    ),
    "a title": (_edited("songs/harbour.md", "title: Harbour", "title: Old Harbour"), {CLIMB, STRETCH}),
    "an alias": (_edited(STRETCH, "role:", "aliases: [yawn]\nrole:"), {CLIMB, STRETCH}),
    "a chart": (_edited("songs/low-tide.md", "| G7 | C7", "| G7 | F7"), {CLIMB, STRETCH}),
    "a term": (_edited("concepts/walk-up.md", "[walking up]", "[walking]"), {CLIMB, STRETCH}),
    "a collection": (_edited("collections/first.md", "device: climb", "device: stretch"), {CLIMB, STRETCH}),
    "an entry more": (
        {**ENTRIES, "concepts/tide.md": "---\ntitle: Tide\n---\nIt turns.\n"},
        {CLIMB, STRETCH},
    ),
    "an entry less": (
        {name: text for name, text in ENTRIES.items() if name != "collections/first.md"},
        {CLIMB, STRETCH},
    ),
}


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    """What keeps engravings from being made twice."""
    return Workshop(Cache(tmp_path_factory.mktemp("cache")))


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory, workshop: Workshop) -> Site:
    """The small glossary."""
    return _site(tmp_path_factory.mktemp("entries"), ENTRIES, workshop)


def _site(root: Path, entries: Mapping[str, str], workshop: Workshop) -> Site:
    return build_site(write(root, entries), SETTINGS, drafts=False, before=None, workshop=workshop)


def _other(one: Site, other: Site) -> tuple[set[str], set[str]]:
    """Gives the devices whose digests differ, and those whose pages do."""
    mine, theirs = digests_of(one.edition, ()), digests_of(other.edition, ())
    devices = other.edition.glossary.devices
    pages = {(page := device_page(other.edition, device)).source: page for device in devices}
    # In a build of its own, with what links in the prose depend on beside them.
    return (
        {source for source, digest in theirs.items() if mine.get(source) != digest},
        {source for source, page in pages.items() if one.pages.get(source) != page},
    )


@pytest.mark.parametrize("what", EDITS)
def test_a_page_that_changes_has_another_digest(
    what: str, tmp_path: Path, first: Site, workshop: Workshop
) -> None:
    """An edit changes the digests of the pages that it reaches, and no page whose digest stays."""
    entries, reached = EDITS[what]
    digests, pages = _other(first, _site(tmp_path, entries, workshop))
    assert digests == reached
    assert pages <= digests


def test_options_reach_all_pages(first: Site) -> None:
    """Other options are another page."""
    edition = replace(first.edition, settings=Settings(workers=1, hand_span=16))
    assert {
        one for one, digest in digests_of(edition, ()).items() if digests_of(first.edition, ())[one] == digest
    } == set()


def test_a_page_that_stands_is_made_late_as_it_would_be_early(
    tmp_path: Path, first: Site, workshop: Workshop
) -> None:
    """A page that need not be made has no view until somebody asks for it, and is the same then."""
    stands = replace(workshop, stands=lambda digests: frozenset(digests) - {STRETCH})
    site = _site(tmp_path, ENTRIES, stands)
    assert site.standing == {CLIMB}
    assert site.pages[CLIMB].view is None
    assert site.pages[CLIMB].title == first.pages[CLIMB].title
    late = site.with_pages([CLIMB])
    assert late.standing == frozenset()
    assert late.pages == first.pages
