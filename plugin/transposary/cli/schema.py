"""`transposary schema`: the JSON Schema of a kind of entries."""

from __future__ import annotations

import argparse

from transposary.cli._outcome import FINE, Commands, Outcome
from transposary.glossary import Kind
from transposary.reading.schema_json import json_schema


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("schema", help="print the JSON Schema of the fields of a kind, for editors")
    parser.add_argument("kind", choices=[kind.noun for kind in Kind], help="the kind of entries")
    parser.set_defaults(run=_schema)


def _schema(options: argparse.Namespace) -> Outcome:
    return Outcome(FINE, json_schema(next(kind for kind in Kind if kind.noun == options.kind)))
