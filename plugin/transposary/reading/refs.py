"""The references of an entry, changed all at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from transposary.glossary import Collection, Concept, Device, Entry, Kind, Ref

Change = Callable[[Kind, Ref], Ref]
"""Gives the reference that stands in the place of one to an entry of a kind."""


def with_refs(entry: Entry, change: Change) -> Entry:
    """Changes every reference that an entry makes to another one."""

    def changed(kind: Kind, ref: Ref | None) -> Ref | None:
        return change(kind, ref) if ref else None

    match entry:
        case Device():
            return replace(
                entry,
                concepts=tuple(change(Kind.CONCEPT, ref) for ref in entry.concepts),
                heard_in=tuple(replace(one, song=changed(Kind.SONG, one.song)) for one in entry.heard_in),
                applied_in=tuple(replace(one, song=change(Kind.SONG, one.song)) for one in entry.applied_in),
                variant_of=changed(Kind.DEVICE, entry.variant_of),
                see_also=tuple(change(Kind.DEVICE, ref) for ref in entry.see_also),
            )
        case Concept():
            return replace(entry, broader=changed(Kind.CONCEPT, entry.broader))
        case Collection():
            items = (
                replace(one, device=changed(Kind.DEVICE, one.device), song=changed(Kind.SONG, one.song))
                for one in entry.items
            )
            return replace(entry, items=tuple(items))
        case _:
            return entry
