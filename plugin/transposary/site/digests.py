"""Digests of what the pages of devices are made from, to be compared with those of another build.

They are known before any page is made. What each covers is what `pages/device.py` asks for; where a
page is mentioned is not among it, since that shows only when all prose is rendered.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from transposary.cache import key_of
from transposary.engraving.kept import without_places
from transposary.glossary import Device
from transposary.site.edition import Edition
from transposary.site.links import called, source_of_entry
from transposary.site.mentions import collect_names
from transposary.site.pages.common import remarks


def digests_of(edition: Edition, broken: Sequence[str]) -> Mapping[str, str]:
    """Makes the digest of the page of each device, by source.

    Args:
        edition: What the pages are made from.
        broken: Sources of entries that cannot be read, to which no link may lead.
    """
    around = key_of(_around(edition), *broken)
    return {source_of_entry(device): _digest(edition, device, around) for device in edition.glossary.devices}


def _digest(edition: Edition, device: Device, around: str) -> str:
    related = [(called(one.device), one.device.slug, one.reasons) for one in edition.related[device.slug]]
    said = remarks(edition, (device.place.file, device.notation_place.file))
    # Its keys, its explanation and where it fits follow from it and from the songs.
    return key_of(around, without_places(device), repr(related), repr(said))


def _around(edition: Edition) -> str:
    """Makes a digest of what the pages of all devices depend on."""
    shelf = edition.glossary
    names = collect_names(shelf)
    parts = (
        sorted(edition.directory.published),
        sorted(edition.directory.titles.items()),
        sorted(edition.terms.items()),
        # What a song says in prose stands on its own page only.
        [replace(song, prose="") for song in shelf.songs],
        [(called(one), one.slug, one.items) for one in shelf.collections],
        shelf.sources,
        sorted(names.targets.items()),
        sorted(names.exact.items()),
        # How the names are spelled: the others are folded for matching.
        "" if names.pattern is None else names.pattern.pattern,
        edition.settings,
        edition.preview,
        # Whether there is a page to link.
        edition.practice is None,
    )
    return key_of(*map(without_places, parts))
