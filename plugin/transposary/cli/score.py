"""`transposary score`: notes for other programs."""

from __future__ import annotations

import argparse

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
from transposary.exchange.scores import Form, collection_score, device_score, part_score
from transposary.glossary import Collection, Device
from transposary.problems import Fault
from transposary.theory.keys import parse_key, slot_of
from transposary.theory.parts import PARTS


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("score", help="write notes for other programs")
    kinds = parser.add_subparsers(required=True, metavar="KIND")
    one = kinds.add_parser("device", help="write a device in any key, as MusicXML, ABC or MIDI")
    one.add_argument("name", help="any name of the device")
    one.add_argument("--key", help="the key, such as Eb; the one in which it was learnt if left out")
    one.add_argument(
        "--format", choices=[form.value for form in Form], default=Form.MUSICXML.value, help="what to write"
    )
    one.add_argument(
        "--part",
        choices=[part.slug for part in PARTS],
        help="write it for an instrument, as MusicXML that sounds in the key",
    )
    one.add_argument("--line", help="which line of a part that has several, such as voice-2")
    one.set_defaults(run=_device)
    whole = kinds.add_parser("collection", help="write a whole collection as one MusicXML")
    whole.add_argument("name", help="any name of the collection")
    whole.set_defaults(run=_collection)
    for parser in (one, whole):
        add_output(parser)
        add_folder_option(parser)


def _device(options: argparse.Namespace) -> Outcome:
    named = named_entry(options.folder, Device, options.name)
    if isinstance(named, Outcome):
        return named
    device, settings = named.entry, named.located.settings
    key = parse_key(options.key) if options.key else device.passage.key
    if isinstance(key, Fault):
        return refused(key)
    slot = slot_of(key.tonic)
    if options.part is not None:
        if options.format != Form.MUSICXML:
            return Outcome(SENSELESS, "only MusicXML says what a part sounds; leave out --format")
        part = next(one for one in PARTS if one.slug == options.part)
        score = part_score(device, slot, part, options.line, settings)
    else:
        score = device_score(device, slot, Form(options.format), settings)
    return written(score, options.output, f"{device.slug}.{options.format}")


def _collection(options: argparse.Namespace) -> Outcome:
    named = named_entry(options.folder, Collection, options.name)
    if isinstance(named, Outcome):
        return named
    score = collection_score(named.entry, named.glossary, named.located.settings)
    return written(score, options.output, f"{named.entry.slug}.{Form.MUSICXML}")
