"""What is looked for in charts."""

from __future__ import annotations

from tests.repertoire.test_judged_fits import GUIDE, LICK, THROUGH
from transposary.glossary import Device
from transposary.repertoire.patterns import own_pattern, patterns_of


def _steps(device: Device) -> list[list[tuple[str, str]]]:
    return [[(str(one.numeral), str(one.length)) for one in found.steps] for found in patterns_of(device)]


def test_a_device_looks_for_its_own_harmony() -> None:
    """Each chord is counted from the tonic and lasts until the next."""
    assert _steps(GUIDE) == [[("ii7", "4"), ("V7", "4"), ("Imaj7", "8")]]


def test_over_comes_before_the_harmony_of_the_device() -> None:
    """A reharmonisation looks for the plain chart first, and for its own chords too."""
    assert _steps(THROUGH) == [[("I", "4"), ("ii7", "4")], [("I", "2"), ("#io7", "2"), ("ii7", "4")]]
    assert len(own_pattern(THROUGH).steps) == 3


def test_a_device_on_one_chord_looks_for_it_alone() -> None:
    """What hangs on a chord needs it for as long as it lasts."""
    assert _steps(LICK) == [[("I7", "4")]]
