"""The author's own fingering: which of its marks are kept in a key."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import count

from transposary.notes import notes
from transposary.passage import Head, Passage, Voice


def has_marks(passage: Passage) -> bool:
    """Tells whether the author has fingered a note."""
    return any(note.head.finger for note in notes(passage))


def only_kept(passage: Passage, fingers: Mapping[int, int]) -> Passage:
    """Takes the author's marks out of a key where other fingers are suggested.

    Args:
        passage: The notes in that key, with the marks of the home key.
        fingers: What is suggested there, by index of the note.
    """
    if not has_marks(passage):
        return passage
    numbers = count()
    return replace(passage, voices=tuple(_voice_kept(voice, fingers, numbers) for voice in passage.voices))


def _voice_kept(voice: Voice, fingers: Mapping[int, int], numbers: Iterator[int]) -> Voice:
    events = []
    for event in voice.events:
        graces = tuple(
            replace(grace, heads=_heads_kept(grace.heads, fingers, numbers)) for grace in event.graces
        )
        events.append(replace(event, graces=graces, heads=_heads_kept(event.heads, fingers, numbers)))
    return replace(voice, events=tuple(events))


def _heads_kept(
    heads: tuple[Head, ...], fingers: Mapping[int, int], numbers: Iterator[int]
) -> tuple[Head, ...]:
    return tuple(
        head if head.finger == fingers.get(number) else replace(head, finger=None)
        for head, number in zip(heads, numbers, strict=False)
    )
