"""Spelling of captured notes in every key."""

import pytest

from transposary.passage import Key, Mode
from transposary.theory.keys import SLOTS, tonic_of
from transposary.theory.naming import name_number


@pytest.mark.parametrize("mode", Mode)
def test_every_number_has_a_name_in_every_key(mode: Mode) -> None:
    """Whatever is struck sounds as it is spelled, in all modes of all twelve keys."""
    for slot in SLOTS:
        key = Key(tonic_of(slot, mode, {}), mode)
        assert [name_number(number, key).midi for number in range(128)] == list(range(128))
