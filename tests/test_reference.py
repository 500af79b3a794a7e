"""Holds what the reference says of the code that it is made from."""

from __future__ import annotations

from transposary.reading.schema import MODELS
from transposary.reference import reference


def test_every_row_says_something() -> None:
    """No field, option or word of a command stands in the reference without an explanation."""
    rows = [line.split(" | ") for line in reference().splitlines() if line.startswith("| ")]
    told = [row for row in rows if row[0].strip("| ") not in {"field", "option", "word", "scale", "---"}]
    assert [row for row in told if not row[1].strip()] == []
    fields = {name for model in MODELS.values() for name in model.model_fields}
    assert fields <= {row[0].strip("| `").split("`")[0] for row in told}
