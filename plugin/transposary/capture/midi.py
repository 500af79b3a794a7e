"""Standard MIDI Files as takes, read with mido behind bounds of our own.

Source: Standard MIDI Files 1.0 (MIDI Manufacturers Association, RP-001).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from io import BytesIO
from itertools import pairwise

from mido import Message, MetaMessage, MidiFile
from mido.midifiles.meta import KeySignatureError

from transposary.capture.values import Clock, Played, Take
from transposary.passage import Key, Meter, Mode
from transposary.pitch import NoteName
from transposary.problems import Fault
from transposary.theory.keys import WIDEST_SIGNATURE

MOST_BYTES = 1_000_000
"""More than the events of a take need: parsing takes seconds for each million."""
MOST_EVENTS = 200_000
MOST_NOTES = 4_000
LONGEST = 3600.0
"""Seconds."""
LONGEST_PAUSE = 120.0
"""Seconds between two attacks: no beat is followed through more, and each one costs time."""

_DEFAULT_TEMPO = 500_000
_PEDAL, _DOWN = 64, 64
"""Sustain pedal and the value from which it is down (MIDI 1.0, control changes; from memory)."""
_CHORD = 0.05
"""Seconds within which keys struck are taken for a chord."""
_DRUMS = 9
_LOWEST, _HIGHEST = 12, 119
"""C0 and B8: what can move by a tritone and still has a number."""
_SHORTEST = 0.001


def read_midi(data: bytes) -> Take | Fault:
    """Reads the bytes of a `.mid` file.

    Channel 10, which is the drums', is left out. A key that is struck again before it is let go
    ends there; one that is never let go ends with the file.

    Returns:
        The take, or why it cannot be read; the offset says nothing.
    """
    if len(data) > MOST_BYTES:
        return Fault(0, f"the file has {len(data)} bytes, at most {MOST_BYTES} are read", "cut the idea out")
    if data[:4] != b"MThd":
        return Fault(0, "expected a Standard MIDI File, which begins with `MThd`")
    try:
        file = MidiFile(file=BytesIO(data), clip=True)
    except (EOFError, OSError, ValueError, LookupError, TypeError, KeySignatureError) as error:
        return Fault(0, f"the file is no sound Standard MIDI File: {error or type(error).__name__}")
    if file.type == 2 or not 0 < file.ticks_per_beat < 0x8000:
        return Fault(0, "expected a file of format 0 or 1 that counts ticks in quarter notes")
    if sum(map(len, file.tracks)) > MOST_EVENTS:
        return Fault(0, f"the file has more than {MOST_EVENTS} events", "cut the idea out of it first")
    return _take(file)


def _take(file: MidiFile) -> Take | Fault:
    timed = sorted(
        (one for number, track in enumerate(file.tracks) for one in _timed(number, track)),
        key=lambda one: one[0],
    )
    ticks = file.ticks_per_beat
    clock = _clock(timed, ticks)
    seconds = _Seconds(clock, ticks)
    if timed and seconds.at(timed[-1][0]) > LONGEST:
        return Fault(0, "the file lasts more than an hour", "cut the idea out of it first")
    notes = tuple(sorted(_notes(timed, seconds), key=lambda one: (one.start, one.number)))
    if not notes:
        return Fault(0, "nothing is struck in the file")
    if len(notes) > MOST_NOTES:
        return Fault(0, f"the file has {len(notes)} notes, at most {MOST_NOTES} are read", "cut the idea out")
    if any(later.start - one.start > LONGEST_PAUSE for one, later in pairwise(notes)):
        return Fault(0, "nothing is struck for more than two minutes", "cut the idea out of it first")
    outside = next((one.number for one in notes if not _LOWEST <= one.number <= _HIGHEST), None)
    if outside is not None:
        text = f"expected notes from {_LOWEST} to {_HIGHEST}, found {outside}"
        return Fault(0, text, "move the take by octaves to where a piano has it")
    stated = any(one[2].type == "set_tempo" for one in timed)
    return Take(
        notes,
        tuple(track.name for track in file.tracks),
        clock if stated else None,
        tuple(_meters(timed, ticks)),
        next(_keys(timed), None),
        None if stated else clock,
    )


_Timed = tuple[int, int, Message | MetaMessage]
"""Tick, number of the track, message."""


def _timed(number: int, track: Iterable[Message | MetaMessage]) -> Iterator[_Timed]:
    now = 0
    for message in track:
        now += message.time
        yield now, number, message


def _clock(timed: Iterable[_Timed], ticks: int) -> Clock:
    changes = [(0.0, 0.0, _DEFAULT_TEMPO / 1e6)]
    for tick, _, message in timed:
        if message.type != "set_tempo" or message.tempo <= 0:
            continue
        quarters, start, period = changes[-1]
        here = tick / ticks
        change = (here, start + (here - quarters) * period, message.tempo / 1e6)
        changes = [*changes[:-1], change] if here == quarters else [*changes, change]
    return Clock(tuple(changes))


class _Seconds:
    """Ticks to seconds."""

    def __init__(self, clock: Clock, ticks: int) -> None:
        self._changes = clock.changes
        self._ticks = ticks
        self._index = 0

    def at(self, tick: int) -> float:
        """Gives the second of a tick; ticks are asked for in order, but for the last one."""
        here = tick / self._ticks
        if here < self._changes[self._index][0]:
            self._index = 0
        while self._index + 1 < len(self._changes) and self._changes[self._index + 1][0] <= here:
            self._index += 1
        quarters, start, period = self._changes[self._index]
        return start + (here - quarters) * period


def _notes(timed: Iterable[_Timed], seconds: _Seconds) -> Iterator[Played]:
    held: dict[tuple[int, int, int], tuple[float, int]] = {}
    pedalled: dict[int, list[Played]] = {}
    now = 0.0
    for tick, track, message in timed:
        if message.type == "control_change" and message.control == _PEDAL:
            if message.value >= _DOWN:
                pedalled.setdefault(message.channel, [])
            else:
                yield from _released(pedalled.pop(message.channel, []), seconds.at(tick))
        if message.type not in ("note_on", "note_off") or message.channel == _DRUMS:
            continue
        now = seconds.at(tick)
        key = (track, message.channel, message.note)
        if key in held:
            note = _played(key, held.pop(key), now)
            if message.channel in pedalled:
                pedalled[message.channel].append(note)
            else:
                yield note
        if message.type == "note_on" and message.velocity:
            yield from _released(_earlier(pedalled, message.channel, now), now)
            held[key] = (now, message.velocity)
    for key, struck in held.items():
        yield _played(key, struck, now)
    for notes in pedalled.values():
        yield from notes


def _earlier(pedalled: dict[int, list[Played]], channel: int, now: float) -> list[Played]:
    """Takes out the notes that the pedal holds of a channel and that are older than a chord's notes."""
    own = pedalled.get(channel, [])
    found = [note for note in own if note.start < now - _CHORD]
    own[:] = [note for note in own if note.start >= now - _CHORD]
    return found


def _released(notes: Iterable[Played], now: float) -> Iterator[Played]:
    """Lets notes end that the pedal held: it sustains them, and writing shows them up to the next ones."""
    for note in notes:
        yield replace(note, end=max(note.end, now))


def _played(key: tuple[int, int, int], struck: tuple[float, int], end: float) -> Played:
    track, channel, number = key
    return Played(number, struck[0], max(end, struck[0] + _SHORTEST), struck[1], track, channel)


def _meters(timed: Iterable[_Timed], ticks: int) -> Iterator[tuple[Fraction, Meter]]:
    for tick, _, message in timed:
        if message.type == "time_signature" and message.numerator and 1 <= message.denominator <= 32:
            yield Fraction(tick, ticks), Meter(message.numerator, message.denominator)


def _keys(timed: Iterable[_Timed]) -> Iterator[Key]:
    for _, _, message in timed:
        if message.type == "key_signature":
            mode = Mode.MINOR if message.key.endswith("m") else Mode.MAJOR
            key = Key(NoteName.parse(message.key.removesuffix("m")), mode)
            if abs(key.signature) <= WIDEST_SIGNATURE:
                yield key
