"""`transposary new`: the beginning of an entry."""

from __future__ import annotations

import argparse

from transposary.cli._outcome import FINE, SENSELESS, Commands, Outcome, add_folder_option
from transposary.configuration import Located, find_glossary
from transposary.glossary import Concept, Device, Kind, Role, matching_name, slug_of
from transposary.passage import Hand
from transposary.problems import Place, SourceText, report
from transposary.reading import Reading, read_glossary
from transposary.reading.drafting import Sketch
from transposary.reading.gathering import Gathering
from transposary.reading.skeletons import (
    collection_skeleton,
    concept_skeleton,
    device_skeleton,
    song_skeleton,
)
from transposary.reading.values import parse_meter
from transposary.song import Song
from transposary.theory.keys import parse_key


def add(commands: Commands) -> None:
    """Adds the command."""
    parser = commands.add_parser("new", help="begin a new entry")
    kinds = parser.add_subparsers(required=True, metavar="KIND")
    for kind in Kind:
        one = kinds.add_parser(kind.noun, help=f"begin a {kind.noun}")
        one.add_argument("title", help="its title; the file's name is made from it")
        add_folder_option(one)
        one.set_defaults(run=_new, kind=kind)
        if kind is Kind.DEVICE:
            _add_sketch(one)


def _add_sketch(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--key", default="C", help="the key, such as G, B minor or D dorian")
    parser.add_argument("--meter", default="4/4", help="the meter, such as 12/8")
    parser.add_argument("--degrees", required=True, help='degrees of the key, such as "1 2 3 | 4"')
    parser.add_argument(
        "--rhythm", help='where they fall, counted aloud, such as "1 3 4 | 1"; evenly if left out'
    )
    parser.add_argument(
        "--pickup",
        action="store_true",
        help='the first bar is a pickup, such as --degrees "5 | 1 3" --rhythm "4 | 1 3" --chords "C"',
    )
    parser.add_argument("--chords", required=True, help='chord symbols, such as "G7 | C7"')
    parser.add_argument("--role", choices=[role.value for role in Role], default="bass", help="what it does")
    parser.add_argument(
        "--hand",
        choices=[hand.value for hand in Hand],
        help="which hand plays; the left one for a bass if left out",
    )


def _new(options: argparse.Namespace) -> Outcome:
    found = find_glossary(options.folder, empty=True)
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
    text, problems = device_skeleton(
        title, role, Sketch(key, meter, degrees, rhythm, chords, hand, options.pickup)
    )
    return text if text is not None else Outcome(SENSELESS, report(problems))


def _source(text: str, option: str) -> SourceText:
    """Gives a word of the command line a place, so that problems can point into it."""
    return SourceText(text, Place(option))


def _write(found: Located, name: str, text: str) -> Outcome:
    path = found.root / name
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        return Outcome(SENSELESS, f"{path} exists already, and is left as it is")
    return Outcome(FINE, f"{path} is written: fill it in, then run  transposary check")
