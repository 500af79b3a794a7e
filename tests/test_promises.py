"""The table of promises in DEVELOPERS.md."""

import ast
import re
from pathlib import Path

import pytest

TESTS = Path(__file__).parent
_TEXT = (TESTS.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
_TABLE = re.search(r"^## What is promised$(.*?)^## ", _TEXT, re.MULTILINE | re.DOTALL)
assert _TABLE is not None
ROWS = [line.strip("| ").split(" | ") for line in _TABLE[1].splitlines() if line.startswith("| ")]
PROMISES = {row[0]: re.findall(r"`([^`]+)`", row[1]) for row in ROWS[2:] if len(row) == 2}


def test_there_are_promises() -> None:
    """The table is found, and no promise stands there twice."""
    assert len(PROMISES) > 40
    assert len(PROMISES) == sum(len(row) == 2 for row in ROWS[2:])


@pytest.mark.parametrize("promise", PROMISES)
def test_a_promise_has_its_tests(promise: str) -> None:
    """Each promise names at least one test, and all that it names exist."""
    assert PROMISES[promise]
    for test in PROMISES[promise]:
        file, _, name = test.partition("::")
        tree = ast.parse((TESTS / file).read_text(encoding="utf-8"))
        assert name in {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}, test
