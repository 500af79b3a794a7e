"""The claims as a whole."""

import json
import pkgutil
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import claim_words
from tests.theory.build import build
from tests.theory.claims.claiming import FIRST_LINE, claim, device, judged, truths
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


@pytest.mark.parametrize("name", [one.name for one in CLAIMS if one.name != "scale"])
@given(words=claim_words(), scope=st.sampled_from([None, "RH", "LH", "LH2"]))
def test_the_line_offered_is_true(name: str, words: str, scope: str | None) -> None:
    """Whatever is claimed, a problem points into the words, and the line that it offers holds."""
    for place, _, hint in judged(PASSAGE, name, words, scope):
        line, column = map(int, place.split(":"))
        assert line in (FIRST_LINE - 1, FIRST_LINE)
        assert 1 <= column <= len(words) + 1
        offered = re.search(rf"write {scope or name}: (.*)$", hint)
        if offered is not None:
            assert judged(PASSAGE, name, json.loads(offered[1]), scope) == []
