"""Finds the entry that a word of the command line means."""

from __future__ import annotations

from typing import TypeVar

from transposary.glossary import Collection, Concept, Device, Entry, matching_name
from transposary.problems import Fault
from transposary.reading import Reading
from transposary.reading.nearest import nearest
from transposary.song import Song

_E = TypeVar("_E", Device, Song, Concept, Collection)


def find_entry(reading: Reading, sort: type[_E], name: str) -> _E | Fault:
    """Finds an entry by its slug, its title or an alias.

    Args:
        reading: What the glossary holds.
        sort: What is looked for.
        name: What the user called it.

    Returns:
        The entry, or why there is none, with the nearest name.
    """
    wanted = matching_name(name)
    noun = sort.__name__.casefold()
    entries = [entry for entry in reading.glossary.entries() if isinstance(entry, sort)]
    for entry in entries:
        if wanted in map(matching_name, names_of(entry)):
            return entry
    for broken in reading.broken:
        if broken.kind.noun == noun and wanted in map(matching_name, (broken.slug, broken.title)):
            return Fault(0, f"{broken.path} has errors", "mend them first, transposary check names them")
    near = nearest(name, [known for entry in entries for known in names_of(entry)])
    text = f"expected a {noun} of the glossary, found `{name}`"
    return Fault(0, text, f"did you mean `{near}`?" if near else "")


def names_of(entry: Entry) -> tuple[str, ...]:
    """Lists the names by which an entry is found."""
    return (entry.slug, entry.title, *entry.aliases)
