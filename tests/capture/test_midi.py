"""Reading takes from MIDI files, sound and unsound ones."""

from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mido import Message, MetaMessage, MidiFile, MidiTrack

from transposary.capture.midi import read_midi
from transposary.capture.transcribing import Wanted, transcribe
from transposary.capture.values import Take
from transposary.passage import Meter
from transposary.problems import Fault


def _file(*messages: Message | MetaMessage, kind: int = 1) -> bytes:
    file = MidiFile(type=kind, ticks_per_beat=480)
    file.tracks.append(MidiTrack(messages))
    stream = BytesIO()
    file.save(file=stream)
    return stream.getvalue()


_C = (Message("note_on", note=60, velocity=90), Message("note_off", note=60, time=480))


def test_keys_are_read_in_seconds_through_changes_of_tempo() -> None:
    """A quarter note lasts half a second where no tempo stands, and what the tempo says behind one."""
    data = _file(
        *_C,
        MetaMessage("set_tempo", tempo=1_000_000),
        MetaMessage("time_signature", numerator=3, denominator=4),
        Message("note_on", note=64, velocity=50),
        Message("note_on", note=64, velocity=0, time=480),
    )
    take = read_midi(data)
    assert isinstance(take, Take)
    assert [(one.number, one.start, one.end, one.velocity) for one in take.notes] == [
        (60, 0.0, 0.5, 90),
        (64, 0.5, 1.5, 50),
    ]
    assert take.clock is not None
    assert take.clock.quarters(1.5) == 2.0
    assert take.meters == ((1, Meter(3, 4)),)


def test_the_drums_are_left_out() -> None:
    """Channel 10 has no pitches (General MIDI 1, MIDI Manufacturers Association, RP-003)."""
    drum = (
        Message("note_on", channel=9, note=36, velocity=90),
        Message("note_off", channel=9, note=36, time=9),
    )
    take = read_midi(_file(*drum, *_C))
    assert isinstance(take, Take)
    assert [one.number for one in take.notes] == [60]


def test_the_pedal_holds_notes_up_to_the_next_ones() -> None:
    """A key let go with the pedal down sounds on until others are struck or the pedal is let go."""
    take = read_midi(
        _file(
            Message("control_change", control=64, value=127),
            Message("note_on", note=48, velocity=90),
            Message("note_on", note=55, velocity=90),
            Message("note_off", note=48, time=120),
            Message("note_off", note=55, time=120),
            Message("note_on", note=60, velocity=90, time=240),
            Message("note_off", note=60, time=120),
            Message("control_change", control=64, value=0, time=360),
        )
    )
    assert isinstance(take, Take)
    assert [(one.number, one.start, one.end) for one in take.notes] == [
        (48, 0.0, 0.5),
        (55, 0.0, 0.5),
        (60, 0.5, 1.0),
    ]


@pytest.mark.parametrize(
    ("data", "text"),
    [
        (b"", "expected a Standard MIDI File, which begins with `MThd`"),
        (_file(), "nothing is struck in the file"),
        (_file(*_C, kind=2), "expected a file of format 0 or 1 that counts ticks in quarter notes"),
        (_file(_C[0], _C[1].copy(time=2**27)), "the file lasts more than an hour"),
        (_file(*_C, _C[0].copy(time=120_000), _C[1]), "nothing is struck for more than two minutes"),
        (_file(*_C * 4001), "the file has 4001 notes, at most 4000 are read"),
        (_file(_C[0].copy(note=120), _C[1].copy(note=120)), "expected notes from 12 to 119, found 120"),
        (b"MThd" + bytes(1_000_000), "the file has 1000004 bytes, at most 1000000 are read"),
    ],
)
def test_unsound_files_are_refused(data: bytes, text: str) -> None:
    """A file that is none, empty or endless is refused by name."""
    fault = read_midi(data)
    assert isinstance(fault, Fault)
    assert fault.text == text


@settings(max_examples=150, deadline=None)
@given(at=st.integers(0, 60), value=st.integers(0, 255), cut=st.integers(0, 80))
def test_a_damaged_file_never_raises(at: int, value: int, cut: int) -> None:
    """One byte changed and the end torn off: the file is read or refused."""
    data = bytearray(_file(MetaMessage("key_signature", key="Bb"), MetaMessage("set_tempo", tempo=1), *_C))
    data[at % len(data)] = value
    assert isinstance(read_midi(bytes(data[: cut or len(data)])), Take | Fault)


def test_bars_are_counted_before_anything_is_made_of_them() -> None:
    """Few notes far apart would cost minutes: the bars between them are refused by their number."""
    take = read_midi(_file(*_C, _C[0].copy(time=100_000), _C[1], _C[0].copy(time=100_000), _C[1]))
    assert isinstance(take, Take)
    said = "expected a device of at most 64 bars, found 106"
    assert transcribe(take, Wanted(tempo=120.0)) == Fault(0, said, "name the bars of the idea with --bars")
