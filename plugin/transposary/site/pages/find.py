"""The page that finds devices by what they are, and what its scripts load.

The index and the small engravings are scripts, not data: from the disk a page may load nothing
else. Each tells the others on the page what it holds (`base.js`).
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import product

from transposary.engraving import Engraving, shared_defs
from transposary.glossary import Device, Frame, Kind, slug_of
from transposary.notes import remembered
from transposary.passage import Chord, Passage
from transposary.pitch import Degree
from transposary.site.edition import Edition
from transposary.site.links import FIND, NOTE_DOWN, Directory, Link, index_of, source_of
from transposary.site.page import Page
from transposary.theory.hands import HANDS
from transposary.theory.keys import SLOTS, key_at
from transposary.theory.strikes import beat_of, hearing
from transposary.theory.suffixes import tones_of

Record = dict[str, object]

INDEX = "find/index.js"
"""Where the index lies, from the site's root."""

PARTS = 48
"""Into how many parts the index divides a beat: halves, thirds and quarters of it are whole."""

_FRAMES = {
    Frame.KEY: "its place in the key",
    Frame.MOTION: "a motion of roots",
    Frame.CHORD: "one kind of chord",
}
_LENGTHS = (("1", "1 bar", 1), ("2", "2 bars", 2), ("4", "3 or 4 bars", 4), ("more", "5 bars or more", None))
# Semitones from the lowest to the highest note; whoever asks for two octaves gets one as well.
_RANGES = (("1", "within an octave", 12), ("2", "within two octaves", 24), ("3", "within three octaves", 36))
_QUALITIES = ("", "maj", "m", "mmaj", "ø", "o", "omaj", "+", "+maj")
_EXTENSIONS = ("", "2", "5", "6", "69", "7", "9", "11", "13")


@dataclass(frozen=True, slots=True)
class Facet:
    """Something else to ask for: its name, its label, and values with their words."""

    name: str
    label: str
    values: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class FindView:
    """What the page shows.

    Attributes:
        facets: What to ask for besides the notes.
        index: The script with the index.
        entry: The page of one device, from whose address the others follow.
        slug: That device; empty where there is none.
        devices: The index of devices, for those without scripts.
        note_down: Where an idea is noted down.
    """

    facets: tuple[Facet, ...]
    index: str
    entry: str
    slug: str
    devices: Link
    note_down: Link


def find_page(edition: Edition) -> Page:
    """Makes the page that finds devices by their notes, chords or rhythm."""
    devices = edition.glossary.devices
    view = FindView(
        facets=_facets(edition),
        index=INDEX,
        entry=source_of(Kind.DEVICE, devices[0].slug) if devices else index_of(Kind.DEVICE),
        slug=devices[0].slug if devices else "",
        devices=Link("index of all devices", index_of(Kind.DEVICE)),
        note_down=Link("Note an idea down", NOTE_DOWN),
    )
    summary = "Devices by their degrees, notes, chords or rhythm."
    return Page(FIND, "Find", "find", view, summary, listed=True)


def _facets(edition: Edition) -> tuple[Facet, ...]:
    devices = edition.glossary.devices
    words = _words(edition.directory, devices)
    used: dict[str, set[str]] = {name: set() for name in words}
    for device in devices:
        for name, values in _asked(device).items():
            used[name].update(values)
    facets = (
        Facet(name, label, tuple((value, text) for value, text in known.items() if value in used[name]))
        for name, (label, known) in words.items()
    )
    return tuple(facet for facet in facets if facet.values)


def _words(directory: Directory, devices: Iterable[Device]) -> Mapping[str, tuple[str, dict[str, str]]]:
    """Gives the labels of the facets, and the words for their values in the order of a list."""
    concepts = {
        ref.slug: directory.entry(Kind.CONCEPT, ref.slug).text
        for device in devices
        for ref in device.concepts
        if ref.slug
    }
    songs = {slug: directory.entry(Kind.SONG, slug).text for device in devices for slug in _songs(device)}
    genres = {slug_of(genre): genre for device in devices for genre in device.genres}
    roles = {role.value: role.value for device in devices for role in device.roles}
    meters = {str(device.passage.meter): str(device.passage.meter) for device in devices}
    return {
        "role": ("Role", _sorted(roles)),
        "concept": ("Concept", _sorted(concepts)),
        "genre": ("Genre", _sorted(genres)),
        "level": ("Level", {str(level): str(level) for level in range(1, 6)}),
        "hand": ("Hand", {hand.value: words for hand, words in HANDS.items()}),
        "frame": ("Hangs on", {frame.value: words for frame, words in _FRAMES.items()}),
        "meter": ("Meter", _sorted(meters)),
        "song": ("Song", _sorted(songs)),
        "length": ("Length", {name: words for name, words, _ in _LENGTHS}),
        "range": ("Range", {name: words for name, words, _ in _RANGES}),
    }


