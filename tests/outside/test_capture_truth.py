"""What was played is what is written, within bounds that are those of a good ear.

Source of the tunes: see `played`. The bounds are our own; of the whole table, printed by
`tests/bench/capturing.py`, a part of the half that judges is held here.
"""

import pytest

from tests.outside.judged import Score, judge
from tests.outside.played import Known, halves, pieces

_FIRST = 3


# Who strays from a click is heard without it, too, which takes ten times as long: of so many passages
# one is taken.
@pytest.mark.parametrize(
    ("known", "jitter", "apart", "onsets", "lengths", "bars"),
    [
        (Known.CLICK, 20, 8, 0.95, 0.93, 1.0),
        (Known.CLICK, 30, 16, 0.92, 0.88, 1.0),
        (Known.PICKUP, 20, 8, 0.95, 0.93, 1.0),
        (Known.TEMPO, 10, 8, 0.98, 0.97, 0.8),
        (Known.TEMPO, 30, 8, 0.92, 0.88, 0.7),
    ],
)
def test_played_notes_come_back(
    known: Known, jitter: int, apart: int, onsets: float, lengths: float, bars: float
) -> None:
    """Onsets and lengths are right for most notes; to a click, or with the pickup told, all bars are.

    By the tempo alone the notes tell where bars begin; where they do not, the draft asks, and no
    passage has wrong bars unasked.
    """
    _, judged = halves(pieces())
    total = sum((judge(piece, jitter, known) for piece in judged[_FIRST::apart]), start=Score())
    struck, held, barred, _ = total.shares
    assert struck >= onsets
    assert held >= lengths
    assert barred >= bars
    assert total.astray == 0
