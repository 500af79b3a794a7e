"""`transposary apply`: a device, taken to bars of a song."""

from __future__ import annotations

import argparse
from datetime import date, datetime

from transposary.applying import Wish, apply
from transposary.cli._outcome import FINE, SENSELESS, Commands, Outcome, add_folder_option
from transposary.configuration import find_glossary
from transposary.importing import read_all
from transposary.problems import Fault
from transposary.reading.values import parse_bars
from transposary.repertoire.landing import Refusal
from transposary.theory.keys import parse_key


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("apply", help="take a device to bars of a song")
    parser.add_argument("device", help="any name of the device")
    parser.add_argument("song", help="any name of the song")
    parser.add_argument("bars", help='bars through the form such as 5-6, or of a section such as "B 3-4"')
    parser.add_argument("--time", type=int, default=1, help="which time round the section, from 1")
    parser.add_argument("--key", help="the key of the band, where it is not that of the chart")
    parser.add_argument("--date", type=_day, help="when it was played; today if left out")
    add_folder_option(parser)
    parser.set_defaults(run=_apply)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"expected a day such as 2026-03-14, found `{text}`") from error


def _apply(options: argparse.Namespace) -> Outcome:
    found = find_glossary(options.folder)
    if isinstance(found, str):
        return Outcome(SENSELESS, found)
    bars = parse_bars(options.bars)
    if isinstance(bars, Fault):
        return Outcome(SENSELESS, "; ".join(part for part in (bars.text, bars.hint) if part))
    key = None if options.key is None else parse_key(options.key)
    if isinstance(key, Fault):
        return Outcome(SENSELESS, "; ".join(part for part in (key.text, key.hint) if part))
    day = options.date or datetime.now().astimezone().date()
    wish = Wish(options.device, options.song, bars, options.time, day, key)
    done = apply(found.root, read_all(found.root, found.settings), wish)
    return Outcome(SENSELESS, str(done)) if isinstance(done, Refusal) else Outcome(FINE, done)
