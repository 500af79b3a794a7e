"""The command `transposary`.

Each module of this package that has no leading underscore is one command: it exports `add`,
which gives the command its words, its help and the function that runs it. To add a command,
add its module; nothing else lists them.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from pkgutil import iter_modules

from transposary.cli._outcome import SENSELESS, WRONG, Commands, Outcome, say


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs a command and gives its exit status (see `Outcome`).

    Args:
        arguments: The words behind `transposary`; those of the command line if None.
    """
    options = command_parser().parse_args(arguments)
    run: Callable[[argparse.Namespace], Outcome] = options.run
    try:
        outcome = run(options)
        say(outcome.text, wrong=outcome.code == SENSELESS)
    except BrokenPipeError:
        # Whoever read it, such as `head`, has enough; what is kept back would complain at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return WRONG
    return outcome.code


def command_parser() -> argparse.ArgumentParser:
    """Makes the parser of the command line, with every command."""
    parser = argparse.ArgumentParser(
        prog="transposary",
        description="A musician's glossary of devices, proved against the notes.",
        epilog="Begin with new or capture, then check. For help with one: transposary COMMAND --help",
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for module in iter_modules(__path__):
        if not module.name.startswith("_"):
            add: Callable[[Commands], None] = import_module(f"{__name__}.{module.name}").add
            add(commands)
    return parser
