"""The notes of a device for the scripts of its page: what sounds when, in every key.

Notes stand in the order of `notes.notes`, which is also that of `data-note` in the engravings.
Times are quarter notes from the first downbeat. Spellings are places on the line of fifths.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from fractions import Fraction

from markupsafe import Markup

from transposary.glossary import Device
from transposary.notes import Note, notes
from transposary.passage import Bar, Chord, Event, Feel, Passage, Symbol
from transposary.site.worked import AsPlayed, Worked
from transposary.song import Song
from transposary.stretches import as_played
from transposary.theory.degrees import degrees
from transposary.theory.fingering.keys import fingers_in

Record = dict[str, object]

_DIGITS = 5
"""Decimals of a time: a hundred-thousandth of a quarter note is under 20 µs at any tempo."""


def sounding(worked: Worked) -> Markup:
    """Writes what sounds in a device as JSON that can stand in a page.

    The block has:

    - `meter` as `3/4`, `tempo` in beats a minute or null, `feel` and the swung `unit` (8 or 16)
    - `bars`: number, onset, duration, and `beat`, the length of the counted beat
    - `order`, where bars repeat: the stretches as they are played, each from and to
    - `symbols`: onset, and `tones`, the semitones of the chord over its root; null for no chord
    - `notes`: voice, onset, duration, degree; where it applies `tie`, `grace` (which one before
      the beat, counted backwards), `ghost`, `accent`, `staccato`
    - `keys`, by slot: `midi` and `fifths` of each note, `fingers` suggested (0 for none),
      `roots` and `basses` of each symbol
    """
    device = worked.device
    keys: Record = {
        key.slot: _in_key(worked.passage_in(key), fingers_in(worked.fingering, key.slot))
        for key in worked.keys
    }
    return _block(device.passage, device.tempo, device.feel, keys)


def sounding_as_played(device: Device, played: AsPlayed, song: Song | None) -> Markup:
    """Writes what sounds in a version as played, in its one key, which has the name of its figure.

    It goes at the tempo and with the feel of its song, and as the device where that has none. Beside
    it stands `own`: `degree` and `fifths` of each note of the device itself in that key.
    """
    tempo = device.tempo if song is None or song.tempo is None else song.tempo
    feel = device.feel if song is None else song.feel
    own: Record = {
        "degree": [str(degree) for degree in degrees(played.own)],
        "fifths": [note.pitch.name.fifths for note in notes(played.own)],
    }
    return _block(played.passage, tempo, feel, {played.figure: _in_key(played.passage, {})}, own=own)


def _block(passage: Passage, tempo: int | None, feel: Feel, keys: Record, **more: Record) -> Markup:
    content: Record = {
        "meter": str(passage.meter),
        "tempo": tempo,
        "feel": feel.kind.value,
        "unit": feel.unit,
        "bars": [_bar(bar) for bar in passage.bars],
        "symbols": [_symbol(symbol) for symbol in passage.symbols],
        "notes": list(_notes(passage)),
        "keys": keys,
        **_order(passage),
        **more,
    }
    text = json.dumps(content, separators=(",", ":"))
    # No text of an author may end the element that it stands in.
    return Markup(text.replace("<", r"\u003c"))  # noqa: S704  (escaped in the line above)


def _bar(bar: Bar) -> Record:
    return {
        "number": bar.number,
        "onset": _time(bar.onset),
        "duration": _time(bar.duration),
        "beat": _time(bar.meter.beat),
    }


def _order(passage: Passage) -> Record:
    order = as_played(passage)
    return {} if len(order) == 1 else {"order": [[_time(start), _time(end)] for start, end in order]}


def _symbol(symbol: Symbol) -> Record:
    chord = symbol.chord
    tones = None if chord is None else [tone.semitones for tone in chord.tones]
    return {"onset": _time(symbol.onset), "tones": tones}


def _notes(passage: Passage) -> Iterator[Record]:
    events = {(voice.name, event.onset): event for voice in passage.voices for event in voice.events}
    before: dict[tuple[str, Fraction], Iterator[int]] = {
        place: _graces_before(event) for place, event in events.items()
    }
    for note, degree in zip(notes(passage), degrees(passage), strict=True):
        place = (note.voice, note.onset)
        yield {
            "voice": note.voice,
            "onset": _time(note.onset),
            "duration": _time(note.duration),
            "degree": str(degree),
            **({"grace": next(before[place])} if note.grace else _marks(note, events[place])),
            **({"ghost": True} if note.head.ghost else {}),
        }


def _graces_before(event: Event) -> Iterator[int]:
    """Counts the grace notes of an event backwards, those struck together alike."""
    return (
        count
        for count, grace in zip(range(len(event.graces), 0, -1), event.graces, strict=True)
        for _ in grace.heads
    )


def _marks(note: Note, event: Event) -> Record:
    marks: Record = {"tie": note.tie.value, "accent": event.accent, "staccato": event.staccato}
    return {name: value for name, value in marks.items() if value}


def _in_key(passage: Passage, fingers: Mapping[int, int]) -> Record:
    written = notes(passage)
    chords = [symbol.chord for symbol in passage.symbols]
    return {
        "midi": [note.pitch.midi for note in written],
        "fifths": [note.pitch.name.fifths for note in written],
        "fingers": [fingers.get(note.index, 0) for note in written],
        "roots": [None if chord is None else chord.root.fifths for chord in chords],
        "basses": [_bass(chord) for chord in chords],
    }


def _bass(chord: Chord | None) -> int | None:
    return None if chord is None or chord.bass is None else chord.bass.fifths


def _time(quarters: Fraction) -> float | int:
    return int(quarters) if quarters.denominator == 1 else round(float(quarters), _DIGITS)
