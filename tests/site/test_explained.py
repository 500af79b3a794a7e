"""The explanation on a device's page."""

from tests.site.small import device
from tests.theory.build import build
from transposary.glossary import Device
from transposary.site.pages.explained import ExplainedView, explained
from transposary.theory.explanation import explain


def _explained(one: Device) -> ExplainedView:
    return explained(one.passage, explain(one.passage), {})


def test_notes_struck_together_are_told_apart() -> None:
    """Where notes of a strike do not do the same, each degree is named with what it does."""
    one = device("one", build("[E4 G4]:2 [D4 G4]:1 [E4 G4]:1", chords="0 C"))
    said = [[(it.degrees, it.function.text) for it in row.functions] for row in _explained(one).notes]
    assert said == [
        [("", "chord tone")],
        [("2", "neighbour note"), ("5", "chord tone")],
        [("", "chord tone")],
    ]


def test_a_right_hand_has_a_lower_line() -> None:
    """Only a left hand plays a bass."""
    right = device("right", build("[E4 C5] [D4 B4]", chords="0 C"))
    both = device("both", build("E4 D4", LH="C3 D3", chords="0 C"))
    assert _explained(right).motion[0] == "The lower line descends by step: 3 2."
    assert _explained(both).motion[0] == "The bass climbs by step: 1 2."
