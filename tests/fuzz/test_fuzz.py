"""A share of the fuzzing; `python -m tests.fuzz` does all of it."""

from __future__ import annotations

from collections import Counter

from tests.fuzz.runner import Case, run_all

SEED = 20261


def test_whatever_is_read_ends_in_a_result_or_in_a_message() -> None:
    """Spoilt entries, scores and takes end in no traceback, no hang and no crash, from file to figure."""
    cases = [Case("entry", number, SEED) for number in range(140)]
    cases += [Case("score", number, SEED) for number in range(40)]
    found = list(run_all(cases, 1))
    assert [(case, report) for case, _, report in found if report] == []
    read = Counter(case.kind for case, what, _ in found if what == "read")
    assert read["entry"] >= 30
    assert read["score"] >= 4
