"""`transposary capture`: what was just played or written, as the draft of an entry."""

from __future__ import annotations

import argparse
import re
import sys
from fractions import Fraction
from pathlib import Path, PurePath

from transposary.capture.entry import Heading, draft_entry, in_players_words, song_named, title_of
from transposary.capture.sources import RULE, STANDARD_INPUT, capture
from transposary.capture.transcribing import Captured, Wanted
from transposary.cli._outcome import FINE, SENSELESS, Commands, Outcome, add_folder_option
from transposary.configuration import Located, find_glossary
from transposary.glossary import Device, Role, slug_of
from transposary.problems import Place, Problem, SourceText, errors, report
from transposary.reading import Reading, read_entry, read_glossary
from transposary.reading.gathering import Gathering
from transposary.reading.values import parse_bars, parse_meter
from transposary.theory.claims import check_claims
from transposary.theory.keys import parse_key

_SLOWEST, _FASTEST = 20.0, 400.0
_LONGEST_PICKUP = 12


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("capture", help="write down what was played as the draft of a device")
    parser.add_argument("take", help="a file .mid, .musicxml, .mxl or .abc; - for ABC on standard input")
    add_wishes(parser)
    parser.set_defaults(run=_capture)


def add_wishes(parser: argparse.ArgumentParser) -> None:
    """Adds what a player may say of a take."""
    parser.add_argument("--key", help="the key, such as G, B minor or D dorian; found if left out")
    parser.add_argument("--meter", help="the meter, such as 12/8; the file's, or found, if left out")
    parser.add_argument("--tempo", type=float, help="beats a minute; the file's, or found, if left out")
    parser.add_argument("--pickup", help="beats before the first downbeat, such as 1, 1/2 or 0; else found")
    parser.add_argument("--bars", help="the bars of the idea in a longer take, such as 5-6")
    parser.add_argument("--song", help="any name of the song in which it was heard")
    parser.add_argument("--role", choices=[role.value for role in Role], help="what it does")
    parser.add_argument("--title", help="its title; made from the file's name if left out")
    add_folder_option(parser)


def _capture(options: argparse.Namespace) -> Outcome:
    name: str = options.take
    if name == STANDARD_INPUT:
        return write_draft(options, sys.stdin.buffer.read(), name)
    try:
        data = Path(name).read_bytes()
    except OSError as error:
        return Outcome(SENSELESS, f"{name} cannot be read: {error.strerror}")
    return write_draft(options, data, name)


def write_draft(options: argparse.Namespace, data: bytes, name: str) -> Outcome:
    """Captures a take and writes it as a new entry; nothing is ever overwritten.

    Args:
        options: What the player says (see `add_wishes`).
        data: The take.
        name: Its name.
    """
    found = find_glossary(options.folder)
    if isinstance(found, str):
        return Outcome(SENSELESS, found)
    wanted = wanted_of(options)
    if isinstance(wanted, Outcome):
        return wanted
    captured, problems = capture(data, name, wanted)
    if captured is None:
        return Outcome(SENSELESS, report(problems))
    reading = read_glossary(found.root)
    heading = _heading(options, name, reading)
    if isinstance(heading, Outcome):
        return heading
    return _write(found, captured, heading, reading)


def wanted_of(options: argparse.Namespace) -> Wanted | Outcome:
    """Reads what a player says of a take, or says what of it cannot be read."""
    found = Gathering()
    key = found.parsed(_source(options.key, "--key"), parse_key, RULE) if options.key else None
    meter = found.parsed(_source(options.meter, "--meter"), parse_meter, RULE) if options.meter else None
    bars = found.parsed(_source(options.bars, "--bars"), parse_bars, RULE) if options.bars else None
    if options.tempo is not None and not _SLOWEST <= options.tempo <= _FASTEST:
        text = f"expected {_SLOWEST:.0f} to {_FASTEST:.0f} beats a minute, found {options.tempo:g}"
        found.problems.append(Problem(Place("--tempo"), RULE, text))
    if bars is not None and bars.section is not None:
        text = f"a take has no sections, found `{options.bars}`"
        found.problems.append(Problem(Place("--bars"), RULE, text, "write bars as 5-6"))
    pickup = _beats(options.pickup) if options.pickup is not None else None
    if isinstance(pickup, Problem):
        found.problems.append(pickup)
    if found.problems or isinstance(pickup, Problem):
        return Outcome(SENSELESS, report(found.problems))
    return Wanted(key, meter, options.tempo, (bars.first, bars.last) if bars else None, pickup)


def _beats(text: str) -> Fraction | Problem:
    """Reads how many beats stand before the first downbeat."""
    if re.fullmatch(r"\d{1,2}(/[1-9]\d?)?", text) and (beats := Fraction(text)) < _LONGEST_PICKUP:
        return beats
    expected = f"expected less than {_LONGEST_PICKUP} beats, such as 1, 1/2 or 0, found `{text}`"
    return Problem(Place("--pickup"), RULE, expected)


def _source(text: str, option: str) -> SourceText:
    """Gives a word of the command line a place, so that problems can point into it."""
    return SourceText(text, Place(option))


def _heading(options: argparse.Namespace, name: str, reading: Reading) -> Heading | Outcome:
    title = " ".join((options.title or title_of(PurePath(name))).split())
    if not slug_of(title):
        return Outcome(SENSELESS, "say what it is called by --title, with letters a to z or digits")
    song = None
    if options.song:
        song = song_named(reading.glossary, options.song)
        if song is None:
            return Outcome(SENSELESS, f"the glossary has no song {options.song!r}")
    return Heading(title, Role(options.role) if options.role else None, song.slug if song else None)


def _write(found: Located, captured: Captured, heading: Heading, reading: Reading) -> Outcome:
    name = f"devices/{slug_of(heading.title)}.md"
    path = found.root / name
    try:
        text = draft_entry(captured, heading, reading.glossary.concepts)
    except ValueError as error:
        return Outcome(SENSELESS, f"the notes cannot be written as ABC: {error}")
    data = text.encode()
    entry, problems = read_entry(found.root, name, data)
    wrong = errors(problems) or not isinstance(entry, Device) or errors(check_claims(entry))
    if wrong:
        return Outcome(SENSELESS, f"no sound entry could be made of it\n{report(problems)}\n{text}")
    path.parent.mkdir(exist_ok=True)
    try:
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError:
        return Outcome(SENSELESS, f"{path} exists already, and is left as it is; give another --title")
    said = in_players_words(captured)
    return Outcome(FINE, f"{said}\n{path} is written: look it over, then run  transposary check")
