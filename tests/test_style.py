"""Lint, format and types, held by the tests, so that one command says whether a change may land."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize(
    "command",
    [("ruff", "check", "."), ("ruff", "format", "--check", "."), ("mypy",)],
    ids=["lint", "format", "types"],
)
def test_the_code_keeps_the_house_style(command: tuple[str, ...]) -> None:
    """Ruff and mypy find nothing, as pyproject.toml configures them."""
    ran = subprocess.run(
        (sys.executable, "-m", *command), cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
