"""How a command ends, and the options that several commands share."""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from transposary.problems import Fault

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


def refused(fault: Fault) -> Outcome:
    """Says why a command makes no sense."""
    return Outcome(SENSELESS, "; ".join(part for part in (fault.text, fault.hint) if part))


def written(content: bytes | Fault, output: Path | None) -> Outcome:
    """Writes what a command has made into a file, or prints it where no file is named."""
    if isinstance(content, Fault):
        return refused(content)
    if output is None:
        sys.stdout.buffer.write(content)
        sys.stdout.flush()
        return Outcome(FINE, "")
    try:
        output.write_bytes(content)
    except OSError as error:
        return Outcome(SENSELESS, f"{output} cannot be written: {error.strerror}")
    return Outcome(FINE, f"{output} is written")


def add_output(parser: argparse.ArgumentParser) -> None:
    """Lets the user name the file that is written."""
    parser.add_argument("--output", type=Path, help="the file to write; printed if left out")


def add_folder(parser: argparse.ArgumentParser) -> None:
    """Lets the user name a glossary as the command's last word."""
    parser.add_argument(
        "folder", nargs="?", type=Path, default=Path(), help="the folder of mkdocs.yml, or of the entries"
    )


def add_folder_option(parser: argparse.ArgumentParser) -> None:
    """Lets the user name a glossary by an option, where the command's words say something else."""
    parser.add_argument("--folder", type=Path, default=Path(), help="the folder of mkdocs.yml")
