"""The glossary for other programs: `glossary.json`, format 1.

What stands where is promised by `glossary.schema.json`, which is published beside it. Keys
keep the order of the schema, times are exact fractions written as strings, and nothing
depends on the machine or the day, so that the same entries give the same bytes.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from importlib import resources

from transposary.glossary import AppliedIn, Collection, CollectionItem, Concept, Device, Glossary, Ref, Source
from transposary.notes import Note, notes, remembered
from transposary.passage import Key, Passage
from transposary.pitch import Degree
from transposary.problems import Problem, in_order
from transposary.repertoire import Fit
from transposary.repertoire.differences import became
from transposary.repertoire.performance import harmonies
from transposary.site.related import Relation
from transposary.song import PlayedBar, Song
from transposary.theory.degrees import chord_degrees, degree_text, degrees
from transposary.theory.harmony import harmony
from transposary.theory.keys import Placement
from transposary.theory.regions import Harmony

FORMAT = 1

Record = dict[str, object]


def glossary_json(
    glossary: Glossary,
    problems: Sequence[Problem],
    keys: Callable[[Device], Sequence[Placement]],
    fits: Mapping[str, tuple[Fit, ...]],
    related: Mapping[str, tuple[Relation, ...]],
) -> str:
    """Writes the whole glossary as one line of JSON.

    Args:
        glossary: What is published; drafts are left out by the caller.
        problems: All problems of the build, in any order.
        keys: Gives the twelve keys of a device.
        fits: Where the devices fit, by slug.
        related: The devices related to each, by slug.
    """
    devices = ",".join(
        _device(device, related[device.slug], keys(device), fits[device.slug], glossary.song)
        for device in glossary.devices
    )
    others: Record = {
        "songs": [_song(song) for song in glossary.songs],
        "concepts": [_concept(concept) for concept in glossary.concepts],
        "collections": [_collection(collection) for collection in glossary.collections],
        "sources": [_source(source) for source in glossary.sources],
        "problems": [problem.record for problem in in_order(problems)],
    }
    return f'{{"format":{FORMAT},"devices":[{devices}],{_inside(others)}}}\n'


def _inside(record: Record) -> str:
    """Writes what stands between the braces of a record."""
    return json.dumps(record, ensure_ascii=False, separators=(",", ":"))[1:-1]


def _source(source: Source) -> Record:
    return {
        "name": source.name,
        "title": source.title,
        "author": source.author,
        "address": source.address,
    }


def schema_json() -> str:
    """Gives the JSON Schema (draft 2020-12) of `glossary.json`."""
    return resources.files(__package__).joinpath("glossary.schema.json").read_text(encoding="utf-8")


def _device(
    device: Device,
    related: Sequence[Relation],
    keys: Sequence[Placement],
    fits: Sequence[Fit],
    songs: Mapping[str, Song],
) -> str:
    passage = device.passage
    head: Record = {
        "slug": device.slug,
        "title": device.title,
        "aliases": list(device.aliases),
        "role": [role.value for role in device.roles],
        "concepts": _slugs(device.concepts),
        "genres": list(device.genres),
        "level": device.level,
        "frame": device.frame.value,
        "key": _key(passage.key),
        "meter": str(passage.meter),
        "feel": str(device.feel),
        "tempo": device.tempo,
        "added": device.added.isoformat() if device.added else None,
        "revised": device.revised.isoformat() if device.revised else None,
        "over": [str(text) for text in device.over],
    }
    tail: Record = {
        "keys": [_placement(one) for one in keys],
        "fits": [_fit(fit) for fit in fits],
        "applied": [_applied(device, applied, songs) for applied in device.applied_in],
        "related": [{"slug": relation.device.slug, "why": relation.why} for relation in related],
    }
    return f"{{{_inside(head)},{_sounding(passage)},{_inside(tail)}}}"


@remembered
def _sounding(passage: Passage) -> str:
    """Writes what follows from the notes alone, once as long as they do not change."""
    return _inside(
        {
            "harmony": _harmony(passage),
            "degrees": {voice.name: degree_text(passage, voice.name) for voice in passage.voices},
            "notes": _notes(passage),
        }
    )


def _harmony(passage: Passage) -> list[Record]:
    return [
        {
            "bar": symbol.bar,
            "beat": str(passage.bar_at(symbol.onset).beat_at(symbol.onset)),
            "symbol": str(symbol),
            "numeral": None if numeral is None else str(numeral),
        }
        for symbol, numeral in harmony(passage)
    ]


def _notes(passage: Passage) -> list[Record]:
    rows = zip(notes(passage), degrees(passage), chord_degrees(passage), strict=True)
    return [_note(note, degree, over_chord) for note, degree, over_chord in rows]


def _note(note: Note, degree: Degree, over_chord: Degree | None) -> Record:
    return {
        "voice": note.voice,
        "hand": note.hand.value,
        "pitch": str(note.pitch),
        "bar": note.bar,
        "onset": str(note.onset),
        "duration": str(note.duration),
        "tie": note.tie.value or None,
        "grace": note.grace,
        "degree": str(degree),
        "chord_degree": None if over_chord is None else str(over_chord),
        **({} if note.head.finger is None else {"finger": note.head.finger}),
    }


def _placement(placement: Placement) -> Record:
    return {
        "slot": placement.slot,
        "tonic": str(placement.key.tonic),
        "mode": placement.key.mode.value,
        "interval": str(placement.interval),
        "octaves": {hand.value: count for hand, count in placement.octaves},
    }


def _fit(fit: Fit) -> Record:
    return {
        "song": fit.song,
        "section": fit.section,
        "bars": [fit.first, fit.last],
        "times": list(fit.times),
        "tonic": str(fit.tonic),
        "score": fit.score,
        "adapted": list(fit.adapted),
        "reason": fit.reason,
    }


def _applied(device: Device, applied: AppliedIn, songs: Mapping[str, Song]) -> Record:
    differs = became(device, applied, songs.get(applied.song.slug or ""))
    return {
        "song": applied.song.slug,
        "section": applied.bars.section,
        "bars": [applied.bars.first, applied.bars.last],
        "key": None if applied.key is None else _key(applied.key),
        "date": None if applied.date is None else applied.date.isoformat(),
        "changed": applied.changed,
        "differs": [] if differs is None else list(differs.changed),
    }


def _song(song: Song) -> Record:
    return {
        "slug": song.slug,
        "title": song.title,
        "aliases": list(song.aliases),
        "key": _key(song.key),
        "meter": str(song.meter),
        "tempo": song.tempo,
        "feel": str(song.feel),
        "genres": list(song.genres),
        "form": list(song.form),
        "bars": [_bar(*one) for one in zip(song.played, harmonies(song), strict=True)],
    }


def _bar(played: PlayedBar, harmony: Sequence[Harmony | None]) -> Record:
    chords = [
        {
            "beat": str(one.beat),
            "symbol": str(one),
            "numeral": None if counted is None else str(counted.numeral),
        }
        for one, counted in zip(played.bar.chords, harmony, strict=True)
    ]
    return {"number": played.number, "section": played.section, "bar": played.within, "chords": chords}


def _concept(concept: Concept) -> Record:
    return {
        "slug": concept.slug,
        "title": concept.title,
        "aliases": list(concept.aliases),
        "broader": None if concept.broader is None else concept.broader.slug,
        "defined": concept.defined,
    }


def _collection(collection: Collection) -> Record:
    return {
        "slug": collection.slug,
        "title": collection.title,
        "aliases": list(collection.aliases),
        "purpose": collection.purpose.value,
        "due": _day(collection.due),
        "items": [_item(item) for item in collection.items],
    }


def _item(item: CollectionItem) -> Record:
    return {
        "device": None if item.device is None else item.device.slug,
        "song": None if item.song is None else item.song.slug,
        "keys": list(item.keys),
        "tempo": item.tempo,
        "due": _day(item.due),
        "note": item.note,
    }


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _key(key: Key) -> Record:
    return {"tonic": str(key.tonic), "mode": key.mode.value}


def _slugs(refs: Sequence[Ref]) -> list[str]:
    return [ref.slug for ref in refs if ref.slug is not None]
