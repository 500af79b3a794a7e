"""A device written into an entry as it would be played in another song."""

from __future__ import annotations

import re
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from errno import EACCES
from pathlib import Path
from stat import S_IWGRP, S_IWOTH, S_IWUSR
from typing import TypeVar

from transposary.glossary import AppliedIn, BarRange, Device, Glossary, matching_name, source_name
from transposary.passage import Key, Mode
from transposary.problems import Fault, errors
from transposary.reading import Reading, read_entry
from transposary.reading.abc import write_abc
from transposary.reading.inserting import insert_item
from transposary.reading.nearest import nearest
from transposary.reading.tree import quoted
from transposary.repertoire.carrying import Carried, carry
from transposary.repertoire.differences import became, in_a_sentence
from transposary.repertoire.landing import Refusal
from transposary.repertoire.moved import key_of_band, move_song
from transposary.song import Song

_WRITABLE = S_IWUSR | S_IWGRP | S_IWOTH

_PLAIN = re.compile(r"[A-Za-z0-9]+(?: \d+(?:-\d+)?)?|\d+(?:-\d+)?")

_One = TypeVar("_One", Device, Song)


@dataclass(frozen=True, slots=True)
class Wish:
    """What a player wants.

    Attributes:
        device: Any name of a device.
        song: Any name of a song.
        bars: Bars of the song.
        time: Which time round the section, from 1.
        date: When it was played.
        key: The key of the band, or None for that of the chart.
    """

    device: str
    song: str
    bars: BarRange
    time: int
    date: date
    key: Key | None = None


def apply(root: Path, reading: Reading, wish: Wish) -> str | Refusal:
    """Writes a device, carried over to bars of a song, into its entry as `applied_in`.

    The entry is read again before anything is written, and stays as it is where that would not
    give the same device with this version.

    Args:
        root: The folder of the entries.
        reading: What it holds.
        wish: What is wanted.

    Returns:
        What was written, what clashes there and what to change; or why nothing was written.
    """
    # What others wrote is theirs: a version is written into an entry of one's own.
    own = [device for device in reading.glossary.devices if not source_name(device.slug)]
    device = _named(wish.device, own, "device", reading)
    song = _named(wish.song, reading.glossary.songs, "song", reading)
    if isinstance(device, Refusal):
        return device
    if isinstance(song, Refusal):
        return song
    key = song.key if wish.key is None else key_of_band(song, wish.key)
    if key is None:
        return Refusal(f"expected a key in {song.key.mode}, as that of {song.title}, found {wish.key}")
    song = song if key == song.key else move_song(song, key)
    carried = carry(device, song, wish.bars, wish.time)
    if isinstance(carried, Refusal):
        return carried
    return _written(root, wish, device, song, carried)


def _written(root: Path, wish: Wish, device: Device, song: Song, carried: Carried) -> str | Refusal:
    item = _item(song, wish, carried)
    if isinstance(item, Refusal):
        return item
    path = (root / device.place.file).resolve()
    try:
        before = path.read_bytes()
    except OSError as error:
        return Refusal(f"{device.place.file} cannot be read: {error.strerror}")
    after = insert_item(before, "applied_in", item)
    if isinstance(after, Fault):
        return Refusal(f"{device.place.file}: {after.text}", after.hint)
    version = _read_again(root, device, after, carried)
    if version is None:
        text = f"{device.place.file} would not be the same device with this version, and is left as it is"
        return Refusal(text, "\n".join(["add it by hand:", "applied_in:", *_shown(item)]))
    try:
        _replace(path, after)
    except OSError as error:
        return Refusal(f"{device.place.file} cannot be written: {error.strerror}")
    return _report(device, song, version, carried)


def _named(name: str, entries: Sequence[_One], noun: str, reading: Reading) -> _One | Refusal:
    wanted = matching_name(name)
    found = next((one for one in entries if wanted in map(matching_name, _names(one))), None)
    if found is not None:
        return found
    for broken in reading.broken:
        if broken.kind.noun == noun and wanted in map(matching_name, (broken.slug, broken.title)):
            return Refusal(f"{broken.path} has errors", "mend them first, transposary check names them")
    near = nearest(name, [known for one in entries for known in _names(one)])
    hint = f"did you mean `{near}`?" if near else f"they are {', '.join(one.slug for one in entries)}"
    return Refusal(f"expected a {noun} of the glossary, found `{name}`", hint)


