"""What a single-line instrument reads of a device: one line of it, or the rhythm of its chords.

A line is taken from the device as it stands in the written key, so that a part needs no second
transposition, and all instruments that share a clef and a written key share the line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import fmean

from transposary.glossary import Device, Role
from transposary.passage import Clef, Event, Grace, Hand, Head, Passage, Voice
from transposary.pitch import OCTAVE, Interval, Pitch
from transposary.theory.keys import key_at

LINE = "line"
SLASHES = "slashes"
SECTION = "section"
_HORNS = 3
"""Chord voices that are written out; a section of three horns is the usual one (common practice)."""

RANGES = {
    Clef.TREBLE: (Pitch.parse("Bb3"), Pitch.parse("C6")),
    Clef.BASS: (Pitch.parse("E2"), Pitch.parse("G4")),
    Clef.ALTO: (Pitch.parse("C3"), Pitch.parse("E5")),
}
"""Written notes that every instrument with a clef has.

Treble: from the lowest written note of the saxophones to the highest of trumpet and horn, by a
published appendix of instruments (music21 has the same lowest notes). Bass: from the lowest
written note of a bass and a trombone, and alto: from that of a viola, to what is read without
many ledger lines; from memory.
"""

_MIDDLES = {Clef.TREBLE: Pitch.parse("B4"), Clef.BASS: Pitch.parse("D3"), Clef.ALTO: Pitch.parse("C4")}
_OCTAVES = (0, 1, -1, 2, -2, 3, -3, 4, -4)


@dataclass(frozen=True, slots=True)
class PartLine:
    """A line to read.

    Attributes:
        name: `line`, `slashes`, `section` for the chords of all horns, or `voice-1` for the first.
        title: Who reads it; empty where all do.
        passage: Its notes as written; one voice on one staff.
        sources: For each note (in the order of `notes`) the index of the device's note that it is.
        folded: Whether single notes were moved by octaves, because the line is wider than the
            range of the instruments.
    """

    name: str
    title: str
    passage: Passage
    sources: tuple[int, ...]
    folded: bool = False


_Pick = Callable[[int], Sequence[int]]
"""Chooses among so many notes that are struck together, lowest first."""

_Rows = Sequence[tuple[Event, int]]
"""Events of a line with the index of their first note."""


def part_lines(device: Device, passage: Passage, clef: Clef) -> tuple[PartLine, ...]:
    """Gives what the instruments with a clef read of a device.

    The author's `line` counts first, then the first of the roles that says something: a bass
    figure gives its lowest line, a melody or a fill its highest, comping and voicings the rhythm
    as slashes under their symbols and a chord voice for each horn. Otherwise, and of melodies and
    fills on two staves, bass instruments get the lowest line and the others the highest.

    Args:
        device: The device.
        passage: Its notes in the written key.
        clef: The clef.
    """
    slashes = slashes_of(device, passage, clef)
    horns = horn_lines(device, passage, clef)
    return (*([slashes] if slashes is not None else []), shared_line(device, passage, clef), *horns)


def shared_line(device: Device, passage: Passage, clef: Clef) -> PartLine:
    """Gives the line of a device, or the chords that a section of horns shares out; see `part_lines`."""
    manner = _manner(device, clef)
    if manner == "chords":
        return replace(_line(passage, clef, _rows(passage, (_thickest(passage),)), range), name=SECTION)
    pick = _from_bottom(0) if manner == "bottom" else _from_top(0)
    return _line(passage, clef, _rows(passage, _voices(passage, manner)), pick)


def slashes_of(device: Device, passage: Passage, clef: Clef) -> PartLine | None:
    """Gives the rhythm of a device's chords as slashes, or None where nobody reads it so."""
    if _manner(device, clef) != "chords" or not passage.symbols:
        return None
    return _slashes(passage, clef, _rows(passage, (_thickest(passage),)))


