"""`transposary sheet`: a hand-out as one HTML file."""

from __future__ import annotations

import argparse
from dataclasses import replace

from transposary.cli._entry import named_entry
from transposary.cli._outcome import (
    SENSELESS,
    Commands,
    Outcome,
    add_folder_option,
    add_output,
    refused,
    written,
)
from transposary.engraving import EngraversError
from transposary.exchange.sheet import collection_sheet, device_sheet
from transposary.glossary import Collection, Device
from transposary.problems import Fault
from transposary.theory.keys import SLOTS, parse_key, slot_of


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("sheet", help="write a hand-out to print, all in one HTML file")
    kinds = parser.add_subparsers(required=True, metavar="KIND")
    one = kinds.add_parser("device", help="a device in some keys")
    one.add_argument("name", help="any name of the device")
    one.add_argument(
        "--keys", default="", help="such as Eb,F (commas between) or all; its own key if left out"
    )
    one.set_defaults(run=_device)
    whole = kinds.add_parser("collection", help="a lesson or a set")
    whole.add_argument("name", help="any name of the collection")
    whole.set_defaults(run=_collection)
    for each in (one, whole):
        add_output(each)
        add_folder_option(each)


def _device(options: argparse.Namespace) -> Outcome:
    named = named_entry(options.folder, Device, options.name)
    if isinstance(named, Outcome):
        return named
    slots = _slots(options.keys)
    if isinstance(slots, Fault):
        return refused(slots)
    try:
        sheet = device_sheet(named.entry, slots, named.located.settings, named.located.title)
    except EngraversError as error:
        return Outcome(SENSELESS, str(error))
    return written(sheet, options.output, f"{named.entry.slug}.html")


def _slots(text: str) -> tuple[str, ...] | Fault:
    if text.strip().casefold() == "all":
        return SLOTS
    slots = []
    for word in text.split(",") if text.strip() else ():
        key = parse_key(word.strip())
        if isinstance(key, Fault):
            several = "several keys have commas between them"
            return replace(key, hint=f"{key.hint}; {several}" if key.hint else several)
        slots.append(slot_of(key.tonic))
    return tuple(slots)


def _collection(options: argparse.Namespace) -> Outcome:
    named = named_entry(options.folder, Collection, options.name)
    if isinstance(named, Outcome):
        return named
    try:
        sheet = collection_sheet(named.entry, named.glossary, named.located.settings, named.located.title)
    except EngraversError as error:
        return Outcome(SENSELESS, str(error))
    return written(sheet, options.output, f"{named.entry.slug}.html")
