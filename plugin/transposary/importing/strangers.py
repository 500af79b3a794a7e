"""What entries of others may not bring along."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from transposary.glossary import Collection, Concept, Device, Entry, Kind, Source
from transposary.problems import Fault
from transposary.song import Song

LONGEST_PROSE = 100_000
MOST_BRACKETS = 500

_HTML = re.compile(r"<\s*[a-z/!?]", re.IGNORECASE)
_WEB = re.compile(r"https?://[^\s<>\"']+")


def check_links_out(root: Path) -> Fault | None:
    """Refuses a folder with a file that is a link out of it."""
    inside = root.resolve()
    for kind in Kind:
        for folder, folders, files in os.walk(root / kind.value):
            for name in (*folders, *files):
                path = Path(folder, name)
                if path.is_symlink() and not path.resolve().is_relative_to(inside):
                    said = path.relative_to(root).as_posix()
                    return Fault(0, f"`{said}` is a link that leads out of the folder")
    return None


def check_plain(source: Source, entries: Iterable[Entry]) -> Fault | None:
    """Refuses HTML in what is never more than words: titles, names and short texts."""
    for what in (source.title, source.author):
        if _HTML.search(what):
            return Fault(0, f"its own name holds HTML, found `{_short(what)}`")
    if source.address and not _WEB.fullmatch(source.address):
        return Fault(0, f"its address is none of the web, found `{_short(source.address)}`")
    for entry in entries:
        for text in _plain_texts(entry):
            if _HTML.search(text):
                return Fault(0, f"{entry.place.file} holds HTML where words stand, found `{_short(text)}`")
    return None


def check_prose(entries: Iterable[Entry]) -> Fault | None:
    """Refuses prose that nobody writes and that would keep Markdown busy for hours.

    What rendering costs grows with the square of the brackets that are left open.
    """
    for entry in entries:
        for what, found, most in (
            ("characters", len(entry.prose), LONGEST_PROSE),
            ("square brackets", entry.prose.count("["), MOST_BRACKETS),
        ):
            if found > most:
                text = f"the prose of {entry.place.file} has {found:,} {what}, more than {most:,}"
                return Fault(0, text)
    return None


def _short(text: str) -> str:
    return ascii(text)[1:-1][:60]


def _plain_texts(entry: Entry) -> Iterator[str]:
    yield entry.title
    yield from entry.aliases
    match entry:
        case Device():
            yield entry.summary
            yield from entry.genres
            yield from (ref.name for ref in (*entry.concepts, *entry.see_also))
            for heard in entry.heard_in:
                yield from (heard.title or "", heard.where or "")
            for applied in entry.applied_in:
                yield from (applied.song.name, applied.changed or "")
        case Song():
            yield from entry.genres
            yield from (section.name for section in entry.sections)
        case Collection():
            yield from (item.note or "" for item in entry.items)
        case Concept():
            yield entry.broader.name if entry.broader else ""
