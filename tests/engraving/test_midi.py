"""MIDI files, by the messages that they hold."""

from dataclasses import replace
from io import BytesIO

import mido
import pytest

from tests.engraving.samples import SAMPLES, STEPPING_OUT, TWO_HANDS
from tests.theory.abc import passage
from transposary.engraving.midi import TICKS, write_midi
from transposary.passage import Key, Passage
from transposary.pitch import NoteName

Struck = tuple[float, float, int, int]
"""Quarter notes from the start, length, number, velocity."""


def _file(given: Passage, tempo: int | None = 100, title: str = "") -> mido.MidiFile:
    return mido.MidiFile(file=BytesIO(write_midi(given, tempo=tempo, title=title)), charset="utf-8")


def _struck(track: mido.MidiTrack) -> list[Struck]:
    now, held, found = 0, {}, []
    for message in track:
        now += message.time
        if message.type == "note_on":
            held[message.channel, message.note] = (now, message.velocity)
        elif message.type == "note_off":
            start, velocity = held.pop((message.channel, message.note))
            found.append((start / TICKS, (now - start) / TICKS, message.note, velocity))
    assert held == {}
    return sorted(found)


def _played(abc: str) -> list[Struck]:
    return _struck(_file(passage(abc)).tracks[1])


def _meta(given: Passage, kind: str, tempo: int | None = 100) -> list[mido.MetaMessage]:
    return [message for message in _file(given, tempo).tracks[0] if message.type == kind]


def test_hands_are_tracks_with_names_behind_the_conductor() -> None:
    """The conductor track bears the title; each hand has its own track and channel."""
    file = _file(TWO_HANDS, title="Hin & zurück ♭")
    assert (file.type, file.ticks_per_beat) == (1, TICKS)
    assert [track.name for track in file.tracks] == ["Hin & zurück ♭", "Right hand", "Left hand"]
    channels = [{m.channel for m in track if m.type == "note_on"} for track in file.tracks]
    assert channels == [set(), {0}, {1}]


def test_tracks_end_together_where_the_passage_ends() -> None:
    """A rest at the end counts: a loop of the file keeps its bars."""
    lengths = [sum(message.time for message in track) for track in _file(STEPPING_OUT).tracks]
    assert lengths == [8 * TICKS, 8 * TICKS]


def test_notes_sound_as_written_and_ties_once() -> None:
    """Onsets count from the pickup; a tied note is struck once and held through."""
    assert _played("M:4/4\nL:1/4\nK:C\nC | [DF]2- [DF] z |]\n") == [
        (0, 1, 60, 80),
        (1, 3, 62, 80),
        (1, 3, 65, 80),
    ]


def test_graces_come_just_before_the_beat() -> None:
    """Each takes an eighth of a quarter from the time before its note."""
    assert _played("M:2/4\nL:1/4\nK:C\nC {DE}F |]\n") == [
        (0, 1, 60, 80),
        (0.75, 0.125, 62, 80),
        (0.875, 0.125, 64, 80),
        (1, 1, 65, 80),
    ]


def test_graces_at_the_very_start_push_their_note_back() -> None:
    """There is no time before the first beat, and no note is lost."""
    assert _played("M:2/4\nL:1/4\nK:C\n{DE}F2 |]\n") == [
        (0, 0.125, 62, 80),
        (0.125, 0.125, 64, 80),
        (0.25, 1.75, 65, 80),
    ]


def test_touch_is_heard() -> None:
    """Staccato halves a note, an accent is louder, a ghost note softer."""
    assert _played("M:3/4\nL:1/4\nK:C\n.C !accent!D !ghost!E |]\n") == [
        (0, 0.5, 60, 80),
        (1, 1, 62, 104),
        (2, 1, 64, 48),
    ]


def test_a_key_struck_again_is_released_first() -> None:
    """A grace of the same pitch ends the note before it."""
    assert _played("M:2/4\nL:1/4\nK:C\nC {C}C |]\n") == [
        (0, 0.875, 60, 80),
        (0.875, 0.125, 60, 80),
        (1, 1, 60, 80),
    ]


def test_two_voices_can_hold_one_key() -> None:
    """A unison of two voices is two notes, in two channels."""
    track = _file(passage("M:2/4\nL:1/4\nK:C\nV:RH\nC D |]\nV:RH2\nC2 |]\n")).tracks[1]
    assert [(m.note, m.channel) for m in track if m.type == "note_on"] == [(60, 0), (60, 2), (62, 0)]


@pytest.mark.parametrize(
    ("meter", "music", "tempo"), [("4/4", "C4", 600000), ("12/8", "C6", 400000), ("2/2", "C4", 300000)]
)
def test_the_tempo_counts_the_beat(meter: str, music: str, tempo: int) -> None:
    """A hundred beats a minute are 600,000 microseconds a quarter in 4/4, less where beats are longer."""
    given = passage(f"M:{meter}\nL:1/4\nK:C\n{music} |]\n")
    assert [message.tempo for message in _meta(given, "set_tempo")] == [tempo]
    assert _meta(given, "set_tempo", None) == []


def test_short_bars_are_meters_of_their_own() -> None:
    """After a pickup, bars fall where a sequencer draws them; the click counts the beat."""
    found = [
        (m.numerator, m.denominator, m.clocks_per_click)
        for m in _meta(SAMPLES["pickup in three"], "time_signature")
    ]
    assert found == [(3, 8, 24), (3, 4, 24)]
    divided = [(m.numerator, m.denominator) for m in _meta(SAMPLES["divided bar"], "time_signature")]
    twice = [(4, 4), (3, 4), (4, 4), (3, 4), (1, 4), (4, 4), (3, 4), (1, 4), (4, 4), (3, 4)]
    assert divided == [(1, 4), *twice]
    assert [m.clocks_per_click for m in _meta(SAMPLES["six eight"], "time_signature")] == [36]


@pytest.mark.parametrize(
    ("key", "written"),
    [
        ("Eb", "Eb"),
        ("F#m", "F#m"),
        ("Ddor", "C"),
        ("Gmix", "C"),
        ("Cb", "Cb"),
        ("Ebm", "Ebm"),
        ("Ablyd", "Eb"),
    ],
)
def test_keys_have_the_signature_as_written(key: str, written: str) -> None:
    """Minor is minor; the other modes have no place in the format and stand as their signature."""
    given = passage(f"M:4/4\nL:1/4\nK:{key}\nC4 |]\n")
    assert [message.key for message in _meta(given, "key_signature")] == [written]


def test_signatures_beyond_seven_are_written_as_their_twin() -> None:
    """The format has no eight sharps: G sharp major stands as A flat major."""
    given = passage("M:4/4\nL:1/4\nK:C\nC4 |]\n")
    sharp = replace(given, keys=((given.keys[0][0], Key(NoteName.parse("G#"))),))
    assert [message.key for message in _meta(sharp, "key_signature")] == ["Ab"]


def test_changes_of_key_and_meter_stand_at_their_bars() -> None:
    """The conductor track changes where the notation does."""
    now, found = 0, []
    for message in _file(SAMPLES["changes"]).tracks[0]:
        now += message.time
        if message.type in ("key_signature", "time_signature"):
            found.append(
                (now / TICKS, getattr(message, "key", "") or f"{message.numerator}/{message.denominator}")
            )
    assert found == [(0, "4/4"), (0, "C"), (4, "E"), (8, "3/4"), (8, "Ab")]
