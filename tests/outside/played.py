"""Passages as a player would play them: not quite in time, notes not held to their ends.

Two hundred and more passages whose notes are known: the first bars of tunes in the public domain,
from the corpus in music21's package (Ryan's Mammoth Collection, Boston 1883; Aird's Selection,
Glasgow 1782–1801; read there at test time, never copied), and the devices of our demo. They are
written as MIDI files of one track, by mido alone, so that nothing of the writer under test helps.

How they are played, all of it seeded:

- each note, those of a chord too, is early or late by a normal deviation of 10, 20 or 30 ms;
- tempo: to a click, the player wanders about it by some 8 ms; without one, the tempo drifts by
  about two in a hundred from beat to beat and by up to three over the whole;
- a note is held for 80 to 100 of a hundred of its length (half of it with a staccato dot), and
  let go early or late by half the deviation of the attacks;
- velocities vary by a tenth; swing is played with the long eighth at 0.62 to 0.68 of the beat.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from functools import cache
from importlib.util import find_spec
from io import BytesIO
from itertools import islice, pairwise
from pathlib import Path
from random import Random
from zlib import crc32

from mido import Message, MetaMessage, MidiFile, MidiTrack

from tests.demo import GLOSSARY
from transposary.notes import attacks, notes
from transposary.passage import STRAIGHT, Event, Feel, FeelKind, Passage, Voice
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc

BARS = 8
TICKS = 480


class Known(StrEnum):
    """What is known of the time when a take is captured.

    With the click the first downbeat is known, too. `TEMPO` is the number alone: that a take begins on
    some beat is heard from its notes or not at all. `PICKUP` is the tempo and how many beats stand before
    the first downbeat, which is what the draft asks for where the notes do not tell.
    """

    CLICK = "click"
    PICKUP = "pickup"
    TEMPO = "tempo"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Piece:
    """A passage to be played.

    Attributes:
        name: A name for the table.
        source: Where it comes from: `ryan`, `aird` or `demo`.
        passage: Its notes.
        tempo: Beats a minute.
        feel: How its off-beats are played.
    """

    name: str
    source: str
    passage: Passage
    tempo: int
    feel: Feel = STRAIGHT


@dataclass(frozen=True, slots=True)
class Struck:
    """What was meant: a key, its place and length in quarter notes, its hand."""

    number: int
    onset: Fraction
    length: Fraction
    hand: str
    staccato: bool


@cache
def pieces() -> tuple[Piece, ...]:
    """Gives all pieces, always in the same order."""
    return (*_tunes("ryansMammoth", "ryan", 2, 110), *_tunes("airdsAirs", "aird", 6, 70), *demo_pieces())


@cache
def demo_pieces() -> tuple[Piece, ...]:
    """Gives the devices of the demo; those with grace notes have them left out."""
    devices = GLOSSARY.devices
    return tuple(Piece(one.slug, "demo", _plain(one.passage), one.tempo or 96, one.feel) for one in devices)


def halves(all_pieces: tuple[Piece, ...]) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """Parts the pieces: on the first half what is fitted was fitted, the second one judges.

    By a checksum of their names, so that no piece changes sides when others are added.
    """
    sides: tuple[list[Piece], list[Piece]] = ([], [])
    for piece in all_pieces:
        sides[crc32(piece.name.encode()) % 2].append(piece)
    return tuple(sides[0]), tuple(sides[1])


def meant(piece: Piece) -> tuple[Struck, ...]:
    """Lists what is to be played."""
    short = {
        (voice.name, event.onset)
        for voice in piece.passage.voices
        for event in voice.events
        if event.staccato
    }
    return tuple(
        Struck(note.pitch.midi, note.onset, note.duration, note.voice[:2], (note.voice, note.onset) in short)
        for note in attacks(piece.passage)
        if not note.grace
    )


def play(piece: Piece, jitter: float, known: Known, seed: int = 0, *, tracks: bool = False) -> bytes:
    """Plays a piece into a MIDI file.

    Args:
        piece: What is played.
        jitter: Deviation of attacks, in seconds.
        known: What the file says of the time.
        seed: Another seed is another performance.
        tracks: Whether each hand has a track, named by it.
    """
    rng = Random(f"{piece.name} {jitter} {known} {seed}")  # noqa: S311 - not a secret
    clock = _Clock(piece, known, rng)
    played: list[tuple[float, float, int, int, str]] = []
    for one in meant(piece):
        held = 0.5 if one.staccato else rng.uniform(0.8, 1.0)
        due, over = clock.at(one.onset), clock.at(one.onset + one.length)
        start = due + rng.gauss(0, jitter)
        end = due + held * (over - due) + rng.gauss(0, jitter / 2)
        velocity = max(1, min(127, round(80 * rng.gauss(1, 0.1))))
        played.append((max(start, 0.0), max(end, start + 0.03), one.number, velocity, one.hand))
    return _file(piece, known, played, tracks=tracks)


class _Clock:
    """When a moment of a passage is played, in seconds from the start of the file."""

    def __init__(self, piece: Piece, known: Known, rng: Random) -> None:
        passage = piece.passage
        self.beat = passage.meter.beat
        self.period = 60.0 / piece.tempo
        self.swung = rng.uniform(0.62, 0.68) if piece.feel.kind is not FeelKind.STRAIGHT else 0.5
        self.unit = Fraction(8, piece.feel.unit)
        first = passage.bars[0].onset
        self.first = first
        beats = int((passage.end - first) / self.beat) + 3
        # To a click, the first downbeat falls on a barline of the file; else anywhere.
        lead = passage.meter.length if first < 0 or known is Known.CLICK else Fraction(0)
        start = (
            float((lead + first) / self.beat) * self.period if known is Known.CLICK else rng.uniform(0.3, 2)
        )
        self.times = [start]
        tempo, wander, slope = 0.0, 0.0, rng.uniform(-0.03, 0.03)
        for count in range(beats):
            if known is Known.CLICK:
                wander = 0.8 * wander + rng.gauss(0, 0.005)
                self.times.append(start + (count + 1) * self.period + wander)
            else:
                tempo = 0.9 * tempo + rng.gauss(0, 0.009)
                drift = slope * (count / beats - 0.5)
                self.times.append(self.times[-1] + self.period * (1 + tempo + drift))

    def at(self, moment: Fraction) -> float:
        place = (self._swing(moment) - self.first) / self.beat
        index = min(max(int(place), 0), len(self.times) - 2)
        return self.times[index] + float(place - index) * (self.times[index + 1] - self.times[index])

    def _swing(self, moment: Fraction) -> Fraction:
        """Moves the second half of each swung unit; places within triplets stay."""
        if self.swung == 0.5 or self.beat.denominator != 1 or self.beat == 3:
            return moment
        count, part = divmod(moment, self.unit)
        share = part / self.unit
        if share.limit_denominator(1000).denominator % 3 == 0:
            return moment
        late = Fraction(self.swung)
        if share <= Fraction(1, 2):
            return (count + share * 2 * late) * self.unit
        moved = late + (share - Fraction(1, 2)) * 2 * (1 - late)
        return (count + moved) * self.unit


def _file(
    piece: Piece, known: Known, played: list[tuple[float, float, int, int, str]], *, tracks: bool
) -> bytes:
    meter = piece.passage.meter
    quarter = 60.0 / piece.tempo / float(meter.beat) if known is Known.CLICK else 0.5
    names = sorted({hand for *_, hand in played}, reverse=True) if tracks else [""]
    file = MidiFile(type=1, ticks_per_beat=TICKS)
    head = MidiTrack()
    if known is Known.CLICK:
        head.append(MetaMessage("set_tempo", tempo=round(quarter * 1_000_000)))
        head.append(MetaMessage("time_signature", numerator=meter.count, denominator=meter.unit))
    file.tracks.append(head)
    for name in names:
        track = MidiTrack()
        if name:
            track.append(MetaMessage("track_name", name={"RH": "Right hand", "LH": "Left hand"}[name]))
        timed = []
        for start, end, number, velocity, hand in _apart(played):
            if name in ("", hand):
                timed.append((round(start / quarter * TICKS), 1, number, velocity))
                timed.append((round(end / quarter * TICKS), 0, number, 0))
        now = 0
        for tick, on, number, velocity in sorted(timed):
            kind = "note_on" if on else "note_off"
            track.append(Message(kind, note=number, velocity=velocity, time=tick - now))
            now = tick
        file.tracks.append(track)
    stream = BytesIO()
    file.save(file=stream)
    return stream.getvalue()


def _apart(
    played: list[tuple[float, float, int, int, str]],
) -> list[tuple[float, float, int, int, str]]:
    """Lets a key go before it is struck again, as a keyboard makes one do."""
    found = sorted(played)
    for index, one in enumerate(found):
        again = next((other for other in found[index + 1 :] if other[2] == one[2]), None)
        if again is not None and again[0] < one[1] + 0.01:
            found[index] = (one[0], max(one[0] + 0.01, again[0] - 0.01), *one[2:])
    return found


def _plain(passage: Passage) -> Passage:
    """Leaves grace notes and arpeggios of them out: when they are struck is the player's affair."""
    voices = tuple(
        replace(voice, events=tuple(replace(event, graces=()) for event in voice.events))
        for voice in passage.voices
    )
    return replace(passage, voices=voices)


