"""Our MIDI files against the published standard, and in the hands of another reader.

Sources: Standard MIDI Files 1.0 (MMA RP-001): header, chunks, variable-length quantities,
meta events; middle C is note 60. The bytes of the golden file were put together by hand from it.
The files are taken apart by a reader of this test's own, and by partitura.
"""

import warnings
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.engraving.samples import SAMPLES, TWO_HANDS
from tests.theory.abc import passage
from transposary.engraving.midi import write_midi
from transposary.notes import attacks
from transposary.passage import Passage
from transposary.stretches import unfolded

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # what it imports warns about the standard library
    import partitura

GOLDEN = bytes.fromhex(
    "4d546864 00000006 0001 0002 01e0"
    "4d54726b 0000001e 00ff0300 00ff510307a120 00ff580404021808 00ff5902fd00 8f00ff2f00"
    "4d54726b 0000001c 00ff030a52696768742068616e64 00903c50 8360803c00 8b20ff2f00"
)

Message = tuple[int, int, bytes]
"""Tick, status (or meta type + 0x100), data."""


def _quantity(data: bytes, at: int) -> tuple[int, int]:
    """Reads a variable-length quantity: seven bits a byte, the highest bit set on all but the last."""
    value = 0
    while True:
        value = value << 7 | data[at] & 0x7F
        at += 1
        if not data[at - 1] & 0x80:
            return value, at


def _messages(track: bytes) -> Iterator[Message]:
    at = now = 0
    status = 0
    while at < len(track):
        delta, at = _quantity(track, at)
        now += delta
        if track[at] == 0xFF:
            length, begin = _quantity(track, at + 2)
            yield now, 0x100 + track[at + 1], track[begin : begin + length]
            at = begin + length
            continue
        if track[at] & 0x80:
            status, at = track[at], at + 1
        yield now, status, track[at : at + 2]
        at += 2


def _take_apart(data: bytes) -> tuple[tuple[int, int, int], list[list[Message]]]:
    """Gives (format, tracks, division) of the header, and the messages of each track."""
    assert data[:8] == bytes.fromhex("4d546864 00000006")
    header = (
        int.from_bytes(data[8:10]),
        int.from_bytes(data[10:12]),
        int.from_bytes(data[12:14]),
    )
    tracks, at = [], 14
    while at < len(data):
        assert data[at : at + 4] == b"MTrk"
        length = int.from_bytes(data[at + 4 : at + 8])
        tracks.append(list(_messages(data[at + 8 : at + 8 + length])))
        at += 8 + length
    return header, tracks


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("00", 0),
        ("40", 0x40),
        ("7f", 0x7F),
        ("8100", 0x80),
        ("c000", 0x2000),
        ("ff7f", 0x3FFF),
        ("818000", 0x4000),
        ("ffff7f", 0x1FFFFF),
        ("81808000", 0x200000),
        ("ffffff7f", 0xFFFFFFF),
    ],
)
def test_this_reader_knows_the_quantities_of_the_standard(written: str, value: int) -> None:
    """The standard's own table of variable-length quantities is read right."""
    assert _quantity(bytes.fromhex(written), 0) == (value, len(written) // 2)


def test_a_quarter_note_is_the_golden_file() -> None:
    """Middle C in E flat major at 120, a quarter and three of rest, is written byte for byte."""
    given = passage("M:4/4\nL:1/4\nK:Eb\n=C z3 |]\n")
    assert write_midi(given, tempo=120, title="") == GOLDEN


def test_a_hand_is_a_track_of_format_one() -> None:
    """Two hands make three tracks of 480 ticks a quarter, each closed by one end of track."""
    header, tracks = _take_apart(write_midi(TWO_HANDS, tempo=92, title="Two hands"))
    assert header == (1, 3, 480)
    assert len(tracks) == 3
    for track in tracks:
        assert [status for _, status, _ in track].count(0x12F) == 1
        assert track[-1][1:] == (0x12F, b"")


def test_long_rests_take_quantities_of_three_bytes() -> None:
    """Ten silent bars before a note keep their length."""
    given = passage("M:4/4\nL:1/4\nK:C\n" + "z4 | " * 10 + "C4 |]\n")
    _, tracks = _take_apart(write_midi(given, tempo=None, title=""))
    assert [(now, data) for now, status, data in tracks[1] if status == 0x90] == [(19200, bytes((60, 80)))]


@pytest.mark.parametrize(
    ("abc", "facts"),
    [
        ("M:4/4\nL:1/8\nK:Eb\nC8 |]\n", "fd00 04021808 07a120"),
        ("M:3/4\nL:1/8\nK:F#m\nC6 |]\n", "0301 03021808 07a120"),
        ("M:12/8\nL:1/8\nK:Bbm\nC12 |]\n", "fb01 0c032408 051615"),
        ("M:2/2\nL:1/8\nK:Gb\nC8 |]\n", "fa00 02013008 03d090"),
        ("M:6/8\nL:1/8\nK:Ddor\nC6 |]\n", "0000 06032408 051615"),
    ],
)
def test_key_meter_and_tempo_are_the_bytes_of_the_standard(abc: str, facts: str) -> None:
    """Sharps or flats with minor as 1; the meter's click; 120 beats a minute in microseconds a quarter."""
    _, tracks = _take_apart(write_midi(passage(abc), tempo=120, title=""))
    meta = {status: data.hex() for _, status, data in tracks[0]}
    assert f"{meta[0x159]} {meta[0x158]} {meta[0x151]}" == facts


@pytest.mark.parametrize("name", SAMPLES)
def test_every_key_that_goes_down_comes_up(name: str) -> None:
    """No note hangs and none is struck while it sounds."""
    _, tracks = _take_apart(write_midi(SAMPLES[name], tempo=100, title=name))
    for track in tracks:
        down: set[tuple[int, int]] = set()
        for _, status, data in track:
            key = (status & 0x0F, data[0] if data else 0)
            if status & 0xFF0 == 0x90:
                assert key not in down
                down.add(key)
            elif status & 0xFF0 == 0x80:
                down.remove(key)
        assert down == set()


def _played(given: Passage, path: Path) -> list[tuple[float, int]]:
    path.write_bytes(write_midi(given, tempo=60, title=""))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it remarks on whatever it guesses
        performance = partitura.load_performance_midi(path)
    return sorted((round(float(one["onset_sec"]), 3), int(one["pitch"])) for one in performance.note_array())


@pytest.mark.parametrize(
    "name", ["stepping out", "low and high", "two voices each", "endings", "accidentals"]
)
def test_partitura_plays_our_notes(name: str, tmp_path: Path) -> None:
    """At 60 quarters a minute another reader strikes each note at its second."""
    given = SAMPLES[name]
    start = given.bars[0].onset
    ours = sorted((round(float(note.onset - start), 3), note.pitch.midi) for note in attacks(unfolded(given)))
    assert _played(given, tmp_path / "a.mid") == ours
