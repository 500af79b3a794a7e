"""The page on which an idea is noted down by playing it."""

from __future__ import annotations

from dataclasses import dataclass

from transposary.pitch import NoteName, pretty
from transposary.site.links import NOTE_DOWN
from transposary.site.page import Page
from transposary.theory.keys import SLOTS


@dataclass(frozen=True, slots=True)
class NoteDownView:
    """What the page shows: the tonics with their places on the line of fifths."""

    tonics: tuple[tuple[str, int], ...]


def note_down_page() -> Page:
    """Makes the page; everything else on it is done by its script."""
    tonics = tuple((pretty(slot), NoteName.parse(slot).fifths) for slot in SLOTS)
    summary = "Play an idea, and take it away as ABC or as a draft."
    return Page(NOTE_DOWN, "Note down", "note-down", NoteDownView(tonics), summary)
