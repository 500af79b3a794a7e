"""The command `transposary`."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from transposary.check import check_reading
from transposary.configuration import find_glossary
from transposary.problems import errors, report
from transposary.reading import read_glossary


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs a command.

    Args:
        arguments: The words behind `transposary`; those of the command line if None.

    Returns:
        0 where all is well, 1 where entries have errors, 2 where the command makes no sense.
    """
    options = _parser().parse_args(arguments)
    return _check(options.folder)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="transposary", description="A musician's glossary of devices.")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    check = commands.add_parser("check", help="check all entries and print what is wrong with them")
    check.add_argument(
        "folder", nargs="?", type=Path, default=Path(), help="the folder of mkdocs.yml, or of the entries"
    )
    return parser


def _check(folder: Path) -> int:
    found = find_glossary(folder)
    if isinstance(found, str):
        print(f"transposary: {found}", file=sys.stderr)
        return 2
    problems = check_reading(read_glossary(found.root), found.settings)
    print(report(problems))
    return 1 if errors(problems) else 0
