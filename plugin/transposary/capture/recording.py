"""Recording from a MIDI keyboard: count-in, playing, and stopping by itself.

The take begins with the count-in, so that its bars are known. The loop knows neither the clock nor
the port by name: both are given, and tests give their own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Protocol

import mido
from mido import Message, MetaMessage, MidiFile, MidiTrack

from transposary.passage import Meter
from transposary.problems import Fault

TICKS = 480
SILENT_BARS = 2
"""Bars of silence after which a take is over."""
WAITING_BARS = 16
"""Bars without a note after which nobody is waited for."""
LONGEST_BARS = 200
_PAUSE = 0.001


class Port(Protocol):
    """Where a keyboard's messages come in."""

    def iter_pending(self) -> Iterable[Message]:
        """Gives the messages that have come since the last time."""
        ...


@dataclass(frozen=True, slots=True)
class Desk:
    """What a recording needs of the world.

    Attributes:
        port: The keyboard.
        now: Seconds by a steady clock.
        wait: Waits some seconds.
        say: Says a word to the player.
    """

    port: Port
    now: Callable[[], float]
    wait: Callable[[float], None]
    say: Callable[[str], None]


def open_keyboard(name: str | None) -> Port | Fault:
    """Opens a keyboard.

    Args:
        name: Its name, or a part of it; None for the only one or the first.

    Returns:
        The port, or why there is none; the offset says nothing.
    """
    try:
        names: list[str] = mido.get_input_names()
    except ImportError:
        hint = "install it by  pip install python-rtmidi"
        return Fault(0, "recording needs the library python-rtmidi", hint)
    except (OSError, ValueError) as error:
        return Fault(0, f"the system's MIDI does not answer: {error}")
    chosen = [one for one in names if name is None or name.casefold() in one.casefold()]
    if not chosen:
        text = "no keyboard is connected" if not names else f"no keyboard is called {name!r}"
        return Fault(0, text, f"there are {', '.join(names)}" if names else "")
    try:
        port: Port = mido.open_input(chosen[0])
    except (OSError, ValueError) as error:
        return Fault(0, f"the keyboard {chosen[0]} cannot be opened: {error}")
    return port


def record(desk: Desk, tempo: float, meter: Meter) -> bytes:
    """Records a take, from one bar of count-in up to two bars of silence, or to Ctrl-C.

    Returns:
        The take as a MIDI file; empty where nothing was played.
    """
    beat = 60 / tempo
    bar = beat * float(meter.beats)
    start = desk.now()
    counted = 0
    heard: list[tuple[float, Message]] = []
    held: set[int] = set()
    try:
        while True:
            moment = desk.now() - start
            while counted * beat <= moment:
                desk.say(_count(counted, meter))
                counted += 1
            for message in desk.port.iter_pending():
                if message.type in ("note_on", "note_off"):
                    heard.append((moment, message))
                    down = message.type == "note_on" and message.velocity > 0
                    held = held | {message.note} if down else held - {message.note}
            if _is_over(moment, heard, bar, held=bool(held)):
                break
            desk.wait(_PAUSE)
    except KeyboardInterrupt:
        desk.say("stopped")
    return write_take(heard, tempo, meter) if heard else b""


def _count(beat: int, meter: Meter) -> str:
    beats = max(1, int(meter.beats))
    return f"{beat % beats + 1}{' (count-in)' if beat < beats else ''}"


def _is_over(moment: float, heard: Sequence[tuple[float, Message]], bar: float, *, held: bool) -> bool:
    if not heard:
        return moment > WAITING_BARS * bar
    return moment > LONGEST_BARS * bar or (not held and moment - heard[-1][0] > SILENT_BARS * bar)


def write_take(heard: Sequence[tuple[float, Message]], tempo: float, meter: Meter) -> bytes:
    """Writes what was heard, in seconds, as a MIDI file that states tempo and meter."""
    quarter = 60 / tempo / float(meter.beat)
    track = MidiTrack()
    track.append(MetaMessage("set_tempo", tempo=round(quarter * 1_000_000)))
    track.append(MetaMessage("time_signature", numerator=meter.count, denominator=meter.unit))
    before = 0
    for moment, message in heard:
        tick = round(moment / quarter * TICKS)
        track.append(message.copy(time=tick - before))
        before = tick
    file = MidiFile(type=0, ticks_per_beat=TICKS)
    file.tracks.append(track)
    stream = BytesIO()
    file.save(file=stream)
    return stream.getvalue()
