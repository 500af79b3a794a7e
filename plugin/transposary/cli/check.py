"""`transposary check`: all entries, and what is wrong with them."""

from __future__ import annotations

import argparse
import json
import os
import time
from collections.abc import Sequence
from enum import StrEnum
from pathlib import Path

from transposary.applying import news
from transposary.cache import FOLDER, Cache
from transposary.check import check_reading
from transposary.cli._outcome import FINE, SENSELESS, WRONG, Commands, Outcome, add_folder, say
from transposary.configuration import CONFIGURATION, Located, find_glossary
from transposary.glossary import source_name
from transposary.importing import read_all
from transposary.practice import read_record, record_in
from transposary.problems import Problem, errors, in_order, report, report_for_github
from transposary.reading import Reading
from transposary.site.linked import check_links_out, links_out, published_files
from transposary.watching import changes

_PAUSE = 0.5
"""Seconds between two looks at the files."""


class _Format(StrEnum):
    """For whom the problems are printed."""

    TEXT = "text"
    JSON = "json"
    GITHUB = "github"


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("check", help="check all entries and print what is wrong with them")
    add_folder(parser)
    parser.add_argument(
        "--format",
        choices=[one.value for one in _Format],
        default=_Format.TEXT.value,
        help="how to print it: for you, for other programs, or as annotations of a pull request",
    )
    parser.add_argument("--watch", action="store_true", help="check again whenever a file changes")
    parser.add_argument(
        "--clean-cache", action="store_true", help="take out what earlier builds have kept, first"
    )
    parser.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> Outcome:
    if options.clean_cache:
        Cache(options.folder / FOLDER).clear()
    return _watch(options) if options.watch else _check(options)


def _check(options: argparse.Namespace) -> Outcome:
    found = find_glossary(options.folder)
    if isinstance(found, str):
        return Outcome(SENSELESS, found)
    reading = read_all(found.root, found.settings)
    told = check_reading(reading, found.settings)
    problems = in_order((*told, *_links(found, told), *_practice(found.root, reading)))
    match _Format(options.format):
        case _Format.JSON:
            printed = _as_json(problems)
        case _Format.GITHUB:
            # An annotation names its file from the top of the repository, where the command runs.
            printed = report_for_github(problems, Path(os.path.relpath(found.root)).as_posix())
        case _Format.TEXT:
            own = reading.glossary.only(lambda entry: not source_name(entry.slug))
            printed = "\n".join((*news(own), report(problems)))
    return Outcome(WRONG if errors(problems) else FINE, printed)


def _links(found: Located, told: Sequence[Problem]) -> tuple[Problem, ...]:
    links = links_out(found.root, published_files(found.root, found.left_out)).values()
    return check_links_out(found.root, links, told)


def _practice(root: Path, reading: Reading) -> tuple[Problem, ...]:
    data = record_in(root)
    return () if data is None else read_record(data, reading.glossary.devices)[1]


def _as_json(problems: Sequence[Problem]) -> str:
    """Prints problems for other programs, with the fields that glossary.json gives them."""
    return json.dumps([problem.record for problem in problems], ensure_ascii=False, indent=1)


def _watch(options: argparse.Namespace) -> Outcome:
    """Checks until the user ends it."""
    last = Outcome(FINE, "")
    try:
        for _ in changes(lambda: _watched(options.folder), lambda: time.sleep(_PAUSE)):
            if options.format == _Format.TEXT:
                say(f"checking {options.folder}")
            last = _check(options)
            say(last.text)
    except KeyboardInterrupt:
        return Outcome(last.code, "")
    raise AssertionError("a watch has no end of its own")


def _watched(folder: Path) -> list[Path]:
    found = find_glossary(folder)
    if isinstance(found, str):
        return [folder / CONFIGURATION]
    return [folder / CONFIGURATION, found.root, *(one.path for one in found.settings.imports)]
