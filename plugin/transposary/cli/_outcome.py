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


def written(content: bytes | Fault, output: Path | None, name: str) -> Outcome:
    """Writes what a command has made into a file, or prints it where no file is named.

    Args:
        content: What was made, or why it could not be made.
        output: The file that the user named; what is there is replaced.
        name: The file in the current folder that is written, if it is not there yet, where
            printing would fill a terminal.
    """
    if isinstance(content, Fault):
        return refused(content)
    if output is None and not sys.stdout.isatty():
        sys.stdout.buffer.write(content)
        sys.stdout.flush()
        return Outcome(FINE, "")
    mode = "xb" if output is None else "wb"
    output = output or Path(name)
    try:
        with output.open(mode) as file:
            file.write(content)
    except FileExistsError:
        return Outcome(SENSELESS, f"{output} is there already; name a file with --output")
    except OSError as error:
        return Outcome(SENSELESS, f"{output} cannot be written: {error.strerror}")
    return Outcome(FINE, f"{output} is written")


def add_output(parser: argparse.ArgumentParser) -> None:
    """Lets the user name the file that is written."""
    parser.add_argument(
        "--output",
        type=Path,
        help="the file to write; if left out, a new one with the name of the entry, or printed into a pipe",
    )


def add_folder(parser: argparse.ArgumentParser) -> None:
    """Lets the user name a glossary as the command's last word."""
    parser.add_argument(
        "folder", nargs="?", type=Path, default=Path(), help="the folder of mkdocs.yml, or of the entries"
    )


def add_folder_option(parser: argparse.ArgumentParser) -> None:
    """Lets the user name a glossary by an option, where the command's words say something else."""
    parser.add_argument("--folder", type=Path, default=Path(), help="the folder of mkdocs.yml")
