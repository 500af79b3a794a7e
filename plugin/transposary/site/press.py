"""All pages of an edition."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import replace

from transposary.glossary import Kind, Source, source_name
from transposary.site.edition import Edition
from transposary.site.links import source_of_entry
from transposary.site.page import Page
from transposary.site.pages.collection import collection_page
from transposary.site.pages.concept import concept_page
from transposary.site.pages.device import bare_page, device_page
from transposary.site.pages.find import find_page
from transposary.site.pages.indexes import (
    collections_index,
    concepts_index,
    devices_index,
    genres_page,
    home_page,
    songs_index,
)
from transposary.site.pages.keys import key_pages, keys_index
from transposary.site.pages.note_down import note_down_page
from transposary.site.pages.practice import coverage_page, today_page
from transposary.site.pages.practised import practised_page
from transposary.site.pages.song import song_page
from transposary.site.pages.unused import unused_page


def pages_of(edition: Edition, standing: Container[str] = ()) -> Iterator[Page]:
    """Makes all pages, those of the navigation first and in its order.

    What others have written is set apart from the glossary's own prose, and credited to them.

    Args:
        edition: What they are made from.
        standing: Sources of pages of devices that are not shown: they have no view.
    """
    strangers = _strangers(edition)
    return (_credited(page, strangers) for page in _pages(edition, standing))


def page_of(edition: Edition, source: str) -> Page:
    """Makes the page of a device."""
    device = edition.glossary.device[source.removeprefix(f"{Kind.DEVICE}/").removesuffix(".md")]
    return _credited(device_page(edition, device), _strangers(edition))


def _strangers(edition: Edition) -> Mapping[str, Source]:
    """Gives by source of a page who has written what stands on it, if it is not this glossary."""
    sources = {source.name: source for source in edition.glossary.sources}
    return {
        source_of_entry(entry): sources[source_name(entry.slug)]
        for entry in (edition.glossary.entries() if sources else ())
        if source_name(entry.slug)
    }


def _credited(page: Page, strangers: Mapping[str, Source]) -> Page:
    credit = strangers.get(page.source)
    return page if credit is None else replace(page, prose="", foreign=page.prose, credit=credit)


def _pages(edition: Edition, standing: Container[str]) -> Iterator[Page]:
    glossary = edition.glossary
    yield home_page(edition)
    yield devices_index(edition)
    yield find_page(edition)
    yield today_page(edition)
    yield keys_index(edition)
    yield songs_index(edition)
    yield concepts_index(edition)
    yield genres_page(edition)
    yield collections_index(edition)
    yield unused_page(edition)
    yield note_down_page()
    yield coverage_page(edition)
    if edition.practice is not None:
        yield practised_page(edition, edition.practice)
    for device in glossary.devices:
        stands = source_of_entry(device) in standing
        yield bare_page(device, None) if stands else device_page(edition, device)
    yield from key_pages(edition)
    yield from (song_page(edition, song) for song in glossary.songs)
    yield from (concept_page(edition, concept) for concept in glossary.concepts)
    yield from (collection_page(edition, collection) for collection in glossary.collections)
