"""The fingering on a device's page."""

from __future__ import annotations

from tests.site.small import device
from tests.theory.abc import passage
from tests.theory.build import build
from transposary.passage import Passage
from transposary.settings import Settings
from transposary.site.pages.fingering import SUGGESTED, UNHELD, FingeringView, fingering_view
from transposary.site.worked import InKey, Worked
from transposary.theory.keys import placements


def _view(music: Passage) -> FingeringView:
    keys = tuple(map(InKey, placements(music, None, Settings())))
    return fingering_view(Worked(device("one", music), keys))


def _abc(notes: str) -> Passage:
    return passage(f"M: 4/4\nL: 1/8\nK: C\n{notes} |\n")


def test_keys_that_share_a_fingering_have_one_row() -> None:
    """The row names them; the columns are what is struck, in degrees, under their bars."""
    view = _view(build("C4 E4 G4 C5 {Eb4}E4 [C4 G4]:3", LH="C2:8"))
    right, left = view.tables
    assert right.hand == "Right hand"
    assert right.bars == ((1, 4), (2, 3))
    assert right.degrees == ("1", "3", "5", "1", "{♭3}", "3", "1 5")
    assert [len(row.fingers) for row in right.rows] == [7] * len(right.rows)
    assert right.rows[0].keys == "C, D, E, F, G♭, G, A and B"
    assert right.rows[0].fingers[:4] == ("1", "2", "3", "5")
    assert [row.keys for row in left.rows] == ["C, D, E, F, G, A and B", "D♭, E♭, G♭, A♭ and B♭"]
    assert view.notes == (SUGGESTED,)


def test_what_no_hand_holds_has_a_dash() -> None:
    """And the page says what to do then."""
    view = _view(build("[C4 E6]:4"))
    assert [row.fingers for row in view.tables[0].rows] == [("–",)]
    assert view.notes == (SUGGESTED, UNHELD)


def test_the_page_says_where_the_author_s_fingering_is_kept() -> None:
    """In every key, in some, or nowhere but at home."""
    assert (
        _view(_abc("!3!C!4!D!3!C!4!D !5!E4")).notes[0] == "The author’s own fingering is kept in every key."
    )
    assert _view(_abc("!1!C!2!D!3!E!1!F !2!G4")).notes[0] == (
        "The author’s own fingering is kept in C and also in D, E, G♭, G, A and B; elsewhere it bends "
        "where black keys ask for it."
    )
    assert _view(_abc("C4 z4")).notes == (SUGGESTED,)
