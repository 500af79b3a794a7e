"""Finds the glossary and the entry that a command names."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from transposary.cli._outcome import SENSELESS, Outcome, refused
from transposary.configuration import Located, find_glossary
from transposary.exchange.lookup import find_entry
from transposary.glossary import Collection, Device, Glossary
from transposary.importing import read_all
from transposary.problems import Fault

_E = TypeVar("_E", Device, Collection)


@dataclass(frozen=True, slots=True)
class Named(Generic[_E]):
    """An entry that a command names, and where it stands.

    Attributes:
        entry: The entry.
        glossary: All entries beside it, imported ones too.
        located: The glossary's folder and settings.
    """

    entry: _E
    glossary: Glossary
    located: Located


def named_entry(folder: Path, sort: type[_E], name: str) -> Named[_E] | Outcome:
    """Reads a glossary and finds an entry of it.

    Args:
        folder: The folder of mkdocs.yml.
        sort: What is looked for.
        name: What the user called it.

    Returns:
        The entry, or how the command ends without it.
    """
    located = find_glossary(folder)
    if isinstance(located, str):
        return Outcome(SENSELESS, located)
    reading = read_all(located.root, located.settings)
    entry = find_entry(reading, sort, name)
    if isinstance(entry, Fault):
        return refused(entry)
    return Named(entry, reading.glossary, located)
