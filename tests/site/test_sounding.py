"""The notes of a device as the scripts of its page get them."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from tests.site.small import device, song, walk_up
from tests.theory.abc import passage
from tests.theory.build import build
from transposary.glossary import Device
from transposary.notes import notes
from transposary.passage import Feel, FeelKind
from transposary.settings import Settings
from transposary.site.pages.sounding import sounding, sounding_as_played
from transposary.site.worked import AsPlayed, InKey, Worked
from transposary.theory.keys import placements


def _worked(one: Device) -> Worked:
    return Worked(one, tuple(map(InKey, placements(one.passage, None, Settings()))))


def _read(one: Device) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(sounding(_worked(one)))
    return read


def test_every_note_has_its_time_and_degree() -> None:
    """Pickup, grace note and tie are told apart, in the order of the engraving."""
    assert _read(walk_up())["notes"] == [
        {"voice": "LH", "onset": -0.5, "duration": 0.5, "degree": "5"},
        {"voice": "LH", "onset": 0, "duration": 2, "degree": "1"},
        {"voice": "LH", "onset": 2, "duration": 1, "degree": "2"},
        {"voice": "LH", "onset": 3, "duration": 0, "degree": "b2", "grace": 1},
        {"voice": "LH", "onset": 3, "duration": 1, "degree": "b3", "tie": "start"},
        {"voice": "LH", "onset": 4, "duration": 2, "degree": "b3", "tie": "stop"},
        {"voice": "LH", "onset": 6, "duration": 2, "degree": "4"},
    ]


def test_repeats_are_told_as_they_are_played() -> None:
    """The stretches in their order, from and to; nothing where each bar is played once."""
    music = "|: C4 |1 D4 :|2 E4 |]"
    repeated = replace(walk_up(), passage=passage(f"M:4/4\nL:1/4\nK:C\n{music}\n"))
    assert _read(repeated)["order"] == [[0, 8], [0, 4], [8, 12]]
    assert "order" not in _read(walk_up())


def test_every_key_has_its_notes_and_chords() -> None:
    """MIDI numbers and names are those of the device in that key."""
    worked = _worked(walk_up())
    keys = json.loads(sounding(worked))["keys"]
    assert keys["A"] == {
        "midi": [40, 45, 47, 46, 48, 48, 50],
        "fifths": [4, 3, 5, -2, 0, 0, 2],
        "fingers": [5, 2, 1, 3, 2, 0, 1],
        "roots": [3, 2],
        "basses": [None, None],
    }
    assert {slot: one["midi"] for slot, one in keys.items()} == {
        key.slot: [note.pitch.midi for note in notes(worked.passage_in(key))] for key in worked.keys
    }


def test_bars_and_chords_are_counted_in_quarters() -> None:
    """A pickup is bar 0; a chord says how its tones lie over its root."""
    data = _read(walk_up())
    assert data["bars"] == [
        {"number": 0, "onset": -0.5, "duration": 0.5, "beat": 1},
        {"number": 1, "onset": 0, "duration": 4, "beat": 1},
        {"number": 2, "onset": 4, "duration": 4, "beat": 1},
    ]
    assert data["symbols"] == [{"onset": 0, "tones": [0, 3, 7]}, {"onset": 4, "tones": [0, 4, 7, 10]}]


def test_feel_and_tempo_are_those_of_the_entry() -> None:
    """What the entry leaves open is null; a swung unit is said in any case."""
    plain = device("plain", build("C4:2/3 D4:2/3 E4:2/3 F4:2", meter="2/2"))
    told = _read(plain)
    assert [told[name] for name in ("meter", "tempo", "feel", "unit")] == ["2/2", None, "straight", 8]
    assert [note["onset"] for note in told["notes"]] == [0, 0.66667, 1.33333, 2]
    assert told["bars"][0]["beat"] == 2
    swung = replace(plain, feel=Feel(FeelKind.SWING, 16), tempo=80)
    assert [_read(swung)[name] for name in ("tempo", "feel", "unit")] == [80, "swing", 16]


def test_the_block_cannot_end_the_element_that_it_stands_in() -> None:
    """No sign of markup is left in it."""
    assert "<" not in sounding(_worked(walk_up()))


def test_a_version_as_played_goes_as_its_song() -> None:
    """It has one key, named as its figure, and the song's tempo and feel where they are known.

    For the words under the device itself it has that one's degrees and spellings.
    """
    one = replace(walk_up(), tempo=92, feel=Feel(FeelKind.SWING))
    version = build(LH="D2 E2 F#2", key="D", meter="3/4")
    played = AsPlayed("as-played-1", version, version)
    known = replace(song("low-tide"), tempo=70)
    data = json.loads(sounding_as_played(one, played, known))
    assert (data["tempo"], data["feel"], data["meter"]) == (70, "straight", "3/4")
    assert {name: key["midi"] for name, key in data["keys"].items()} == {"as-played-1": [38, 40, 42]}
    assert data["own"] == {"degree": ["1", "2", "3"], "fifths": [2, 4, 6]}
    assert json.loads(sounding_as_played(one, played, replace(known, tempo=None)))["tempo"] == 92
    assert json.loads(sounding_as_played(one, played, None))["feel"] == "swing"
