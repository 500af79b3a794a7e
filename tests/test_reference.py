"""Holds the reference that is committed to the code that it is made from."""

from __future__ import annotations

from pathlib import Path

from transposary.reading.schema import MODELS
from transposary.reference import reference

_ROOT = Path(__file__).parent.parent


def test_the_committed_reference_is_current() -> None:
    """The reference is what the code says; `python -m transposary.reference` makes it anew."""
    assert (_ROOT / ".github" / "REFERENCE.md").read_text(encoding="utf-8") == reference()


def test_every_row_says_something() -> None:
    """No field, option or word of a command stands in the reference without an explanation."""
    rows = [line.split(" | ") for line in reference().splitlines() if line.startswith("| ")]
    told = [row for row in rows if row[0].strip("| ") not in {"field", "option", "word", "scale", "---"}]
    assert [row for row in told if not row[1].strip()] == []
    fields = {name for model in MODELS.values() for name in model.model_fields}
    assert fields <= {row[0].strip("| `").split("`")[0] for row in told}
