"""`transposary export`: entries for another glossary."""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from transposary.cli._outcome import SENSELESS, Commands, Outcome, add_folder_option, refused, written
from transposary.configuration import find_glossary
from transposary.exchange.bundle import may_leave, write_bundle
from transposary.exchange.lookup import find_entry
from transposary.exchange.selection import Choice, select
from transposary.glossary import Collection, Concept, Device, Entry, kind_of
from transposary.problems import Fault
from transposary.reading import read_glossary
from transposary.song import Song

_SORTS = {"device": Device, "song": Song, "concept": Concept, "collection": Collection}


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("export", help="write entries into an archive for another glossary")
    parser.add_argument("output", type=Path, help="the archive to write, such as horns.zip")
    for noun in (*_SORTS, "genre"):
        parser.add_argument(
            f"--{noun}", action="append", default=[], metavar="NAME", help=f"a {noun}; may be given again"
        )
    add_folder_option(parser)
    parser.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> Outcome:
    found = find_glossary(options.folder)
    if isinstance(found, str):
        return Outcome(SENSELESS, found)
    if options.output.suffix.lower() != ".zip":
        return Outcome(SENSELESS, f"an archive ends in .zip, found `{options.output}`")
    reading = read_glossary(found.root)
    glossary = reading.glossary.only(may_leave)
    entries = []
    for noun, sort in _SORTS.items():
        for name in getattr(options, noun):
            entry = find_entry(reading, sort, name)
            if isinstance(entry, Fault):
                return refused(entry)
            entries.append(entry)
    chosen = select(glossary, Choice(tuple(entries), tuple(options.genre)))
    if not chosen:
        return Outcome(SENSELESS, "nothing of the glossary is chosen by that")
    credit = (found.title, found.author, found.address)
    outcome = written(write_bundle(found.root, chosen, credit), options.output, options.output.name)
    return outcome if outcome.code else replace(outcome, text=f"{outcome.text}, with {_counted(chosen)}")


def _counted(entries: Sequence[Entry]) -> str:
    counts = Counter(map(kind_of, entries))
    return ", ".join(f"{counts[kind]} {kind.noun if counts[kind] == 1 else kind.value}" for kind in counts)
