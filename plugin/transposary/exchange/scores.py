"""Devices and collections as notes for other programs: MusicXML, ABC and MIDI."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from transposary.engraving.album import AlbumItem, chart_passage, write_album
from transposary.engraving.midi import write_midi
from transposary.engraving.musicxml import write_musicxml, write_part
from transposary.glossary import Collection, CollectionItem, Device, Glossary
from transposary.passage import Passage
from transposary.problems import Fault
from transposary.reading.abc import write_abc
from transposary.settings import Settings
from transposary.theory.fingering.own import fitted
from transposary.theory.keys import Placement, placements, pretty_key, slot_of
from transposary.theory.part_lines import part_lines
from transposary.theory.parts import Part, sounding_interval, written_slot
from transposary.theory.transposition import place


class Form(StrEnum):
    """The formats; the value is the ending of a file's name."""

    MUSICXML = "musicxml"
    ABC = "abc"
    MIDI = "mid"


def device_score(device: Device, slot: str, form: Form, settings: Settings) -> bytes | Fault:
    """Writes a device in one key.

    Args:
        device: The device.
        slot: The key's slot.
        form: The format.
        settings: Decides how the key is spelled.

    Returns:
        The file, or why the format cannot hold the notes.
    """
    placement, passage = in_slot(device, slot, settings)
    title = f"{device.title} in {pretty_key(placement.key)}"
    match form:
        case Form.MUSICXML:
            return write_musicxml(passage, title=title, tempo=device.tempo).encode()
        case Form.MIDI:
            return write_midi(passage, tempo=device.tempo, title=title)
        case Form.ABC:
            return _abc(passage, title)


def in_slot(device: Device, slot: str, settings: Settings) -> tuple[Placement, Passage]:
    """Gives a device in the key of a slot."""
    found = placements(device.passage, device.compass, settings)
    placement = next(one for one in found if one.slot == slot)
    return placement, fitted(place(device.passage, placement), device.passage, placement)


def part_score(device: Device, slot: str, part: Part, line: str | None, settings: Settings) -> bytes | Fault:
    """Writes what the players of an instrument read of a device, as MusicXML.

    Args:
        device: The device.
        slot: The slot of the key that sounds.
        part: The instrument.
        line: Which line of several, by its name; None for the first.
        settings: Decides how keys are spelled.

    Returns:
        The file, which sounds at concert pitch by its `transpose`; or a fault where the part has
        no line of that name.
    """
    if part.clef is None:
        return device_score(device, slot, Form.MUSICXML, settings)
    concert, _ = in_slot(device, slot, settings)
    placement, passage = in_slot(device, written_slot(part, slot), settings)
    found = part_lines(device, passage, part.clef)
    wanted = next((one for one in found if line in (None, one.name)), None)
    if wanted is None:
        names = ", ".join(one.name for one in found)
        return Fault(0, f"expected a line of {device.title}, found `{line}`", f"the part has {names}")
    titles = [f"{device.title} in {pretty_key(concert.key)}", *([wanted.title] if wanted.title else [])]
    return write_part(
        wanted.passage,
        name=part.name,
        sounds=sounding_interval(part, concert.key, placement.key),
        title=", ".join(titles),
        tempo=device.tempo,
    ).encode()


def home_slot(device: Device) -> str:
    """Gives the slot of the key in which the author wrote a device."""
    return slot_of(device.passage.key.tonic)


def _abc(passage: Passage, title: str) -> bytes | Fault:
    """Writes a tune with the two fields that the standard wants first (ABC 2.1, 2.2.1 and 3.1)."""
    try:
        return f"X: 1\nT: {title}\n{write_abc(passage)}".encode()
    except ValueError as error:
        return Fault(0, f"ABC cannot hold these notes: {error}", "take MusicXML")


def collection_score(collection: Collection, glossary: Glossary, settings: Settings) -> bytes | Fault:
    """Writes a collection as one MusicXML score: devices in the keys asked for, songs as their charts.

    Args:
        collection: The collection.
        glossary: Where its devices and songs are.
        settings: Decides how keys are spelled.

    Returns:
        The file, or a fault where nothing of the collection can be read.
    """
    items = [piece for item in collection.items for piece in _pieces(item, glossary, settings)]
    if not items:
        return Fault(0, f"nothing that {collection.title} lists can be read", "transposary check says why")
    return write_album(items, title=collection.title).encode()


def _pieces(item: CollectionItem, glossary: Glossary, settings: Settings) -> Iterator[AlbumItem]:
    device = glossary.device.get((item.device and item.device.slug) or "")
    if device is not None:
        for slot in dict.fromkeys(item.keys or (home_slot(device),)):
            placement, passage = in_slot(device, slot, settings)
            yield AlbumItem(f"{device.title} in {pretty_key(placement.key)}", passage, device.tempo)
    song = glossary.song.get((item.song and item.song.slug) or "")
    if song is not None:
        yield AlbumItem(f"{song.title} in {pretty_key(song.key)}", chart_passage(song), song.tempo)