def horn_lines(device: Device, passage: Passage, clef: Clef) -> tuple[PartLine, ...]:
    """Gives the chord voice of each horn; empty where all read one line."""
    if _manner(device, clef) != "chords":
        return ()
    rows = _rows(passage, (_thickest(passage),))
    count = min(max((len(event.heads) for event, _ in rows), default=1), _HORNS)
    pick = _from_bottom if clef is Clef.BASS else _from_top
    return tuple(
        replace(_line(passage, clef, rows, pick(n)), name=f"voice-{n + 1}", title=_horn(n, count))
        for n in range(count)
    )


def _manner(device: Device, clef: Clef) -> str:
    if device.line is not None:
        return device.line
    outer = "bottom" if clef is Clef.BASS else "top"
    for role in device.roles:
        if role is Role.BASS:
            return "bottom"
        if role in (Role.MELODY, Role.FILL):
            return outer
        if role in (Role.COMPING, Role.VOICING):
            return "chords"
    return outer


def _voices(passage: Passage, manner: str) -> tuple[str, ...]:
    """Lists the voices that a line is taken from, the one that counts first at the front."""
    if manner not in ("top", "bottom"):
        return (manner,)
    hand = passage.hands[-1 if manner == "bottom" else 0]
    names = (hand.value, f"{hand.value}2")
    return tuple(n for n in (names[::-1] if manner == "bottom" else names) if passage.voice(n) is not None)


def _thickest(passage: Passage) -> str:
    return max(passage.voices, key=lambda voice: sum(len(event.heads) for event in voice.events)).name


def _horn(place: int, count: int) -> str:
    return f"horn {place + 1}" if count > 1 else "horn"


def _from_top(place: int) -> _Pick:
    return lambda count: (max(count - 1 - place, 0),)


def _from_bottom(place: int) -> _Pick:
    return lambda count: (min(place, count - 1),)


def _rows(passage: Passage, names: Sequence[str]) -> _Rows:
    """Takes, bar by bar, the first of the voices that sounds there."""
    known = [_in_bars(passage, voice) for name in names if (voice := passage.voice(name))]
    found: list[tuple[Event, int]] = []
    for within in zip(*known, strict=True):
        found += next((rows for rows in within if any(event.heads for event, _ in rows)), within[-1])
    return found


def _in_bars(passage: Passage, voice: Voice) -> list[list[tuple[Event, int]]]:
    """Gives the events of a voice bar by bar, with the index of their first note."""
    rows = list(_indexed(passage, voice))
    found = []
    place = 0
    for bar in passage.bars:
        start, end = place, bar.end
        while place < len(rows) and rows[place][0].onset < end:
            place += 1
        found.append(rows[start:place])
    return found


def _indexed(passage: Passage, wanted: Voice) -> Iterator[tuple[Event, int]]:
    index = 0
    for voice in passage.voices:
        for event in voice.events:
            if voice is wanted:
                yield event, index
            index += len(event.heads) + sum(len(grace.heads) for grace in event.graces)


def _line(passage: Passage, clef: Clef, rows: _Rows, pick: _Pick) -> PartLine:
    events: list[Event] = []
    sources: list[int] = []
    for event, base in rows:
        graces = []
        for grace in event.graces:
            chosen = pick(len(grace.heads))
            graces.append(replace(grace, heads=_plain(grace.heads, chosen)))
            sources += [base + one for one in chosen]
            base += len(grace.heads)  # noqa: PLW2901 - counts on through the event's notes
        chosen = pick(len(event.heads)) if event.heads else ()
        sources += [base + one for one in chosen]
        heads = _plain(event.heads, chosen)
        events.append(replace(event, heads=heads, graces=tuple(graces), hidden=False))
    moved, folded = _into_range(_mended(events), clef)
    return PartLine(LINE, "", _staff(passage, clef, moved), tuple(sources), folded)


