"""Marks of the author that no hand can follow."""

import pytest

from tests.theory.abc import passage
from tests.theory.devices import device
from transposary.theory.fingering.own import check_own_fingering


def _said(notes: str, clef: str = "") -> str | None:
    found = check_own_fingering(device(passage(f"M: 4/4\nL: 1/4\nK: C{clef}\n{notes} |\n")))
    return (
        None
        if found is None
        else f"{found.place.line}:{found.place.column} {found.rule}: {found.text}; {found.hint}"
    )


def test_a_finger_cannot_hold_two_keys() -> None:
    """One finger twice in a chord is told, with the bar."""
    assert _said("[!1!C!3!E!3!G]4") == (
        "4:13 theory.fingering: finger 3 of the right hand is marked on E4 and G4 at once in bar 1; "
        "give one of them another finger; only the thumb takes two keys, and they must be neighbours"
    )


def test_fingers_that_do_not_reach_are_told() -> None:
    """Two marks beyond the widest span that can be played, or the wrong way round."""
    hint = "give one of them another finger, counted from the thumb as 1, or take a mark out"
    assert _said("[!2!C!3!c]4") == (
        "4:9 theory.fingering: fingers 2 and 3 of the right hand do not reach from C4 to C5 in bar 1; " + hint
    )
    assert _said("[!2!C,!3!E,]4", " clef=bass") == (
        "4:10 theory.fingering: fingers 2 and 3 of the left hand do not reach from C3 to E3 in bar 1; " + hint
    )


def test_a_finger_that_holds_cannot_play_elsewhere() -> None:
    """A mark on a note held from before counts as well."""
    said = _said("V:RH\n!5!c !4!B A2 |\nV:RH2\n!4!G4")
    assert said is not None
    assert "finger 4 of the right hand is marked on G4 and B4 at once in bar 1" in said


@pytest.mark.parametrize(
    ("notes", "clef"),
    [
        ("[!1!C!3!E!5!G]4", ""),
        ("[!5!C,!3!E,!1!G,]4", " clef=bass"),
        ("[!1!C!1!D!5!G]4", ""),
        ("!3!C!3!D!3!c!1!C", ""),
        ("[!1!CE!3!G]4", ""),
        ("[CEG]4", ""),
    ],
)
def test_what_a_hand_can_do_is_no_remark(notes: str, clef: str) -> None:
    """Reachable chords, the thumb on two neighbours, leaps and slides of a line, marks for some notes."""
    assert _said(notes, clef) is None
