"""A device fingered in its twelve keys.

The author's own fingering is kept in the home key. In another key it is kept, too, unless it brings
the thumb or the fifth finger from a white key of a line onto a black one among white ones (three
points or more of rules 10 and 11). Then it bends: each finger that is changed costs a point besides
those of the model, and so does the one on that black key where it is not changed.

Where the author's fingering of a scale or an arpeggio is the standard one, the
standard one holds in every key.

Keys in which the same notes fall on black keys are fingered alike, and are worked out once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from transposary.passage import Hand, Passage
from transposary.theory.fingering.figures import Figure, figures
from transposary.theory.fingering.grips import Grip
from transposary.theory.fingering.model import (
    Touch,
    five_on_black,
    is_black,
    thumb_beside_white,
    thumb_on_black,
)
from transposary.theory.fingering.moments import Strike, strikes_of
from transposary.theory.fingering.search import Moment, Wish, search
from transposary.theory.keys import Placement
from transposary.theory.strikes import hearing

# The left hand is the right hand mirrored about D4, which keeps the colour of every key.
_MIRROR = 2 * 62
_BENT = 1
_AWKWARD = 3


@dataclass(frozen=True, slots=True)
class Fingering:
    """How a hand can finger a device in some of its keys.

    Attributes:
        slots: The keys that share it, in the order of the slots.
        grips: The fingers of what is struck at each moment, a finger a key, the lowest key first;
            empty where no hand could hold it.
    """

    slots: tuple[str, ...]
    grips: tuple[Grip, ...]


@dataclass(frozen=True, slots=True)
class HandFingering:
    """How a hand can finger a device in every key.

    Attributes:
        hand: The hand.
        strikes: What it strikes, in the home key.
        fingerings: Its fingerings, in the order of their first keys.
    """

    hand: Hand
    strikes: tuple[Strike, ...]
    fingerings: tuple[Fingering, ...]

    def fingers(self, slot: str) -> dict[int, int]:
        """Gives the finger of each note struck in a key, by the index of the note.

        Notes that no hand could hold are missing.
        """
        grips = next(one.grips for one in self.fingerings if slot in one.slots)
        return {
            note.index: finger
            for strike, grip in zip(self.strikes, grips, strict=True)
            for notes, finger in zip(strike.notes, grip, strict=bool(grip))
            for note in notes
        }


def finger(passage: Passage, keys: Sequence[Placement]) -> tuple[HandFingering, ...]:
    """Fingers a device in some of its keys, hand by hand; a hand that strikes nothing is left out.

    Args:
        passage: The device in the home key.
        keys: Where it lies in these keys.
    """
    return tuple(
        HandFingering(hand, strikes, _shared(strikes, hand, keys)) for hand, strikes in _struck(passage)
    )


def fingered(passage: Passage, known: Sequence[Sequence[Fingering]]) -> tuple[HandFingering, ...]:
    """Gives what `finger` gives of a device, with fingerings that were found before.

    Args:
        passage: The device in the home key.
        known: The fingerings of each hand that strikes something.

    Raises:
        ValueError: They are not of so many hands, or of so many notes.
    """
    hands = zip(_struck(passage), known, strict=True)
    found = tuple(HandFingering(hand, strikes, tuple(mine)) for (hand, strikes), mine in hands)
    for one in found:
        for fingering in one.fingerings:
            one.fingers(fingering.slots[0])
    return found


def _struck(passage: Passage) -> list[tuple[Hand, tuple[Strike, ...]]]:
    heard = hearing(passage)
    struck = [(hand, strikes_of(heard, hand)) for hand in passage.hands]
    return [(hand, strikes) for hand, strikes in struck if strikes]


def _shared(strikes: Sequence[Strike], hand: Hand, keys: Sequence[Placement]) -> tuple[Fingering, ...]:
    known: dict[tuple[bool, ...], tuple[Grip, ...]] = {}
    groups: dict[tuple[Grip, ...], list[str]] = {}
    work = _Work.of(strikes, hand)
    for key in keys:
        shift = key.shift(hand)
        colours = tuple(is_black(one + shift) for one in work.every)
        if colours not in known:
            known[colours] = work.in_key(shift)
        groups.setdefault(known[colours], []).append(key.slot)
    return tuple(Fingering(tuple(slots), grips) for grips, slots in groups.items())


def fingers_in(hands: Sequence[HandFingering], slot: str) -> dict[int, int]:
    """Gives the finger of each note struck in a key, by the index of the note, of all hands."""
    return {index: finger for hand in hands for index, finger in hand.fingers(slot).items()}


@dataclass(frozen=True, slots=True)
class _Work:
    """What is the same in all keys.

    Attributes:
        strikes: What the hand strikes.
        hand: The hand.
        every: All keys struck, in order, whose colours decide about the fingering.
        figures: The scales and arpeggios that the author has not fingered otherwise.
        marks: The author's fingers by strike, but for those of a standard figure.
    """

    strikes: Sequence[Strike]
    hand: Hand
    every: tuple[int, ...]
    figures: tuple[Figure, ...]
    marks: tuple[Grip, ...]

    @classmethod
    def of(cls, strikes: Sequence[Strike], hand: Hand) -> _Work:
        every = tuple(key for strike in strikes for key in strike.keys)
        marks = [strike.marks for strike in strikes]
        chosen = []
        for figure in figures([_single(strike) for strike in strikes]):
            own = [marks[at][0] for at in range(figure.first, figure.last + 1)]
            if all(one in (0, other) for one, other in zip(own, figure.fingers(hand, 0), strict=True)):
                chosen.append(figure)
        return cls(strikes, hand, every, tuple(chosen), tuple(marks))

    def in_key(self, shift: int) -> tuple[Grip, ...]:
        """Finds the fingering of a key that lies so many semitones from the home key."""
        wishes = self._wishes(shift)
        moments = [
            Moment(self._hold(strike.keys, shift), self._hold(strike.held, shift), strike.rested, wish)
            for strike, wish in zip(self.strikes, wishes, strict=True)
        ]
        found = search(moments)
        return found if self.hand is Hand.RIGHT else tuple(grip[::-1] for grip in found)

    def _hold(self, keys: tuple[int, ...], shift: int) -> tuple[int, ...]:
        if self.hand is Hand.RIGHT:
            return tuple(key + shift for key in keys)
        return tuple(_MIRROR - key - shift for key in reversed(keys))

    def _wishes(self, shift: int) -> list[Wish | None]:
        awkward = set() if shift == 0 else set(self._awkward(shift))
        wishes: list[Wish | None] = [None] * len(self.strikes)
        for at, marks in enumerate(self.marks):
            if at in awkward:
                wishes[at] = Wish((0,), _BENT, marks)
            elif any(marks):
                wishes[at] = Wish(
                    marks if self.hand is Hand.RIGHT else marks[::-1], _BENT if awkward else None
                )
        for figure in self.figures:
            for at, finger in enumerate(figure.fingers(self.hand, shift), figure.first):
                wishes[at] = Wish((finger,))
        return wishes

    def _awkward(self, shift: int) -> Iterator[int]:
        """Finds the strikes at which black keys do not allow the author's finger."""
        lines = [_single(strike) for strike in self.strikes]
        for at, (key, marks) in enumerate(zip(lines, self.marks, strict=True)):
            if key is None or not marks[0] or is_black(key) or not is_black(key + shift):
                continue
            here = Touch(key + shift, marks[0])
            beside = [
                other for other in (*lines[max(at - 1, 0) : at], *lines[at + 1 : at + 2]) if other is not None
            ]
            white = sum(
                thumb_beside_white(here, Touch(other + shift, 0))
                + five_on_black(here, Touch(other + shift, 0))
                for other in beside
            )
            if thumb_on_black(here) + white >= _AWKWARD:
                yield at


def _single(strike: Strike) -> int | None:
    """Gives the key of a strike that stands in a line of single notes, else None."""
    return None if len(strike.keys) > 1 or strike.held or strike.rested else strike.keys[0]
