"""glossary.json as other programs read it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.site.small import device, ref, small_glossary
from tests.theory.abc import passage
from tests.theory.build import build
from transposary.glossary import Device, Glossary
from transposary.problems import Place, Problem
from transposary.reading import read_glossary
from transposary.repertoire import Fit, fits_of, repertoire_of
from transposary.settings import Settings
from transposary.site.export import glossary_json, schema_json
from transposary.site.related import relations
from transposary.theory.keys import Placement, placements

ENTRIES = Path(__file__).parents[2] / "entries"


def _fits(glossary: Glossary) -> dict[str, tuple[Fit, ...]]:
    repertoire = repertoire_of(glossary.songs)
    return {device.slug: fits_of(device, repertoire) for device in glossary.devices}


def _keys(device: Device) -> tuple[Placement, ...]:
    return placements(device.passage, device.compass, Settings())


def _exported(glossary: Glossary, *problems: Problem) -> dict[str, Any]:
    content: dict[str, Any] = json.loads(
        glossary_json(glossary, problems, _keys, _fits(glossary), relations(glossary))
    )
    return content


@pytest.fixture(scope="module")
def walk() -> dict[str, Any]:
    """The one device of the small glossary, as exported."""
    exported: dict[str, Any] = _exported(small_glossary())["devices"][0]
    return exported


def test_the_schema_is_a_schema() -> None:
    """Editors and validators accept it (JSON Schema, draft 2020-12)."""
    jsonschema.Draft202012Validator.check_schema(json.loads(schema_json()))


def test_the_export_keeps_its_promise() -> None:
    """What is written validates against the published schema."""
    problem = Problem.remark(Place("devices/x.md", 3, 4), "theory.reach", "a tenth", "roll it")
    jsonschema.validate(_exported(small_glossary(), problem), json.loads(schema_json()))


def test_the_export_of_the_demo_keeps_its_promise() -> None:
    """What real entries hold is covered by the schema."""
    glossary = read_glossary(ENTRIES).glossary
    exported = _exported(glossary)
    jsonschema.validate(exported, json.loads(schema_json()))
    assert len(exported["devices"]) == len(glossary.devices) > 0


def test_the_schema_refuses_what_nobody_promised() -> None:
    """An unknown field is an error, so that the export and its schema cannot drift apart."""
    exported = _exported(small_glossary())
    exported["devices"][0]["mood"] = "blue"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(exported, json.loads(schema_json()))


def test_a_device_says_what_it_is(walk: dict[str, Any]) -> None:
    """Names, roles and numbers stand as the author gave them; what is missing is null or empty."""
    plain = {key: walk[key] for key in ("slug", "title", "aliases", "role", "concepts", "genres", "level")}
    assert plain == {
        "slug": "walk-up",
        "title": "Walk up",
        "aliases": ["stroll"],
        "role": ["bass"],
        "concepts": ["passing-note"],
        "genres": ["soul"],
        "level": 2,
    }
    music = {key: walk[key] for key in ("frame", "key", "meter", "feel", "tempo", "over", "fits")}
    assert music == {
        "frame": "key",
        "key": {"tonic": "A", "mode": "minor"},
        "meter": "4/4",
        "feel": "straight",
        "tempo": 92,
        "over": [],
        "fits": [],
    }


def test_harmony_names_bar_beat_symbol_and_numeral(walk: dict[str, Any]) -> None:
    """Each chord symbol stands where it begins to hold, counted in the key."""
    assert walk["harmony"] == [
        {"bar": 1, "beat": "1", "symbol": "Am", "numeral": "i"},
        {"bar": 2, "beat": "1", "symbol": "D7", "numeral": "IV7"},
    ]


def test_degrees_read_as_a_claim_would(walk: dict[str, Any]) -> None:
    """Every voice that plays has its line of degrees, pickup and graces included."""
    assert walk["degrees"] == {"LH": "5 | 1 2 {b2} b3 | 4"}


def test_notes_are_exact(walk: dict[str, Any]) -> None:
    """Spelled pitches, fractions of a quarter from bar 1, ties, graces and both countings."""
    notes = walk["notes"]
    assert [note["pitch"] for note in notes] == ["E2", "A2", "B2", "Bb2", "C3", "C3", "D3"]
    assert [note["onset"] for note in notes] == ["-1/2", "0", "2", "3", "3", "4", "6"]
    assert [note["duration"] for note in notes] == ["1/2", "2", "1", "0", "1", "2", "2"]
    assert [note["tie"] for note in notes] == [None, None, None, None, "start", "stop", None]
    assert [note["grace"] for note in notes] == [False, False, False, True, False, False, False]
    assert [note["bar"] for note in notes] == [0, 1, 1, 1, 1, 2, 2]
    assert {(note["voice"], note["hand"]) for note in notes} == {("LH", "LH")}
    assert [note["degree"] for note in notes] == ["5", "1", "2", "b2", "b3", "b3", "4"]
    assert notes[-1]["chord_degree"] == "1"


def test_a_device_without_chords_has_no_chord_degrees() -> None:
    """Where nothing is said about the harmony, nothing is made up."""
    exported = _exported(Glossary((device("bare", build("C4 D4")),)))["devices"][0]
    assert exported["harmony"] == []
    assert [note["chord_degree"] for note in exported["notes"]] == [None, None]


def test_the_author_s_fingering_stands_with_the_notes() -> None:
    """A finger where the author marked one, and nothing where not."""
    music = passage("M: 4/4\nL: 1/4\nK: C\n!2!C4 |\nz4 | D4 |\n")
    exported = _exported(Glossary((device("marked", music),)))["devices"][0]
    assert [note.get("finger") for note in exported["notes"]] == [2, None]
    assert "finger" not in exported["notes"][1]


def test_twelve_keys_stand_in_the_order_of_their_slots(walk: dict[str, Any]) -> None:
    """A program finds the tonic, spelled for the mode, and how far the notes moved."""
    keys = {key["slot"]: key for key in walk["keys"]}
    assert list(keys) == ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]
    assert (keys["A"]["tonic"], keys["A"]["mode"], keys["A"]["interval"]) == ("A", "minor", "P1")
    assert (keys["Db"]["tonic"], keys["Db"]["interval"]) == ("C#", "M3")
    assert keys["A"]["octaves"] == {"LH": 0}


def test_applications_say_where_and_how(walk: dict[str, Any]) -> None:
    """Bars are counted as the author counted them."""
    assert walk["applied"] == [
        {
            "song": "low-tide",
            "section": "A",
            "bars": [1, 2],
            "key": {"tonic": "D", "mode": "major"},
            "date": "2026-03-14",
            "changed": "an octave lower",
            "differs": [],
        }
    ]


def test_related_devices_come_with_their_reason() -> None:
    """The reason is one line for people."""
    glossary = small_glossary()
    other = replace(device("other", build("C4 D4")), variant_of=ref("walk-up"))
    exported = _exported(replace(glossary, devices=(other, *glossary.devices)))
    assert exported["devices"][0]["related"] == [{"slug": "walk-up", "why": "this device is a variant of it"}]


def test_a_song_lists_its_bars_as_played() -> None:
    """Chords stand with beat and numeral; silence of the chart is N.C. and has no numeral."""
    exported = _exported(small_glossary())["songs"][0]
    assert exported["bars"] == [
        {
            "number": 1,
            "section": "A",
            "bar": 1,
            "chords": [
                {"beat": "1", "symbol": "D", "numeral": "I"},
                {"beat": "3", "symbol": "A7", "numeral": "V7"},
            ],
        },
        {
            "number": 2,
            "section": "A",
            "bar": 2,
            "chords": [{"beat": "1", "symbol": "N.C.", "numeral": None}],
        },
    ]
    assert (exported["key"], exported["form"]) == ({"tonic": "D", "mode": "major"}, ["A"])


def test_concepts_and_collections_are_listed() -> None:
    """A concept that nobody wrote says so; a lesson names devices, keys and the teacher's note."""
    exported = _exported(small_glossary())
    assert exported["concepts"] == [
        {"slug": "passing-note", "title": "Passing note", "aliases": [], "broader": None, "defined": False}
    ]
    assert exported["collections"] == [
        {
            "slug": "tuesday",
            "title": "Tuesday",
            "aliases": [],
            "purpose": "lesson",
            "due": "2026-03-17",
            "items": [
                {
                    "device": "walk-up",
                    "song": None,
                    "keys": ["Eb"],
                    "tempo": 100,
                    "due": None,
                    "note": "hands apart",
                }
            ],
        }
    ]


def test_problems_are_sorted_and_complete() -> None:
    """All problems of a build come in the order of their places."""
    late = Problem(Place("songs/b.md", 2, 1), "chart.bar", "five beats", "leave one out")
    early = Problem.remark(Place("devices/a.md", 9, 7), "theory.reach", "a tenth")
    assert _exported(Glossary(), late, early)["problems"] == [
        {
            "file": "devices/a.md",
            "line": 9,
            "column": 7,
            "rule": "theory.reach",
            "severity": "remark",
            "text": "a tenth",
            "hint": "",
        },
        {
            "file": "songs/b.md",
            "line": 2,
            "column": 1,
            "rule": "chart.bar",
            "severity": "error",
            "text": "five beats",
            "hint": "leave one out",
        },
    ]


def test_signs_are_written_as_they_are() -> None:
    """The file is UTF-8 with ♭ and – as such, and ends with a line end."""
    glossary = Glossary((replace(device("flat", build("C4")), title="The ♭7 – and back"),))
    text = glossary_json(glossary, (), _keys, _fits(glossary), relations(glossary))
    assert "The ♭7 – and back" in text
    assert text.endswith("}\n")
