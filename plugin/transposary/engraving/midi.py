"""A passage as a Standard MIDI File.

Format 1: a conductor track with tempo, meter and key, then a track a hand. The format has no
repeats: they are written out as they are played. Every voice has a channel, so that two voices
of a hand can strike one key.

Source: Standard MIDI Files 1.0 (MIDI Manufacturers Association, RP-001).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from io import BytesIO

from mido import Message, MetaMessage, MidiFile, MidiTrack

from transposary.notes import Note, attacks
from transposary.passage import Event, Hand, Head, Key, Mode, Passage
from transposary.stretches import unfolded

TICKS = 480
"""Ticks in a quarter note."""

_TRACKS = {Hand.RIGHT: "Right hand", Hand.LEFT: "Left hand"}
_CHANNELS = {"RH": 0, "LH": 1, "RH2": 2, "LH2": 3}
_GRACE = Fraction(1, 8)
"""Quarter notes that a grace note takes, whatever its written length."""

_PLAIN, _ACCENTED, _GHOST = 80, 104, 48
_MAJORS = ("Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#")
_MINORS = ("Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#", "D#", "A#")
_PER_MINUTE = 60_000_000
_SLOWEST = 0xFFFFFF
"""Microseconds of a quarter note: the file has three bytes for them."""


@dataclass(frozen=True, slots=True)
class _Sound:
    """A key held down: channel, MIDI number, ticks from the start, velocity."""

    channel: int
    number: int
    start: int
    end: int
    velocity: int


def write_midi(passage: Passage, *, tempo: int | None, title: str) -> bytes:
    """Writes a passage as a MIDI file.

    Repeated bars come twice, the first ending the first time and the second the second. Tied
    notes sound once; grace notes come just before the beat (at the very start they push their
    note back); staccato halves a note; accents are louder and ghost notes softer. The modes but
    minor are written as the major key of the same signature, for the format knows only those two.

    Args:
        passage: The notes, in the key wanted.
        tempo: Beats a minute, counting the meter's beat; None leaves the format's default of
            120 quarter notes.
        title: Name of the conductor track.
    """
    passage = unfolded(passage)
    file = MidiFile(type=1, ticks_per_beat=TICKS, charset="utf-8")
    length = _ticks(passage, passage.end)
    file.tracks.append(_track(title, _conducting(passage, tempo), length))
    for hand in passage.hands:
        sounds = sorted(_sounds(passage, hand), key=lambda one: (one.start, one.channel, one.number))
        file.tracks.append(_track(_TRACKS[hand], _messages(_apart(sounds)), length))
    stream = BytesIO()
    file.save(file=stream)
    return stream.getvalue()


def _ticks(passage: Passage, moment: Fraction) -> int:
    start = passage.bars[0].onset
    # Whole numbers: every note asks twice, and most moments fall on a tick.
    above = moment.numerator * start.denominator - start.numerator * moment.denominator
    below = moment.denominator * start.denominator
    ticks, rest = divmod(TICKS * above, below)
    return round(Fraction(TICKS * above, below)) if rest else ticks


Timed = tuple[int, int, Message | MetaMessage]
"""Tick, order within the tick, message."""


def _track(name: str, timed: Iterable[Timed], length: int) -> MidiTrack:
    track = MidiTrack([MetaMessage("track_name", name=name)])
    now = 0
    for tick, _, message in sorted(timed, key=lambda one: one[:2]):
        # A copy would be checked as a whole again, and nobody else has the message.
        message.time = tick - now
        track.append(message)
        now = tick
    track.append(MetaMessage("end_of_track", time=max(length - now, 0)))
    return track


def _conducting(passage: Passage, tempo: int | None) -> Iterator[Timed]:
    if tempo is not None:
        beat = passage.meter.beat
        period = min(round(_PER_MINUTE / (tempo * beat)), _SLOWEST)
        yield 0, 0, MetaMessage("set_tempo", tempo=period)
    meter: tuple[int, int] | None = None
    for bar in passage.bars:
        # A short bar is a meter of its own, so that the bars after it fall where they are written.
        whole = bar.duration / 4
        unit = max(bar.meter.unit, whole.denominator)
        now = (int(whole * unit), unit)
        if now != meter:
            clocks = int(bar.meter.beat * 24)
            yield (
                _ticks(passage, bar.onset),
                1,
                MetaMessage("time_signature", numerator=now[0], denominator=now[1], clocks_per_click=clocks),
            )
        meter = now
    for onset, key in passage.keys:
        yield _ticks(passage, onset), 2, MetaMessage("key_signature", key=_key(key))


def _key(key: Key) -> str:
    names = _MINORS if key.mode is Mode.MINOR else _MAJORS
    fifths = key.signature
    if abs(fifths) > 7:
        fifths -= 12 if fifths > 0 else -12
    return names[fifths + 7] + ("m" if key.mode is Mode.MINOR else "")


def _sounds(passage: Passage, hand: Hand) -> Iterator[_Sound]:
    events = {
        (voice.name, event.onset): event
        for voice in passage.voices
        if voice.hand is hand
        for event in voice.events
    }
    for (voice, _), event in events.items():
        if not event.graces:
            continue
        begin = _grace_start(passage, event)
        for place, grace in enumerate(event.graces):
            for head in grace.heads:
                span = (begin + _GRACE * place, begin + _GRACE * (place + 1))
                yield _sound(passage, voice, head, span, _GHOST if head.ghost else _PLAIN)
    for note in attacks(passage):
        if note.hand is hand and not note.grace:
            event = events[note.voice, note.onset]
            yield _sound(passage, note.voice, note.head, _span(passage, event, note), _velocity(event, note))


def _sound(
    passage: Passage, voice: str, head: Head, span: tuple[Fraction, Fraction], velocity: int
) -> _Sound:
    start, end = (_ticks(passage, moment) for moment in span)
    return _Sound(_CHANNELS[voice], head.pitch.midi, start, end, velocity)


def _grace_start(passage: Passage, event: Event) -> Fraction:
    return max(event.onset - _GRACE * len(event.graces), passage.bars[0].onset)


def _span(passage: Passage, event: Event, note: Note) -> tuple[Fraction, Fraction]:
    start = _grace_start(passage, event) + _GRACE * len(event.graces) if event.graces else event.onset
    end = note.onset + (note.duration / 2 if event.staccato else note.duration)
    return start, end if end > start else start + _GRACE


def _velocity(event: Event, note: Note) -> int:
    if note.head.ghost:
        return _GHOST
    return _ACCENTED if event.accent else _PLAIN


def _apart(sounds: Iterable[_Sound]) -> Iterator[_Sound]:
    """Ends a note before the same key is struck again in its channel."""
    held: dict[tuple[int, int], _Sound] = {}
    for sound in sounds:
        before = held.get((sound.channel, sound.number))
        if before is not None:
            yield replace(before, end=min(before.end, sound.start))
        held[sound.channel, sound.number] = sound
    yield from held.values()


def _messages(sounds: Iterable[_Sound]) -> Iterator[Timed]:
    """Gives the messages, releases before attacks where both fall on one tick."""
    for one in sounds:
        yield (
            one.start,
            (1 << 12) + (one.number << 4) + one.channel,
            Message("note_on", channel=one.channel, note=one.number, velocity=one.velocity),
        )
        yield (
            one.end,
            (one.number << 4) + one.channel,
            Message("note_off", channel=one.channel, note=one.number, velocity=0),
        )