def _names(entry: Device | Song) -> tuple[str, ...]:
    return (entry.slug, entry.title, *entry.aliases)


def _item(song: Song, wish: Wish, carried: Carried) -> list[str] | Refusal:
    try:
        music = write_abc(carried.passage)
    except ValueError as error:
        return Refusal(f"the version cannot be written: {error}", "write it by hand")
    first, last = wish.bars.first, wish.bars.last
    bars = str(first) if first == last else f"{first}-{last}"
    bars = f"{wish.bars.section} {bars}" if wish.bars.section else bars
    changed = "; ".join((*carried.degrees, *carried.changes)) or "nothing yet"
    return [
        f"song: {song.slug}",
        f"bars: {bars if _PLAIN.fullmatch(bars) else quoted(bars)}",
        f"key: {_key(carried.song_key)}",
        f"date: {wish.date.isoformat()}",
        f"changed: {quoted(changed)}",
        "notation: |",
        *(f"  {line}" for line in music.splitlines()),
    ]


def _key(key: Key) -> str:
    return str(key.tonic) if key.mode is Mode.MAJOR else str(key)


def _shown(item: Sequence[str]) -> list[str]:
    return [f"  {'- ' if number == 0 else '  '}{line}" for number, line in enumerate(item)]


def _read_again(root: Path, device: Device, data: bytes, carried: Carried) -> AppliedIn | None:
    """Gives the new version as it reads, or None where the entry is not as it was besides."""
    entry, problems = read_entry(root, device.place.file, data)
    if not isinstance(entry, Device) or errors(problems) or not entry.applied_in:
        return None
    known, version = entry.applied_in[:-1], entry.applied_in[-1]
    same = (
        _kept(entry) == _kept(device)
        and [(one.song.name, one.bars, one.notation) for one in known]
        == [(one.song.name, one.bars, one.notation) for one in device.applied_in]
        and version.notation == carried.passage
    )
    return version if same else None


def _kept(device: Device) -> tuple[object, ...]:
    return (device.title, device.summary, device.passage, device.prose, len(device.claims), device.roles)


def _replace(path: Path, data: bytes) -> None:
    """Puts a file in the place of another in one step.

    Raises:
        OSError: That cannot be done, or the file is closed to writing: its folder alone would let
            another take its place.
    """
    if not path.stat().st_mode & _WRITABLE:
        raise PermissionError(EACCES, "the file is read-only", str(path))
    path.open("r+b").close()
    fresh = path.with_name(f".{path.name}.new")
    fresh.write_bytes(data)
    shutil.copymode(path, fresh)
    fresh.replace(path)


def _report(device: Device, song: Song, version: AppliedIn, carried: Carried) -> str:
    noun = "bar" if carried.first == carried.last else "bars"
    span = str(carried.first) if carried.first == carried.last else f"{carried.first}–{carried.last}"
    lines = [f"{device.place.file}: {device.title} now stands in {song.title}, {noun} {span}."]
    lines += [
        f"It stood there already, {known.place}: take out what you do not play."
        for known in device.applied_in
        if known.song.slug == song.slug and known.bars == version.bars
    ]
    lines += [f"Moved: {'; '.join(carried.degrees)}."] if carried.degrees else []
    lines += [f"To change: {'; '.join(carried.changes)}."] if carried.changes else []
    lines += [f"{one}." for one in carried.clashes] or ["Nothing clashes."]
    found = became(device, version, song)
    lines += [in_a_sentence(found)] if found else []
    lines.append("Mend the notation as you play it, then run  transposary check")
    return "\n".join(lines)


def news(glossary: Glossary) -> tuple[str, ...]:
    """Says of each version as played what became of its device there, with its place in the file."""
    return tuple(
        f"{applied.place}: {device.title} in {song.title if song else applied.song.name}, "
        f"{applied.bars}: {in_a_sentence(found)}"
        for device in glossary.devices
        for applied in device.applied_in
        for song in [glossary.song.get(applied.song.slug or "")]
        for found in [became(device, applied, song)]
        if found is not None
    )
