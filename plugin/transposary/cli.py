"""The command `transposary`: check a glossary, and begin new entries of it."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from transposary.applying import Wish, apply, news
from transposary.check import check_reading
from transposary.configuration import Located, find_glossary
from transposary.glossary import Concept, Device, Kind, Role, matching_name, slug_of
from transposary.passage import Hand
from transposary.problems import Fault, Place, Problem, SourceText, errors, report
from transposary.reading import Reading, read_glossary
from transposary.reading.drafting import Sketch
from transposary.reading.gathering import Gathering
from transposary.reading.schema_json import json_schema
from transposary.reading.skeletons import (
    collection_skeleton,
    concept_skeleton,
    device_skeleton,
    song_skeleton,
)
from transposary.reading.values import parse_bars, parse_meter
from transposary.repertoire.landing import Refusal
from transposary.song import Song
from transposary.theory.keys import parse_key

FINE, WRONG, SENSELESS = 0, 1, 2


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a command ends.

    Attributes:
        code: The exit status: 0 where all is well, 1 where entries have errors, 2 where the
            command makes no sense.
        text: What it says; on standard error if the command makes no sense.
    """

    code: int
    text: str


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs a command and gives its exit status (see `Outcome`).

    Args:
        arguments: The words behind `transposary`; those of the command line if None.
    """
    options = _parser().parse_args(arguments)
    run: Callable[[argparse.Namespace], Outcome] = options.run
    outcome = run(options)
    print(outcome.text, file=sys.stderr if outcome.code == SENSELESS else sys.stdout)
    return outcome.code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="transposary", description="A musician's glossary of devices, proved against the notes."
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    check = commands.add_parser("check", help="check all entries and print what is wrong with them")
    _add_folder(check)
    check.add_argument("--format", choices=("text", "json"), default="text", help="how to print it")
    check.set_defaults(run=_check)
    schema = commands.add_parser("schema", help="print the JSON Schema of the fields of a kind, for editors")
    schema.add_argument("kind", choices=[kind.noun for kind in Kind])
    schema.set_defaults(run=_schema)
    applying = commands.add_parser("apply", help="take a device to bars of a song")
    applying.add_argument("device", help="any name of the device")
    applying.add_argument("song", help="any name of the song")
    applying.add_argument("bars", help='bars through the form such as 5-6, or of a section such as "B 3-4"')
    applying.add_argument("--time", type=int, default=1, help="which time round the section, from 1")
    applying.add_argument("--date", type=date.fromisoformat, help="when it was played; today if left out")
    applying.add_argument("--folder", type=Path, default=Path(), help="the folder of mkdocs.yml")
    applying.set_defaults(run=_apply)
    new = commands.add_parser("new", help="begin a new entry")
    kinds = new.add_subparsers(required=True, metavar="KIND")
    for kind in Kind:
        one = kinds.add_parser(kind.noun, help=f"begin a {kind.noun}")
        one.add_argument("title", help="its title; the file's name is made from it")
        one.add_argument("--folder", type=Path, default=Path(), help="the folder of mkdocs.yml")
        one.set_defaults(run=_new, kind=kind)
        if kind is Kind.DEVICE:
            _add_sketch(one)
    return parser


def _add_folder(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "folder", nargs="?", type=Path, default=Path(), help="the folder of mkdocs.yml, or of the entries"
    )


def _add_sketch(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--key", default="C", help="the key, such as G, B minor or D dorian")
    parser.add_argument("--meter", default="4/4", help="the meter, such as 12/8")
    parser.add_argument("--degrees", required=True, help='degrees of the key, such as "1 2 3 | 4"')
    parser.add_argument(
        "--rhythm", help='where they fall, counted aloud, such as "1 3 4 | 1"; evenly if left out'
    )
    parser.add_argument("--chords", required=True, help='chord symbols, such as "G7 | C7"')
    parser.add_argument("--role", choices=[role.value for role in Role], default="bass", help="what it does")
    parser.add_argument(
        "--hand",
        choices=[hand.value for hand in Hand],
        help="which hand plays; the left one for a bass if left out",
    )


def _check(options: argparse.Namespace) -> Outcome:
    found = find_glossary(options.folder)
    if isinstance(found, str):
        return Outcome(SENSELESS, found)
    reading = read_glossary(found.root)
    problems = check_reading(reading, found.settings)
    printed = "\n".join((*news(reading.glossary), report(problems)))
    if options.format == "json":
        printed = _as_json(problems)
    return Outcome(WRONG if errors(problems) else FINE, printed)


def _as_json(problems: Sequence[Problem]) -> str:
    """Prints problems for other programs, with the fields that glossary.json gives them."""
    return json.dumps([problem.record for problem in problems], ensure_ascii=False, indent=1)


def _schema(options: argparse.Namespace) -> Outcome:
    return Outcome(FINE, json_schema(next(kind for kind in Kind if kind.noun == options.kind)))


def _apply(options: argparse.Namespace) -> Outcome:
    found = find_glossary(options.folder)
    if isinstance(found, str):
        return Outcome(SENSELESS, found)
    bars = parse_bars(options.bars)
    if isinstance(bars, Fault):
        return Outcome(SENSELESS, "; ".join(part for part in (bars.text, bars.hint) if part))
    day = options.date or datetime.now().astimezone().date()
    wish = Wish(options.device, options.song, bars, options.time, day)
    done = apply(found.root, read_glossary(found.root), wish)
    return Outcome(SENSELESS, str(done)) if isinstance(done, Refusal) else Outcome(FINE, done)


def _new(options: argparse.Namespace) -> Outcome:
    found = find_glossary(options.folder)
    if isinstance(found, str):
        return Outcome(SENSELESS, found)
    kind: Kind = options.kind
    title = " ".join(options.title.split())
    slug = slug_of(title)
    if not slug:
        return Outcome(SENSELESS, f"a title has letters a to z or digits, found {title!r}")
    reading = read_glossary(found.root)
    taken = _taken(reading, kind, title, slug)
    if taken:
        return Outcome(SENSELESS, f"there is a {kind.noun} of that name already: {taken}")
    text = _text(options, kind, title, reading)
    if isinstance(text, Outcome):
        return text
    return _write(found, f"{kind.value}/{slug}.md", text)


def _taken(reading: Reading, kind: Kind, title: str, slug: str) -> str | None:
    """Finds the file of an entry that a new one would be taken for."""
    wanted = {matching_name(title), matching_name(slug)}
    written = [
        (entry.place.file, (entry.slug, entry.title, *entry.aliases))
        for entry in reading.glossary.entries()
        # A concept that nobody wrote stands in the file of the device that names it.
        if entry.place.file.startswith(f"{kind.value}/")
        and not (isinstance(entry, Concept) and not entry.defined)
    ]
    written += [(one.path, (one.slug, one.title)) for one in reading.broken if one.kind is kind]
    return next((path for path, names in written if wanted & {matching_name(name) for name in names}), None)


def _text(options: argparse.Namespace, kind: Kind, title: str, reading: Reading) -> str | Outcome:
    match kind:
        case Kind.DEVICE:
            return _device(options, title)
        case Kind.SONG:
            return song_skeleton(title)
        case Kind.CONCEPT:
            return concept_skeleton(title)
        case Kind.COLLECTION:
            entries: list[Device | Song] = [*reading.glossary.songs, *reading.glossary.devices]
            if not entries:
                return Outcome(SENSELESS, "a collection lists songs and devices: write one of them first")
            return collection_skeleton(title, entries[0])


def _device(options: argparse.Namespace, title: str) -> str | Outcome:
    found = Gathering()
    key = found.parsed(_source(options.key, "--key"), parse_key, "new.device")
    meter = found.parsed(_source(options.meter, "--meter"), parse_meter, "new.device")
    if key is None or meter is None:
        return Outcome(SENSELESS, report(found.problems))
    role = Role(options.role)
    hand = Hand(options.hand) if options.hand else Hand.LEFT if role is Role.BASS else Hand.RIGHT
    rhythm = _source(options.rhythm, "--rhythm") if options.rhythm else None
    degrees, chords = _source(options.degrees, "--degrees"), _source(options.chords, "--chords")
    text, problems = device_skeleton(title, role, Sketch(key, meter, degrees, rhythm, chords, hand))
    return text if text is not None else Outcome(SENSELESS, report(problems))


def _source(text: str, option: str) -> SourceText:
    """Gives a word of the command line a place, so that problems can point into it."""
    return SourceText(text, Place(option))


def _write(found: Located, name: str, text: str) -> Outcome:
    path = found.root / name
    path.parent.mkdir(exist_ok=True)
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        return Outcome(SENSELESS, f"{path} exists already, and is left as it is")
    return Outcome(FINE, f"{path} is written: fill it in, then run  transposary check")