def _sorted(words: Mapping[str, str]) -> dict[str, str]:
    return dict(sorted(words.items(), key=lambda pair: pair[1].casefold()))


def _asked(device: Device) -> dict[str, tuple[str, ...]]:
    """Gives the values of a device by facet."""
    passage = device.passage
    span = _span(passage)
    bars = len({bar.number for bar in passage.bars if bar.number > 0})
    length = next(name for name, _, most in _LENGTHS if most is None or bars <= most)
    return {
        "role": tuple(role.value for role in device.roles),
        "concept": tuple(ref.slug for ref in device.concepts if ref.slug),
        "genre": tuple(map(slug_of, device.genres)),
        "level": () if device.level is None else (str(device.level),),
        "hand": tuple(hand.value for hand in passage.hands),
        "frame": (device.frame.value,),
        "meter": (str(passage.meter),),
        "song": _songs(device),
        "length": (length,),
        "range": tuple(name for name, _, most in _RANGES if span <= most),
    }


@remembered
def _span(passage: Passage) -> int:
    pitches = [note.pitch.midi for note in hearing(passage).attacks]
    return max(pitches) - min(pitches) if pitches else 0


def _songs(device: Device) -> tuple[str, ...]:
    applied = [one.song.slug for one in device.applied_in]
    heard = [one.song.slug for one in device.heard_in if one.song is not None]
    return tuple(dict.fromkeys(slug for slug in (*applied, *heard) if slug))


def find_index(devices: Iterable[Device]) -> bytes:
    """Writes the index."""
    return _script("index", _index(devices))


def find_name(slug: str) -> str:
    """Gives the address of the small engraving of a device from the site's root."""
    return f"find/{slug}.js"


def find_file(engraving: Engraving) -> bytes:
    """Writes the small engraving of a device."""
    return _script("engraving", _engraving(engraving.slug, engraving))


def _script(event: str, content: Record) -> bytes:
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return f'transposary.tell("{event}",{text});\n'.encode()


def _engraving(slug: str, engraving: Engraving) -> Record:
    return {"slug": slug, "svg": engraving.svg, "glyphs": shared_defs((engraving,))}


def _index(devices: Iterable[Device]) -> Record:
    """Writes what the scripts match against.

    The index has:

    - `suffixes`: how chord symbols begin behind the root, with the tones as a bit each
    - `slots`: the names of the twelve keys
    - `devices`: slug, title, the pitch class of the home tonic, values by facet,
      `lines` and `chords`
    - a line is a voice: its strikes as `[bar, place, tonic, [note, midi, note, midi …]]`, the
      place in parts of a beat, the note by its index in the engraving
    - a chord is `[symbol, bar, tonic, root, tones, bass]` with the symbol by its index, and -1
      for a bass that is the root
    """
    return {
        "suffixes": _suffixes(),
        "slots": list(SLOTS),
        "devices": [
            {
                "slug": device.slug,
                "title": device.title,
                "home": device.passage.key.tonic.pitch_class,
                "facets": _asked(device),
                "lines": _lines(device.passage),
                "chords": _chords(device.passage),
            }
            for device in devices
        ],
    }


def _suffixes() -> dict[str, int]:
    found: dict[str, int] = {}
    for quality, extension in product(_QUALITIES, _EXTENSIONS):
        tones = tones_of(quality + extension)
        if isinstance(tones, tuple):
            found[quality + extension] = mask_of(tones)
    return found


def mask_of(tones: Iterable[Degree]) -> int:
    """Writes chord tones as bits: bit 0 for the root, bit 7 for a fifth."""
    return sum(1 << place for place in {tone.semitones % 12 for tone in tones})


@remembered
def _lines(passage: Passage) -> list[list[list[object]]]:
    heard = hearing(passage)
    return [
        [
            [
                strike.bar,
                round((beat_of(passage, strike.onset) - 1) * PARTS),
                key_at(passage, strike.onset).tonic.pitch_class,
                [number for note in strike.struck for number in (note.index, note.pitch.midi)],
            ]
            for strike in heard.strikes((voice.name,))
        ]
        for voice in passage.voices
    ]


@remembered
def _chords(passage: Passage) -> list[list[int]]:
    return [
        _chord(index, symbol.bar, key_at(passage, symbol.onset).tonic.pitch_class, symbol.chord)
        for index, symbol in enumerate(passage.symbols)
        if symbol.chord is not None
    ]


def _chord(index: int, bar: int, tonic: int, chord: Chord) -> list[int]:
    bass = -1 if chord.bass is None else chord.bass.pitch_class
    return [index, bar, tonic, chord.root.pitch_class, mask_of(chord.tones), bass]
