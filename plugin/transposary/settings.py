"""What mkdocs.yml may set for a glossary, as a plain value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from transposary.problems import Place


@dataclass(frozen=True, slots=True)
class Import:
    """Another glossary whose entries are to stand beside this one's.

    Attributes:
        name: What it is called here.
        given: Where it is, as the author wrote it.
        path: The folder or archive.
        place: Where the author named it.
    """

    name: str
    given: str
    path: Path
    place: Place


@dataclass(frozen=True, slots=True)
class Settings:
    """Options of a glossary.

    Attributes:
        hand_span: Widest stretch of one hand in semitones (a ninth is 14).
        tonics: Spelling to use for a slot and mode instead of the rule's, such as
            `{"Gb major": "F#"}`.
        workers: Worker processes that engrave; 0 for as many as there are cores, 1 for none
            besides the build itself.
        imports: Other glossaries, in the order of their names.
        publish_practice: Whether the page of the author's practice is built for everybody.
        executor: Function that makes what engraves instead, `package.module:function`; or empty.
    """

    hand_span: int = 14
    tonics: Mapping[str, str] = field(default_factory=dict)
    workers: int = 0
    imports: tuple[Import, ...] = ()
    executor: str = ""
    publish_practice: bool = False
