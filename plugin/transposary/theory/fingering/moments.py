"""What a hand has to play, moment by moment: two voices in a hand are one hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from transposary.notes import Note
from transposary.passage import Hand
from transposary.theory.strikes import Hearing

_TIME_TO_MOVE = Fraction(1)


@dataclass(frozen=True, slots=True)
class Strike:
    """What a hand strikes at one moment, in the home key.

    Attributes:
        keys: MIDI numbers, ascending, each once.
        notes: The notes on each key: two where both voices strike it.
        held: The keys held from earlier, ascending.
        rested: Whether the hand has rested for a quarter or longer before it.
    """

    keys: tuple[int, ...]
    notes: tuple[tuple[Note, ...], ...]
    held: tuple[int, ...]
    rested: bool

    @property
    def marks(self) -> tuple[int, ...]:
        """The author's fingering, a finger a key, 0 for none."""
        return tuple(next((one.head.finger for one in notes if one.head.finger), 0) for notes in self.notes)


def strikes_of(hearing: Hearing, hand: Hand) -> tuple[Strike, ...]:
    """Lists what a hand strikes, in order; grace notes are struck before what they lead to."""
    found: list[Strike] = []
    ends: dict[int, Fraction] = {}
    own = (note for note in hearing.attacks if note.hand is hand and not note.grace)
    for onset, group in groupby(own, key=lambda note: note.onset):
        rested = bool(ends) and onset - max(ends.values()) >= _TIME_TO_MOVE
        sounding = sorted(key for key, end in ends.items() if end > onset)
        leading = [one for one in hearing.graces if one[0].onset == onset and one[0].hand is hand]
        struck = list(group)
        for together in (*leading, struck):
            found.append(_strike(together, sounding, rested=rested))
            rested = False
        for note in struck:
            ends[note.pitch.midi] = max(note.end, ends.get(note.pitch.midi, note.end))
    return tuple(found)


def _strike(together: Sequence[Note], sounding: Sequence[int], *, rested: bool) -> Strike:
    by_key: dict[int, list[Note]] = {}
    for note in together:
        by_key.setdefault(note.pitch.midi, []).append(note)
    keys = tuple(sorted(by_key))
    held = tuple(key for key in sounding if key not in by_key)
    return Strike(keys, tuple(tuple(by_key[key]) for key in keys), held, rested)