def _tunes(folder: str, source: str, step: int, count: int) -> Iterator[Piece]:
    read = ((name, _read(text)) for name, text in islice(texts(folder), 0, None, step))
    whole = ((name, passage) for name, passage in read if passage is not None)
    for number, (name, passage) in enumerate(islice(whole, count), 1):
        yield Piece(f"{source}-{number} {name}", source, passage, _tempo(name, passage))


def _tempo(name: str, passage: Passage) -> int:
    """Gives a tempo at which the tune's shortest notes can be played."""
    rng = Random(name)  # noqa: S311 - not a secret
    meter = passage.meter
    shortest = min(note.duration for note in notes(passage))
    low, high = (66, 100) if meter.compound else (56, 80) if meter.beat == 2 else (76, 120)
    if shortest < meter.beat / (3 if meter.compound else 4 if meter.beat == 2 else 2):
        low, high = (54, 76) if meter.compound else (44, 60) if meter.beat == 2 else (60, 92)
    return rng.randint(low, high)


def texts(folder: str) -> Iterator[tuple[str, str]]:
    """Reads all tunes of a folder of music21's corpus, each with a name."""
    spec = find_spec("music21")
    assert spec is not None
    assert spec.submodule_search_locations is not None
    where = Path(spec.submodule_search_locations[0]) / "corpus" / folder
    for path in sorted(where.glob("*.abc")):
        text = path.read_text(encoding="utf-8", errors="replace")
        for number, tune in enumerate(re.split(r"\n(?=X: *\d)", text)):
            yield f"{path.stem} {number}", tune


