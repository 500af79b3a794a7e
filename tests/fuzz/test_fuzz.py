"""A share of the fuzzing; `python -m tests.fuzz` does all of it."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.fuzz.runner import Case, run_all

SEED = 20261


@pytest.mark.parametrize(("kind", "count", "least"), [("entry", 140, 30), ("score", 40, 4)])
def test_whatever_is_read_ends_in_a_result_or_in_a_message(kind: str, count: int, least: int) -> None:
    """Spoilt entries, scores and takes end in no traceback, no hang and no crash, from file to figure."""
    found = list(run_all([Case(kind, number, SEED) for number in range(count)], 1))
    assert [(case, report) for case, _, report in found if report] == []
    assert Counter(what for _, what, _ in found)["read"] >= least
