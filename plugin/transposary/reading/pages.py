"""Where an entry stands, for those who read its fields."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from transposary.glossary import Kind
from transposary.problems import Place


@dataclass(frozen=True, slots=True)
class Page:
    """An entry's file.

    Attributes:
        root: The folder of the glossary.
        path: Path of the file in it, with forward slashes.
        kind: What kind of entry it is.
        slug: Its name.
        prose: The Markdown below its fields.
        source: Name of the glossary from which it is imported, or empty.
    """

    root: Path
    path: str
    kind: Kind
    slug: str
    prose: str = ""
    source: str = ""

    @property
    def file(self) -> str:
        """What messages call the file: that of another glossary stands behind its name."""
        return f"{self.source}/{self.path}" if self.source else self.path

    @property
    def place(self) -> Place:
        """Where the entry begins."""
        return Place(self.file)
