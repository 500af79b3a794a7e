"""The page of a concept."""

from __future__ import annotations

from dataclasses import dataclass

from transposary.glossary import Concept, Kind
from transposary.site.edition import Edition
from transposary.site.links import Link, called, source_of_entry
from transposary.site.page import Page, Remark
from transposary.site.pages.common import remarks
from transposary.site.pages.indexes import Item, device_item


@dataclass(frozen=True, slots=True)
class ConceptView:
    """What the page of a concept shows."""

    draft: bool
    defined: bool
    aliases: tuple[str, ...]
    broader: tuple[Link, ...]
    narrower: tuple[Link, ...]
    devices: tuple[Item, ...]
    remarks: tuple[Remark, ...]


def concept_page(edition: Edition, concept: Concept) -> Page:
    """Makes the page of a concept."""
    view = ConceptView(
        draft=concept.draft,
        defined=concept.defined,
        aliases=concept.aliases,
        broader=broader_concepts(edition, concept),
        narrower=tuple(
            Link(called(other), source_of_entry(other))
            for other in edition.glossary.concepts
            if other.broader is not None and other.broader.slug == concept.slug
        ),
        devices=tuple(
            device_item(edition, device)
            for device in edition.glossary.devices
            if any(ref.slug == concept.slug for ref in device.concepts)
        ),
        # What a page of no file of its own has to remark stands in the entries that name it.
        remarks=remarks(edition, (concept.place.file,)) if concept.defined else (),
    )
    summary = f"The concept {concept.title}, and the devices that use it."
    return Page(
        source_of_entry(concept), concept.title, "concept", view, summary, concept.prose, draft=concept.draft
    )


def broader_concepts(edition: Edition, concept: Concept) -> tuple[Link, ...]:
    """Lists the concepts above one, the nearest last; a circle is left at its second round."""
    found: list[Link] = []
    seen = {concept.slug}
    above = concept.broader
    while above is not None:
        found.insert(0, edition.directory.ref(Kind.CONCEPT, above))
        if above.slug is None or above.slug in seen:
            break
        seen.add(above.slug)
        next_one = edition.glossary.concept.get(above.slug)
        above = next_one.broader if next_one is not None else None
    return tuple(found)
