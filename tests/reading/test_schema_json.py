"""JSON Schemas for editors, held by a validator that is not ours."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import jsonschema
import pytest
import yaml

from transposary.glossary import Kind
from transposary.reading.schema_json import json_schema

ENTRIES = Path(__file__).parent.parent.parent / "entries"


def validator(kind: Kind) -> jsonschema.Draft202012Validator:
    """Makes a validator of a kind's fields."""
    schema = json.loads(json_schema(kind))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def as_json(value: object) -> object:
    """Turns the dates that YAML makes back into text."""
    match value:
        case dict():
            return {str(name): as_json(one) for name, one in value.items()}
        case list():
            return [as_json(one) for one in value]
        case date():
            return value.isoformat()
        case _:
            return value


@pytest.mark.parametrize("kind", Kind)
def test_the_demo_fits_its_schemas(kind: Kind) -> None:
    """What passes check passes the editor's schema too, read by YAML's own loader."""
    checker = validator(kind)
    for path in sorted((ENTRIES / kind.value).glob("*.md")):
        fields = yaml.safe_load(path.read_text(encoding="utf-8").split("---\n")[1])
        assert [(path.name, error.message) for error in checker.iter_errors(as_json(fields))] == []


@pytest.mark.parametrize(
    ("fields", "path"),
    [
        ({"levle": 3}, []),
        ({"level": 6}, ["level"]),
        ({"level": None}, ["level"]),
        ({"role": "singing"}, ["role"]),
        ({"genres": "soul"}, ["genres"]),
        ({"title": False}, ["title"]),
        ({"theory": {"degrees": 4}}, ["theory", "degrees"]),
        ({"theory": {"rhythm": {"HL": "1"}}}, ["theory", "rhythm"]),
    ],
)
def test_the_schema_refuses_what_check_refuses(fields: dict[str, object], path: list[str]) -> None:
    """Unknown fields and wrong values are seen while the author types."""
    good: dict[str, object] = {"title": "A", "summary": "B", "role": "bass", "notation": "M: 4/4"}
    checker = validator(Kind.DEVICE)
    assert list(checker.iter_errors(good)) == []
    assert [list(error.path) for error in checker.iter_errors(good | fields)] == [path]
