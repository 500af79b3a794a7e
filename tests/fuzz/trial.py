"""What an entry or a score goes through in a build, and what must hold of it whatever it is."""

from __future__ import annotations

import shutil
from dataclasses import replace
from functools import cache, lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from unittest.mock import patch

from tests.fuzz.mutations import ENTRIES, mutated_entry, mutated_score
from transposary.build import build_site
from transposary.capture.entry import Heading, draft_entry
from transposary.capture.sources import capture
from transposary.capture.transcribing import Wanted
from transposary.check import Known, check_device, check_reading
from transposary.engraving import EngravingFailure, Job
from transposary.engraving.midi import write_midi
from transposary.engraving.musicxml import write_musicxml
from transposary.engraving.pool import draw_here
from transposary.glossary import Device
from transposary.problems import Problem, SourceText
from transposary.reading import Reading, read_entry, read_glossary, reader
from transposary.reading.abc import read_abc, write_abc
from transposary.reading.pages import Page
from transposary.repertoire import repertoire_of
from transposary.repertoire.carrying import carry_to, landing_of_fit
from transposary.repertoire.fits import find_fits
from transposary.repertoire.judging import voiced
from transposary.repertoire.landing import Refusal
from transposary.settings import Settings
from transposary.site.links import source_of_entry
from transposary.site.worked import labels
from transposary.theory.fingering.keys import finger
from transposary.theory.keys import placements
from transposary.theory.transposition import place
from transposary.theory.words import in_words

SETTINGS = Settings(workers=1)
_WHOLE = 12
"""Every so-manieth sound entry goes through a whole build, pages included."""

_DEVICE_BESIDE = "devices/walk-up-to-the-four.md"
_READ = reader._read_data
_BESIDE = (
    _DEVICE_BESIDE,
    *("songs/low-tide.md", "songs/napkin-changes.md", "songs/kitchen-clock.md", "songs/marigold-waltz.md"),
    "concepts/walk-up.md",
)
_SCORED = """\
---
title: A take
summary: What was played.
role: melody
over: "I"
score: {name}
---
Words.
"""


def try_entry(number: int, seed: int) -> str:
    """Puts a spoilt entry through; gives what came of it: "refused" or "read"."""
    path, data = mutated_entry(number, seed)
    with TemporaryDirectory() as name:
        root = Path(name)
        _lay_out(root)
        (root / path).write_bytes(data)
        return _through(root, path, data.decode("utf-8-sig", "replace"), number)


def try_score(number: int, seed: int) -> str:
    """Puts a spoilt score file through, as what an entry names or as a take."""
    name, data = mutated_score(number, seed)
    with TemporaryDirectory() as folder:
        root = Path(folder)
        _lay_out(root)
        path = "devices/a-take.md"
        if name.endswith(".mid"):
            captured, problems = capture(data, name, Wanted())
            _told(problems)
            if captured is None:
                return "refused"
            text = draft_entry(captured, Heading("A take", None, None), ())
        else:
            (root / "devices" / name).write_bytes(data)
            text = _SCORED.format(name=name)
        (root / path).write_text(text, encoding="utf-8")
        return _through(root, path, text, number)


def _lay_out(root: Path) -> None:
    for path in _BESIDE:
        (root / path).parent.mkdir(exist_ok=True)
        shutil.copyfile(ENTRIES / path, root / path)
    (root / "collections").mkdir()


@lru_cache(16)
def _beside(page: Page, data: bytes) -> Any:  # noqa: ANN401  (the reader's own)
    return _READ(page, data)


def _read_data(page: Page, data: bytes) -> Any:  # noqa: ANN401  (the reader's own)
    """Reads what is beside a trial once for all of them: that is half of the work."""
    if page.file not in _BESIDE:
        return _READ(page, data)
    read = _beside(replace(page, root=Path()), data)
    return replace(read, page=replace(read.page, root=page.root))


@cache
def _known() -> Known:
    """Checks the device beside a trial once for all of them, too."""
    device, _ = read_entry(ENTRIES, _DEVICE_BESIDE, (ENTRIES / _DEVICE_BESIDE).read_bytes())
    assert isinstance(device, Device)
    return {device.slug: check_device(device, SETTINGS)}


def _through(root: Path, path: str, text: str, number: int) -> str:
    with patch.object(reader, "_read_data", _read_data):
        reading = read_glossary(root)
    known = {} if path == _DEVICE_BESIDE else _known()
    problems = check_reading(reading, SETTINGS, known)
    _told(problems)
    _point_into(problems, path, text)
    entry = next((one for one in reading.glossary.entries() if source_of_entry(one) == path), None)
    assert (entry is None) == any(one.path == path for one in reading.broken), "neither read nor refused"
    if entry is None:
        return "refused"
    if isinstance(entry, Device):
        _engine(entry, reading)
    if number % _WHOLE == 0:
        site = build_site(root, SETTINGS, drafts=True, before=None)
        _told(site.problems)
        urls = {source: source.removesuffix(".md") + "/" for source in site.pages}
        for composed in site.compose(dict.fromkeys(site.pages, ""), urls).values():
            site.finish(composed.html)
    return "read"


def _engine(device: Device, reading: Reading) -> None:
    """Transposition, fingering, words, fits, MusicXML, MIDI, and the figure of one key and of one place."""
    _written_again(device)
    placed = placements(device.passage, device.compass, SETTINGS)
    finger(device.passage, placed)
    passages = [place(device.passage, one) for one in placed]
    for passage in passages:
        in_words(passage)
        write_musicxml(passage, title=device.title, tempo=device.tempo)
        write_midi(passage, tempo=device.tempo, title=device.title)
    figures = [Job(device.slug, "home", passages[0], labels(passages[0]))]
    notes = voiced(device)
    found = find_fits(device, repertoire_of(reading.glossary.songs), notes)
    for number, one in enumerate(found[:3]):
        carried = carry_to(device, landing_of_fit(device, one), notes)
        if not isinstance(carried, Refusal):
            there = carried.passage
            figures.append(Job(device.slug, f"there-{number}", there, labels(there)))
    for drawn in draw_here(figures[:2]):
        assert not isinstance(drawn, EngravingFailure), f"{drawn.slot} is not engraved: {drawn.reason}"


def _written_again(device: Device) -> None:
    """A passage that was read can be written, and read again as the same."""
    passage = device.passage
    again, problems = read_abc(SourceText(write_abc(passage), device.place), None)
    assert again is not None, f"what was written is not read: {problems}"


def _told(problems: tuple[Problem, ...]) -> None:
    """Every message can be printed: one line of characters that a terminal shows."""
    for problem in problems:
        said = str(problem)
        assert problem.text, "a problem without words"
        assert "music21, which reads scores" not in problem.text, said
        wrong = [sign for sign in said if not sign.isprintable() and sign != "\u00ad"]
        assert not wrong, f"{problem.rule} prints {wrong[0]!r}: {said!r}"


def _point_into(problems: tuple[Problem, ...], path: str, text: str) -> None:
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for problem in problems:
        place = problem.place
        if place.file == path:
            assert 1 <= place.line <= len(lines), f"{problem} stands below the file"
            assert 1 <= place.column <= len(lines[place.line - 1]) + 1, f"{problem} stands beyond its line"
