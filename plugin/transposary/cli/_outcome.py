"""How a command ends, and the options that several commands share."""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

FINE, WRONG, SENSELESS = 0, 1, 2

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"  # noqa: SLF001  (it has no public name)
"""Where a module of this package adds its command."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a command ends.

    Attributes:
        code: The exit status: 0 where all is well, 1 where entries have errors, 2 where the
            command makes no sense.
        text: What it says, or nothing; on standard error if the command makes no sense.
    """

    code: int
    text: str


def say(text: str, *, wrong: bool = False) -> None:
    """Prints what a command says, at once."""
    if text:
        print(text, file=sys.stderr if wrong else sys.stdout, flush=True)


def add_folder(parser: argparse.ArgumentParser) -> None:
    """Lets the user name a glossary as the command's last word."""
    parser.add_argument(
        "folder", nargs="?", type=Path, default=Path(), help="the folder of mkdocs.yml, or of the entries"
    )


def add_folder_option(parser: argparse.ArgumentParser) -> None:
    """Lets the user name a glossary by an option, where the command's words say something else."""
    parser.add_argument("--folder", type=Path, default=Path(), help="the folder of mkdocs.yml")
