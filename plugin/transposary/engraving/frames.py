"""Music as text with gaps where its keys differ: written once, and filled for each key.

The twelve keys of a device differ in pitches, accidentals, signatures and chord symbols. All else,
rhythm, beams, slurs, words and barlines, is the same in each.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from transposary.engraving.accidentals import Accidental, printed_accidentals
from transposary.engraving.harmony import harmony_content, printed_content
from transposary.notes import Note
from transposary.passage import Event, Key, Passage
from transposary.pitch import Pitch

# No XML has this character.
_EDGE = "\x00"
_GAP = re.compile(f"{_EDGE}([paks])(\\d+){_EDGE}")

_ACCIDENTALS = {
    -3: "triple-flat",
    -2: "flat-flat",
    -1: "flat",
    0: "natural",
    1: "sharp",
    2: "double-sharp",
    3: "triple-sharp",
}

Shape = tuple[object, ...]
"""All that a passage says but pitches, keys and chords: equal for a device in any key."""


@dataclass(frozen=True, slots=True)
class Frame:
    """A text with gaps.

    Attributes:
        texts: What stands before, between and behind the gaps.
        gaps: What fills each, as a place among pitches, accidentals, keys and symbols, in this order.
    """

    texts: tuple[str, ...]
    gaps: tuple[int, ...]


def pitch_gap(index: int) -> str:
    """Keeps room for the pitch of a note."""
    return f"{_EDGE}p{index}{_EDGE}"


def accidental_gap(index: int) -> str:
    """Keeps room for the accidental of a note, if it shows one."""
    return f"{_EDGE}a{index}{_EDGE}"


def key_gap(place: int) -> str:
    """Keeps room for a key, by its place among those of the passage."""
    return f"{_EDGE}k{place}{_EDGE}"


def symbol_gap(place: int) -> str:
    """Keeps room for what a chord symbol says, by its place among those of the passage."""
    return f"{_EDGE}s{place}{_EDGE}"


def frame_of(text: str, passage: Passage, everything: Sequence[Note]) -> Frame:
    """Finds the gaps in what was written of a passage."""
    count = len(everything)
    start = {"p": 0, "a": count, "k": 2 * count, "s": 2 * count + len(passage.keys)}
    pieces = _GAP.split(text)
    gaps = (start[kind] + int(place) for kind, place in zip(pieces[1::3], pieces[2::3], strict=True))
    return Frame(tuple(pieces[::3]), tuple(gaps))


def filled(frame: Frame, passage: Passage, everything: Sequence[Note], *, printed: bool) -> str:
    """Writes a passage into a frame that was made of one of the same shape.

    Args:
        frame: The frame.
        passage: The passage.
        everything: Its notes.
        printed: Whether chord symbols hold no more than what is printed.

    Raises:
        ValueError: There is no accidental for a note.
    """
    fillings = [_pitch(note.head.pitch) for note in everything]
    fillings += [_accidental(one) for one in printed_accidentals(passage, everything)]
    fillings += [_key(key) for _, key in passage.keys]
    if printed:
        fillings += [printed_content(symbol) for symbol in passage.symbols]
    else:
        fillings += [harmony_content(symbol.chord) for symbol in passage.symbols]
    pieces = [""] * (2 * len(frame.gaps) + 1)
    pieces[::2] = frame.texts
    pieces[1::2] = [fillings[gap] for gap in frame.gaps]
    return "".join(pieces)


def shape_of(passage: Passage, everything: Sequence[Note]) -> Shape:
    """Gives all of a passage that is the same in every key."""
    return (
        passage.bars,
        # Signs of meters, which do not count where meters are compared.
        tuple([bar.meter.symbol for bar in passage.bars]),
        tuple(
            (voice.name, voice.clefs, tuple([_event(event) for event in voice.events]))
            for voice in passage.voices
        ),
        tuple([note.tie for note in everything]),
        tuple([onset for onset, _ in passage.keys]),
        tuple([symbol.onset for symbol in passage.symbols]),
    )


def _event(event: Event) -> Shape:
    return (
        event.onset,
        event.duration,
        tuple([(head.finger, head.ghost, head.slash) for head in event.heads]),
        tuple(
            (
                grace.slashed,
                grace.quarters,
                tuple((head.finger, head.ghost, head.slash) for head in grace.heads),
            )
            for grace in event.graces
        ),
        event.beamed,
        event.tuplet,
        event.staccato,
        event.accent,
        event.slurs_begun,
        event.slurs_ended,
        event.hidden,
    )


def _pitch(pitch: Pitch) -> str:
    alter = f"<alter>{pitch.alter}</alter>" if pitch.alter else ""
    return f"<pitch><step>{pitch.letter}</step>{alter}<octave>{pitch.octave}</octave></pitch>"


def _accidental(accidental: Accidental | None) -> str:
    if accidental is None:
        return ""
    if accidental.alter not in _ACCIDENTALS:
        raise ValueError(f"there is no accidental for {abs(accidental.alter)} semitones")
    reminder = ' cautionary="yes" parentheses="yes"' if accidental.reminder else ""
    return f"<accidental{reminder}>{_ACCIDENTALS[accidental.alter]}</accidental>"


def _key(key: Key) -> str:
    return f"<key><fifths>{key.signature}</fifths><mode>{key.mode}</mode></key>"
