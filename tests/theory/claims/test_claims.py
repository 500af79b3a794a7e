"""The claims as a whole."""

import pkgutil

from tests.theory.build import build
from tests.theory.claims.claiming import claim, device, judged, truths
from transposary.theory import claims
from transposary.theory.claims import CLAIMS, check_claims

PASSAGE = build(
    "[E4 G4]:2 {Eb4}E4:2 [D4 F4]:2 [B3 G4]:2", LH="C3:2 B2 Bb2 A2:2 G2:2", chords="0 C; 4 Dm7; 6 G7"
)


def test_every_module_is_a_claim() -> None:
    """The package finds its claims by itself; each is named like its module."""
    modules = [one.name for one in pkgutil.iter_modules(claims.__path__) if not one.name.startswith("_")]
    assert [one.name for one in CLAIMS] == modules
    assert set(modules) == {
        *("degrees", "bass", "top", "chord_degrees", "chord_bass", "chord_top"),
        *("harmony", "shapes", "intervals", "scale", "rhythm"),
    }


def test_what_a_claim_writes_is_true() -> None:
    """The text that a claim writes of some notes has no problem as a claim about them."""
    for scope in (None, "RH", "LH"):
        texts = truths(PASSAGE, scope)
        assert [judged(PASSAGE, name, text, scope) for name, text in texts.items()] == [[] for _ in texts]


def test_problems_of_several_claims_come_together_in_order() -> None:
    """All claims of a device are judged, and their problems come in the order of the file."""
    found = check_claims(
        device(PASSAGE, [claim("rhythm", "1"), claim("degrees", "1 2", "LH"), claim("harmony", "I | ii7 V")])
    )
    assert [(one.rule, one.place.column) for one in found] == [
        ("theory.rhythm", 2),
        ("theory.degrees", 3),
        ("theory.harmony", 9),
    ]
