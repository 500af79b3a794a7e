"""A glossary with the entries of others beside its own."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from transposary.check import check_device
from transposary.configuration import find_glossary
from transposary.glossary import (
    Collection,
    Concept,
    Device,
    Entry,
    Glossary,
    Kind,
    Ref,
    Source,
    matching_name,
)
from transposary.importing.archive import read_manifest, unpack
from transposary.importing.strangers import check_links_out, check_plain, check_prose
from transposary.problems import Fault, Problem, errors, in_order
from transposary.reading import Read, Reading, read_glossary
from transposary.reading.refs import with_refs
from transposary.settings import Import, Settings
from transposary.song import Song

RULE = "import.source"
_NAME = re.compile(r"[a-z0-9-]+")
_E = TypeVar("_E", Device, Song, Concept, Collection)


@dataclass(frozen=True, slots=True)
class _Imported:
    """What came of one import: entries under their new slugs, none where it is refused."""

    entries: tuple[Entry, ...] = ()
    source: Source | None = None
    problems: tuple[Problem, ...] = ()


def read_all(root: Path, settings: Settings, before: Mapping[str, Read] | None = None) -> Reading:
    """Reads a glossary and, beside it, those that its options import.

    An imported entry has the slug `source/slug`. Its references mean entries of its own
    glossary; a concept that nobody wrote there is this glossary's of that name. It never takes
    the place of an entry here. One that has errors, or that its own notes contradict, is left
    out with a remark, since the author here cannot mend it.

    Args:
        root: The folder of the entries.
        settings: The options.
        before: What an earlier reading has found in the glossary's own files.
    """
    found = [_read_import(one, settings) for one in settings.imports]
    strangers = [entry for one in found for entry in one.entries]
    beside = _glossary(strangers, tuple(one.source for one in found if one.source))
    reading = read_glossary(root, beside=beside, before=before or {})
    own = reading.glossary
    terms = {
        matching_name(name): concept.slug
        for concept in own.concepts
        if concept.defined
        for name in (*concept.aliases, concept.title)
    }
    met = _glossary([*own.entries(), *_meeting(strangers, terms)], beside.sources)
    problems = (*reading.problems, *(problem for one in found for problem in one.problems))
    return replace(reading, glossary=met, problems=in_order(problems))


def _glossary(entries: Iterable[Entry], sources: tuple[Source, ...]) -> Glossary:
    listed = list(entries)
    return Glossary(
        _sorted(listed, Device),
        _sorted(listed, Song),
        _sorted(listed, Concept),
        _sorted(listed, Collection),
        sources,
    )


def _sorted(entries: Iterable[Entry], sort: type[_E]) -> tuple[_E, ...]:
    return tuple(sorted((e for e in entries if isinstance(e, sort)), key=lambda entry: entry.slug))


def _meeting(strangers: Iterable[Entry], terms: Mapping[str, str]) -> Iterable[Entry]:
    """Lets concepts that a stranger names and nobody wrote there be those of this glossary."""
    listed = list(strangers)
    ours = {
        one.slug: terms[matching_name(one.title)]
        for one in listed
        if isinstance(one, Concept) and not one.defined and matching_name(one.title) in terms
    }

    def met(kind: Kind, ref: Ref) -> Ref:
        return replace(ref, slug=ours[ref.slug]) if kind is Kind.CONCEPT and ref.slug in ours else ref

    return [with_refs(one, met) for one in listed if not (isinstance(one, Concept) and one.slug in ours)]


def _read_import(wanted: Import, settings: Settings) -> _Imported:
    if not _NAME.fullmatch(wanted.name) or wanted.name in tuple(Kind):
        text = f"the name of a source has a to z, 0 to 9 and `-`, found `{wanted.name}`"
        return _refused(wanted, Fault(0, text, "call it something like `horns`"))
    if wanted.path.is_dir():
        return _read_folder(wanted, settings)
    if wanted.path.suffix.lower() != ".zip" or not wanted.path.is_file():
        hint = "name a folder, or a .zip written by  transposary export"
        return _refused(wanted, Fault(0, f"there is no folder and no archive `{wanted.given}`", hint))
    with TemporaryDirectory() as name:
        folder = Path(name)
        refused = unpack(wanted.path, folder)
        if refused is not None:
            return _refused(wanted, refused)
        source = read_manifest(folder, wanted.name)
        return (
            _refused(wanted, source) if isinstance(source, Fault) else _read(wanted, folder, source, settings)
        )


def _read_folder(wanted: Import, settings: Settings) -> _Imported:
    found = find_glossary(wanted.path)
    if isinstance(found, str):
        return _refused(wanted, Fault(0, found))
    source = Source(wanted.name, found.title or wanted.name, found.author, found.address)
    return _read(wanted, found.root, source, settings)


def _read(wanted: Import, root: Path, source: Source, settings: Settings) -> _Imported:
    refused = check_links_out(root)
    if refused is not None:
        return _refused(wanted, refused)
    reading = read_glossary(root, source=wanted.name)
    refused = check_plain(source, reading.glossary.entries()) or check_prose(reading.glossary.entries())
    if refused is not None:
        return _refused(wanted, refused)
    wrong = {
        entry.place.file: found[0]
        for entry in reading.glossary.devices
        if (found := errors(check_device(entry, settings)))
    }
    wrong |= {problem.place.file: problem for problem in reversed(errors(reading.problems))}
    broken = {one.path for one in reading.broken}
    left_out = [problem for file, problem in sorted(wrong.items()) if file in broken or not _is_ref(problem)]
    gone = {problem.place.file for problem in left_out}
    entries = tuple(
        _renamed(entry, wanted.name)
        for entry in reading.glossary.entries()
        if not entry.draft and entry.place.file not in gone
    )
    return _Imported(entries, source, tuple(_remark(problem) for problem in left_out))


def _is_ref(problem: Problem) -> bool:
    """Whether an entry is whole but for a reference, which is then shown as plain words."""
    return problem.rule.startswith("reference.")


def _remark(problem: Problem) -> Problem:
    text = f"this imported entry is left out: {problem.rule}: {problem.text}"
    return Problem.remark(problem.place, "import.entry", text, "tell its author")


def _renamed(entry: Entry, name: str) -> Entry:
    def renamed(_: Kind, ref: Ref) -> Ref:
        return replace(ref, slug=f"{name}/{ref.slug}") if ref.slug else ref

    return replace(with_refs(entry, renamed), slug=f"{name}/{entry.slug}")


def _refused(wanted: Import, fault: Fault) -> _Imported:
    text = f"`{wanted.given}` is not imported: {fault.text}"
    return _Imported(problems=(Problem(wanted.place, RULE, text, fault.hint),))
