"""`transposary record`: play, and have it written down."""

from __future__ import annotations

import argparse
import time
from datetime import datetime
from pathlib import Path

from transposary.capture.recording import Desk, open_keyboard, record
from transposary.cli._outcome import FINE, SENSELESS, Commands, Outcome, say
from transposary.cli.capture import add_wishes, wanted_of, write_draft
from transposary.passage import Meter
from transposary.problems import Fault

_TEMPO = 90.0


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("record", help="record from a MIDI keyboard, and write a draft of it")
    parser.add_argument("--keyboard", help="the keyboard's name or a part of it; the first one if left out")
    parser.add_argument("--keep", type=Path, help="the file for the take; named by the time if left out")
    add_wishes(parser)
    parser.set_defaults(run=_record)


def _record(options: argparse.Namespace) -> Outcome:
    wanted = wanted_of(options)
    if isinstance(wanted, Outcome):
        return wanted
    port = open_keyboard(options.keyboard)
    if isinstance(port, Fault):
        return Outcome(SENSELESS, "; ".join(part for part in (port.text, port.hint) if part))
    say("one bar of count-in, then play; two bars of silence or Ctrl-C end the take")
    desk = Desk(port, time.perf_counter, time.sleep, _beep)
    meter = wanted.meter or Meter(4, 4)
    data = record(desk, wanted.tempo or _TEMPO, meter)
    if not data:
        return Outcome(SENSELESS, "nothing was played")
    return keep_and_write(options, data)


def keep_and_write(options: argparse.Namespace, data: bytes) -> Outcome:
    """Keeps a take in a file of its own, whatever becomes of it, and writes its draft."""
    now = datetime.now().astimezone()
    path: Path = options.keep or Path(f"take-{now:%Y-%m-%d-%H%M%S}.mid")
    try:
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError:
        return Outcome(SENSELESS, f"{path} exists already, and is left as it is; give another --keep")
    outcome = write_draft(options, data, path.name)
    kept = f"the take is kept in {path}"
    return Outcome(FINE if outcome.code == FINE else SENSELESS, f"{outcome.text}\n{kept}")


def _beep(word: str) -> None:
    """Says a beat, with the terminal's bell for a click."""
    say(f"\a{word}")
