"""Which accidentals are printed.

An accidental holds to the end of its bar for its line or space on its staff, in both voices.
A tied note repeats none. A reminder stands in parentheses where a player would carry on an
alteration that does not hold: one of the bar before, one tied over the barline, or one of
another octave.

Source: common practice (E. Gould, Behind Bars, 2011, ch. 3 "Accidentals"), from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from transposary.notes import Note, TieState
from transposary.passage import Passage

_SHARPS = "FCGDAEB"


@dataclass(frozen=True, slots=True)
class Accidental:
    """A printed accidental.

    Attributes:
        alter: Semitones, 0 for a natural.
        reminder: Whether it only reminds, and stands in parentheses.
    """

    alter: int
    reminder: bool = False


def signature_alters(fifths: int) -> tuple[int, ...]:
    """Gives what a key signature does to C D E F G A B, in that order."""
    alters = dict.fromkeys(_SHARPS, 0)
    for place in range(abs(fifths)):
        letter = _SHARPS[place % 7] if fifths > 0 else _SHARPS[-1 - place % 7]
        alters[letter] += 1 if fifths > 0 else -1
    return tuple(alters[letter] for letter in "CDEFGAB")


def printed_accidentals(passage: Passage, everything: Sequence[Note]) -> tuple[Accidental | None, ...]:
    """Tells for each note, by its index, which accidental it shows.

    Args:
        passage: The passage.
        everything: Its notes.
    """
    shown: list[Accidental | None] = [None] * len(everything)
    for hand in passage.hands:
        staff = _in_time([note for note in everything if note.hand is hand])
        for note, accidental in zip(staff, _staff(passage, staff), strict=True):
            shown[note.index] = accidental
    return tuple(shown)


def _in_time(staff: Sequence[Note]) -> list[Note]:
    return sorted(staff, key=lambda note: (note.onset, not note.grace, note.index))


def _staff(passage: Passage, in_time: Sequence[Note]) -> list[Accidental | None]:
    found: list[Accidental | None] = []
    signature = signature_alters(passage.key.signature)
    changes = [(onset, signature_alters(key.signature)) for onset, key in passage.keys[1:]]
    bars = iter(passage.bars)
    end = next(bars).end
    now: dict[int, int] = {}
    before: dict[int, int] = {}
    for note in in_time:
        while note.onset >= end and (bar := next(bars, None)) is not None:
            end = bar.end
            now, before = {}, now
        while changes and changes[0][0] <= note.onset:
            signature = changes.pop(0)[1]
            now, before = {}, before | now
        found.append(_accidental(note, signature[note.pitch.step % 7], now, before))
    return found


def _accidental(note: Note, signed: int, now: dict[int, int], before: dict[int, int]) -> Accidental | None:
    """Decides about one note and writes it into what the bar has shown so far."""
    step, alter = note.pitch.step, note.pitch.alter
    if note.tie in (TieState.CONTINUE, TieState.STOP):
        if step not in now:
            before[step] = alter
        return None
    held = now.get(step, signed)
    if held != alter:
        now[step] = alter
        return Accidental(alter)
    if step not in now and (before.get(step, alter) != alter or _differs_elsewhere(step, alter, now)):
        now[step] = alter
        return Accidental(alter, reminder=True)
    return None


def _differs_elsewhere(step: int, alter: int, now: dict[int, int]) -> bool:
    return any((other - step) % 7 == 0 and shown != alter for other, shown in now.items())
