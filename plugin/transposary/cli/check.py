"""`transposary check`: all entries, and what is wrong with them."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence

from transposary.applying import news
from transposary.check import check_reading
from transposary.cli._outcome import FINE, SENSELESS, WRONG, Commands, Outcome, add_folder
from transposary.configuration import find_glossary
from transposary.problems import Problem, errors, report
from transposary.reading import read_glossary


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("check", help="check all entries and print what is wrong with them")
    add_folder(parser)
    parser.add_argument("--format", choices=("text", "json"), default="text", help="how to print it")
    parser.set_defaults(run=_check)


def _check(options: argparse.Namespace) -> Outcome:
    found = find_glossary(options.folder)
    if isinstance(found, str):
        return Outcome(SENSELESS, found)
    reading = read_glossary(found.root)
    problems = check_reading(reading, found.settings)
    printed = "\n".join((*news(reading.glossary), report(problems)))
    if options.format == "json":
        printed = _as_json(problems)
    return Outcome(WRONG if errors(problems) else FINE, printed)


def _as_json(problems: Sequence[Problem]) -> str:
    """Prints problems for other programs, with the fields that glossary.json gives them."""
    return json.dumps([problem.record for problem in problems], ensure_ascii=False, indent=1)
