"""Printed accidentals."""

import pytest

from tests.theory.abc import passage
from transposary.engraving.accidentals import printed_accidentals, signature_alters
from transposary.notes import notes

_SIGNS = {-2: "bb", -1: "b", 0: "n", 1: "#", 2: "x"}


def _shown(abc: str) -> str:
    read = passage(abc)
    return " ".join(
        "." if one is None else f"({_SIGNS[one.alter]})" if one.reminder else _SIGNS[one.alter]
        for one in printed_accidentals(read, notes(read))
    )


def _in(key: str, music: str) -> str:
    return _shown(f"M:4/4\nL:1/4\nK:{key}\n{music}\n")


@pytest.mark.parametrize(
    ("key", "music", "expected"),
    [
        ("C", "^F ^F =F F |]", "# . n ."),
        ("D", "F =F =F ^F |]", ". n . #"),
        ("Gb", "C __B _B c |]", ". bb b ."),
        ("C", "^F4- | ^F2 ^F2 |]", "# . #"),
        ("C", "^F4- | ^F2 =F2 |]", "# . (n)"),
        ("C", "^F4 | =F4 | F4 |]", "# (n) ."),
        ("C", "^F4 | G4 | F4 |]", "# . ."),
        ("C", "^F2 =f2 |]", "# (n)"),
        ("C", "^F2- ^F2 |]", "# ."),
        ("C", "{^F}G2 ^F2 |]", "# . ."),
        ("C", "^F4 | [K:G] F2 =F2 |]", "# . n"),
        ("G", "F4 | [K:F] F4 |]", ". ."),
    ],
)
def test_an_accidental_holds_for_its_bar_and_is_called_back_after_it(
    key: str, music: str, expected: str
) -> None:
    """Common practice, no source: once a bar, none on tied notes, a reminder where an ear would carry on."""
    assert _in(key, music) == expected


def test_two_voices_of_a_staff_share_accidentals_in_time() -> None:
    """What the second voice alters first, the first voice need not alter again; another staff must."""
    music = "M:4/4\nL:1/4\nK:C\nV:RH\ng2 ^f2 |]\nV:RH2\n^f2 e2 |]\nV:LH clef=bass\n^F,4 |]\n"
    assert _shown(music) == ". . # . #"


def test_signatures_alter_letters_in_the_order_of_fifths() -> None:
    """Two sharps raise F and C, three flats lower B, E and A (common practice, no source)."""
    assert signature_alters(2) == (1, 0, 0, 1, 0, 0, 0)
    assert signature_alters(-3) == (0, 0, -1, 0, 0, -1, -1)
    assert signature_alters(0) == (0,) * 7
