"""A page before and after its prose is rendered."""

from __future__ import annotations

from dataclasses import dataclass

from transposary.glossary import Source
from transposary.site.links import Link
from transposary.site.markup import Heading


@dataclass(frozen=True, slots=True)
class Page:
    """A page of the site.

    Attributes:
        source: Its name: `devices/walk-up.md`.
        title: Its title, plain text.
        template: Name of its template.
        view: What the template shows, a frozen value.
        summary: One sentence about it, plain text; empty for none.
        prose: Markdown of an entry; empty where the author's own file has it, if anything.
        listed: Whether it stands in the navigation.
        draft: Whether only its author may see it.
        foreign: Markdown of an imported entry, which the site's own Markdown never sees.
        credit: Whose entry it is, if it is imported.
    """

    source: str
    title: str
    template: str
    view: object
    summary: str = ""
    prose: str = ""
    listed: bool = False
    draft: bool = False
    foreign: str = ""
    credit: Source | None = None


@dataclass(frozen=True, slots=True)
class Composed:
    """The HTML of a page, still without its engravings.

    Attributes:
        html: The content.
        headings: Those that can be linked to, the title among them.
        anchors: All ids of the content.
    """

    html: str
    headings: tuple[Heading, ...]
    anchors: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Remark:
    """A problem as a page shows it.

    Attributes:
        severity: `error` or `remark`.
        text: What to know.
    """

    severity: str
    text: str


@dataclass(frozen=True, slots=True)
class Figure:
    """An engraving on a page.

    Attributes:
        device: Slug of the device.
        name: The slot, or the name of a version as played.
        anchor: Its id on the page.
        tonic: `E♭`.
        title: `E♭ major`.
        home: Whether the author wrote it in this key.
        notes: What to know about it, such as a hand that moved by an octave.
        files: Downloads.
    """

    device: str
    name: str
    anchor: str
    tonic: str
    title: str
    home: bool
    notes: tuple[str, ...]
    files: tuple[Link, ...]