def _read(text: str) -> Passage | None:
    """Reads a tune in our subset and takes its first bars; None where it is not of the subset."""
    lines = [line for line in map(tidy, text.splitlines()) if line]
    passage, problems = read_abc(SourceText("\n".join(lines), Place("tune")), None)
    if passage is None or problems:
        return None
    return _first_bars(_plain(passage))


def tidy(line: str) -> str:
    """Leaves out of a line of ABC what is not of our subset and does not sound."""
    if re.match(r"[A-Za-z]:", line):
        return line if line[0] in "MLK" else ""
    if line.startswith("%"):
        return ""
    plain = re.sub(r'"[^"]*"|![^!]*!|=(?:20)?$|[h-wH-W~]', "", line)
    return re.sub(r"\[\|\]?(?=\|)", "", plain).replace("[|", "|")


def _first_bars(passage: Passage) -> Passage | None:
    """Cuts a passage after eight bars, up to the first change of meter.

    The last bar may be short by the pickup, which makes it whole.
    """
    full = [bar for bar in passage.bars if bar.number > 0][:BARS]
    if any(bar.meter != passage.meter for bar in full):
        return None
    length = passage.meter.length
    lead = passage.bars[0].duration if passage.bars[0].number == 0 else Fraction(0)
    if any(bar.duration != length for bar in full[:-1]) or full[-1].duration not in (length, length - lead):
        return None
    bars = tuple(bar for bar in passage.bars if bar.number <= full[-1].number)
    end = bars[-1].end
    if any(low.end != high.onset for low, high in pairwise(bars)):
        return None
    voices = tuple(replace(voice, events=_until(voice, end)) for voice in passage.voices)
    return replace(passage, bars=bars, voices=voices)


def _until(voice: Voice, end: Fraction) -> tuple[Event, ...]:
    kept = [event for event in voice.events if event.onset < end]
    heads = tuple(replace(head, tied=False) for head in kept[-1].heads)
    return (*kept[:-1], replace(kept[-1], heads=heads))
