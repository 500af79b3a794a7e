"""Claims of a scale, judged by the mutation test's own table and rule."""

from collections.abc import Iterator

from tests.theory.mutation.sounds import key_at, name_of, sounds
from transposary.passage import Passage

# The scale's notes in semitones over its root.
SCALES = {
    "major": "0 2 4 5 7 9 11",
    "minor": "0 2 3 5 7 8 10",
    "dorian": "0 2 3 5 7 9 10",
    "mixolydian": "0 2 4 5 7 9 10",
    "lydian": "0 2 4 6 7 9 11",
    "harmonic minor": "0 2 3 5 7 8 11",
    "major pentatonic": "0 2 4 7 9",
    "minor pentatonic": "0 3 5 7 10",
    "blues": "0 3 5 6 7 10",
    "whole tone": "0 2 4 6 8 10",
}
NAMES = ("1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7")


def _struck(passage: Passage) -> set[int]:
    return {(one.midi - name_of(key_at(passage, one.onset).tonic.fifths)[1]) % 12 for one in sounds(passage)}


def holds(passage: Passage, name: str, outside: str) -> bool:
    """Tells whether the notes are those of the scale and exactly those listed outside."""
    listed = {NAMES.index(word) for word in outside.split()}
    strangers = _struck(passage) - set(map(int, SCALES[name].split()))
    return strangers == listed


def true_scales(passage: Passage) -> Iterator[tuple[str, str]]:
    """Lists scales with what lies outside, as true claims about a passage."""
    for name, notes in SCALES.items():
        strangers = sorted(_struck(passage) - set(map(int, notes.split())))
        if len(strangers) < 3:
            yield name, " ".join(NAMES[one] for one in strangers)


def changed(name: str, outside: str) -> Iterator[tuple[str, str]]:
    """Names another scale, or lists one degree more or less outside."""
    names = list(SCALES)
    for turn in (1, 4, 7):
        yield names[(names.index(name) + turn) % len(names)], outside
    for degree in ("b2", "4", "7"):
        if degree not in outside.split():
            yield name, f"{outside} {degree}".strip()
    if outside:
        yield name, " ".join(outside.split()[1:])
