"""What came back of a played passage, held against what was meant."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from tests.outside.played import Known, Piece, meant, play
from transposary.capture.hands import named_hands, split_hands
from transposary.capture.lengths import measure
from transposary.capture.midi import read_midi
from transposary.capture.timing import Told, time_take
from transposary.problems import Fault

SECONDS = {10: 0.010, 20: 0.020, 30: 0.030}


@dataclass(frozen=True, slots=True)
class Score:
    """How much of one passage, or of many, came back.

    Attributes:
        notes: Notes that were played.
        struck: Those with the right key and onset.
        held: Notes whose length is determined: those without a staccato dot.
        lengths: Those with the right key, onset and length.
        passages: How many passages.
        whole: Those right in every note and length.
        bars: Those with meter and barlines right.
        two_hands: Those for two hands.
        hands: Those of them with every note in the right hand.
        asked: Passages whose draft asks where bars begin.
        astray: Those with wrong bars and no question.
    """

    notes: int = 0
    struck: int = 0
    held: int = 0
    lengths: int = 0
    passages: int = 0
    whole: int = 0
    bars: int = 0
    two_hands: int = 0
    hands: int = 0
    asked: int = 0
    astray: int = 0

    def __add__(self, other: Score) -> Score:
        return Score(*(getattr(self, name) + getattr(other, name) for name in self.__slots__))

    @property
    def shares(self) -> tuple[float, float, float, float]:
        """Shares of onsets, of lengths, of bars and of whole passages that are right."""
        pairs = (
            (self.struck, self.notes),
            (self.lengths, self.held),
            (self.bars, self.passages),
            (self.whole, self.passages),
        )
        return tuple(one / max(all_of_them, 1) for one, all_of_them in pairs)  # type: ignore[return-value]


def judge(piece: Piece, jitter: int, known: Known) -> Score:
    """Plays a piece, captures it and counts what is right.

    Onsets may all be moved by one time, which is what a barline found in another place does; with
    the click they may be moved by whole bars only, and `bars` says whether the barlines are right.
    """
    # What is told afterwards does not change the performance.
    played = Known.TEMPO if known is Known.PICKUP else known
    take = read_midi(play(piece, SECONDS[jitter], played))
    assert not isinstance(take, Fault)
    meter = piece.passage.meter
    told = _told(piece, known)
    timing = time_take(take, told)
    numbers = [note.number for note in take.notes]
    hands = named_hands(take) or split_hands(take.notes, timing.onsets)
    placed = measure(numbers, hands, timing)
    wanted = meant(piece)
    moves = Counter(want.onset - one.onset for one in placed for want in wanted if one.number == want.number)
    if known is Known.CLICK:
        moves = Counter({move: count for move, count in moves.items() if move % meter.length == 0})
    move = max(moves, key=lambda one: (moves[one], -abs(one)), default=Fraction(0))
    struck = _both(
        ((one.number, one.onset + move) for one in placed), ((one.number, one.onset) for one in wanted)
    )
    held = [(one.number, one.onset, one.length) for one in wanted if not one.staccato]
    lengths = _both(((one.number, one.onset + move, one.length) for one in placed), held)
    right_hands = _both(
        ((one.number, one.hand.value) for one in placed), ((one.number, one.hand) for one in wanted)
    )
    two = len({one.hand for one in wanted}) == 2
    bars = move % meter.length == 0 and timing.meter == meter
    asked = not {"downbeat", "meter"}.isdisjoint(timing.guessed)
    return Score(
        len(wanted),
        struck,
        len(held),
        lengths,
        1,
        int(struck == len(wanted) and lengths == len(held)),
        int(bars),
        int(two),
        int(two and right_hands == len(wanted)),
        int(asked),
        int(not bars and not asked),
    )


def _told(piece: Piece, known: Known) -> Told:
    meter = piece.passage.meter
    if known is Known.PICKUP:
        first = min(one.onset for one in meant(piece))
        return Told(meter, piece.tempo, -first / meter.beat)
    return Told(meter, piece.tempo) if known is Known.TEMPO else Told()


def _both(ours: Iterable[object], theirs: Iterable[object]) -> int:
    return sum((Counter(ours) & Counter(theirs)).values())
