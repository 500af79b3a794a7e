"""The fingers suggested on a device's page: a table a hand, a row for the keys that share them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from transposary.pitch import Degree, pretty
from transposary.site.worked import Worked
from transposary.theory.degrees import degrees
from transposary.theory.fingering.keys import HandFingering, fingers_in
from transposary.theory.fingering.moments import Strike
from transposary.theory.fingering.own import bent, has_marks
from transposary.theory.hands import VOICES
from transposary.theory.keys import list_keys

SUGGESTED = (
    "A suggestion, worked out by a published model of what comes easily to hands. Hands differ: play "
    "what suits yours, and ask a teacher who sees them. Stop when it hurts, and ask a clinician about "
    "pain that stays. 1 is the thumb; fingers of notes struck together stand from the lowest note up."
)
UNHELD = "A dash stands where one hand cannot hold the notes: roll them, or share them between the hands."


@dataclass(frozen=True, slots=True)
class FingerRow:
    """The fingers that some keys share, a cell for each moment."""

    keys: str
    fingers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FingerTable:
    """The fingers of a hand.

    Attributes:
        hand: The hand in words.
        bars: Number of each bar and how many moments fall into it.
        degrees: What is struck at each moment.
        rows: The fingers, a row for the keys that share them.
    """

    hand: str
    bars: tuple[tuple[int, int], ...]
    degrees: tuple[str, ...]
    rows: tuple[FingerRow, ...]


@dataclass(frozen=True, slots=True)
class FingeringView:
    """What the page says about fingering.

    Attributes:
        notes: What to know about it.
        tables: A table a hand.
    """

    notes: tuple[str, ...]
    tables: tuple[FingerTable, ...]


def fingering_view(worked: Worked) -> FingeringView:
    """Shows the fingering of a device."""
    named = degrees(worked.device.passage)
    tables = tuple(_table(worked, hand, named) for hand in worked.fingering)
    unheld = any(not grip for hand in worked.fingering for one in hand.fingerings for grip in one.grips)
    notes = (*_own(worked), SUGGESTED, *((UNHELD,) if unheld else ()))
    return FingeringView(notes, tables)


def _own(worked: Worked) -> tuple[str, ...]:
    """Says in which keys the author's own fingering is kept."""
    if not has_marks(worked.device.passage):
        return ()
    home = worked.home.placement
    kept = [
        key.placement
        for key in worked.keys
        if key.placement != home
        and bent(worked.device.passage, fingers_in(worked.fingering, key.slot)) == worked.device.passage
    ]
    if len(kept) == len(worked.keys) - 1:
        return ("The author’s own fingering is kept in every key.",)
    where = f"is kept in {list_keys([home])}"
    if kept:
        where += f" and also in {list_keys(kept)}"
    return (f"The author’s own fingering {where}; elsewhere it bends where black keys ask for it.",)


def _table(worked: Worked, hand: HandFingering, named: Sequence[Degree]) -> FingerTable:
    placed = {key.slot: key.placement for key in worked.keys}
    numbers = [strike.notes[0][0].bar for strike in hand.strikes]
    return FingerTable(
        VOICES[hand.hand.value],
        tuple((number, len(list(found))) for number, found in groupby(numbers)),
        tuple(_struck(strike, named) for strike in hand.strikes),
        tuple(
            FingerRow(
                list_keys([placed[slot] for slot in one.slots]),
                tuple(" ".join(map(str, grip)) or "–" for grip in one.grips),
            )
            for one in hand.fingerings
        ),
    )


def _struck(strike: Strike, named: Sequence[Degree]) -> str:
    text = " ".join(pretty(str(named[notes[0].index])) for notes in strike.notes)
    return f"{{{text}}}" if strike.notes[0][0].grace else text