def _plain(heads: Sequence[Head], chosen: Sequence[int]) -> tuple[Head, ...]:
    """Takes the notes chosen, without the pianist's fingers."""
    taken = (heads[one] for one in chosen)
    return tuple([head if head.finger is None else replace(head, finger=None) for head in taken])


def _mended(events: Sequence[Event]) -> tuple[Event, ...]:
    """Cuts ties that lead to a note of another voice of the chord."""
    after = (*(event.heads for event in events[1:]), ())
    return tuple(
        replace(event, heads=tuple(_tied(head, following) for head in event.heads))
        if any(head.tied for head in event.heads)
        else event
        for event, following in zip(events, after, strict=True)
    )


def _tied(head: Head, following: Sequence[Head]) -> Head:
    return replace(head, tied=head.tied and any(other.pitch == head.pitch for other in following))


def _staff(passage: Passage, clef: Clef, events: tuple[Event, ...]) -> Passage:
    voice = Voice(Hand.RIGHT.value, events, ((passage.bars[0].onset, clef),))
    return replace(passage, voices=(voice,))


def _slashes(passage: Passage, clef: Clef, rows: _Rows) -> PartLine:
    bare = (replace(event, graces=(), slurs_begun=0, slurs_ended=0, hidden=False) for event, _ in rows)
    events = tuple(replace(event, heads=_slash(passage, clef, event)) for event in bare)
    sources = tuple(
        base + sum(len(grace.heads) for grace in event.graces) for event, base in rows if event.heads
    )
    return PartLine(SLASHES, "", _staff(passage, clef, _mended(events)), sources)


def _slash(passage: Passage, clef: Clef, event: Event) -> tuple[Head, ...]:
    """Sets a slash on the middle line, in the key's own spelling, so that it shows no accidental."""
    if not event.heads:
        return ()
    step = _MIDDLES[clef].step
    signature = key_at(passage, event.onset).signature
    sharps = "FCGDAEB"
    place = sharps.index(_MIDDLES[clef].letter)
    alter = int(place < signature) - int(6 - place < -signature)
    return (Head(Pitch(step, alter), tied=any(head.tied for head in event.heads), slash=True),)


def _into_range(events: tuple[Event, ...], clef: Clef) -> tuple[tuple[Event, ...], bool]:
    """Moves a line by octaves to the middle of its staff, or folds the notes that have no room.

    Returns:
        The line, and whether single notes were folded.
    """
    low, high = (pitch.midi for pitch in RANGES[clef])
    found = [head.pitch.midi for event in events for head in _all_heads(event)]
    if not found:
        return events, False
    middle = _MIDDLES[clef].midi
    nearest = sorted(_OCTAVES, key=lambda count: abs(fmean(found) + 12 * count - middle))
    fitting = [n for n in nearest if low <= min(found) + 12 * n and max(found) + 12 * n <= high]
    count = (fitting or nearest)[0]
    whole = Interval(7 * count, 12 * count)

    def folded(pitch: Pitch) -> Pitch:
        moved = pitch.up(whole)
        while moved.midi > high:
            moved = moved.up(-OCTAVE)
        while moved.midi < low:
            moved = moved.up(OCTAVE)
        return moved

    if not count and fitting:
        return events, False
    return tuple(_with_pitches(event, folded) for event in events), not fitting


def _all_heads(event: Event) -> Iterator[Head]:
    for grace in event.graces:
        yield from grace.heads
    yield from event.heads


def _with_pitches(event: Event, change: Callable[[Pitch], Pitch]) -> Event:
    graces = tuple(_with_grace(grace, change) for grace in event.graces)
    return replace(event, heads=_with_heads(event.heads, change), graces=graces)


def _with_grace(grace: Grace, change: Callable[[Pitch], Pitch]) -> Grace:
    return replace(grace, heads=_with_heads(grace.heads, change))


def _with_heads(heads: tuple[Head, ...], change: Callable[[Pitch], Pitch]) -> tuple[Head, ...]:
    return tuple(replace(head, pitch=change(head.pitch)) for head in heads)
