"""The one MusicXML writer: a passage as a MusicXML 4.0 partwise score.

Written as text, because it runs once a key: about a millisecond for four bars. The same
passage always gives the same bytes.

Source: MusicXML 4.0 XSD (W3C Music Notation Community Group, 2021).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache
from html import escape
from math import lcm

from transposary.engraving.frames import Frame, Shape, filled, frame_of, shape_of
from transposary.engraving.lines import Line, lines
from transposary.engraving.measures import measure_element
from transposary.engraving.notation import ABOVE, HERE, Lettered, Sheet
from transposary.notes import Note, notes
from transposary.passage import Key, Passage
from transposary.pitch import Interval

_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0">'


def write_musicxml(
    passage: Passage, *, title: str = "", tempo: int | None = None, labels: tuple[str, ...] | None = None
) -> str:
    """Writes a passage as a MusicXML 4.0 partwise score, for any program that reads it.

    A change of key within a bar shows at the next barline, accidentals serving until then:
    verovio and others draw it at the barline before, over notes that are not in it.

    Args:
        passage: The notes, in the key wanted.
        title: Title of the movement, or empty.
        tempo: Beats a minute, counting the meter's beat, or None.
        labels: Words under the notes by note index, empty for none; a tied note wears them
            at its attack.

    Raises:
        ValueError: A duration cannot be written in note values.
    """
    return _scores([_music(passage, labels or (), tempo=tempo)], title)


def write_part(
    passage: Passage, *, name: str, sounds: Interval, title: str = "", tempo: int | None = None
) -> str:
    """Writes the part of a transposing instrument as a MusicXML 4.0 partwise score.

    The passage is what the player reads: a line of `theory.part_lines.part_lines`, taken from the
    device in the slot that `theory.parts.written_slot` gives for the concert slot, and with the
    clef of the part. Programs hear it at concert pitch by its element `transpose`:

        concert, written = worked.in_slot(slot), worked.in_slot(written_slot(part, slot))
        sounds = sounding_interval(part, concert.placement.key, written.placement.key)
        for line in part_lines(device, written.passage, part.clef):
            write_part(line.passage, name=part.name, sounds=sounds, title=device.title)

    Args:
        passage: The notes as written, on one staff.
        name: Name of the part.
        sounds: From what is written to what sounds (`theory.parts.sounding_interval`).
        title: Title of the movement, or empty.
        tempo: Beats a minute, counting the meter's beat, or None.

    Raises:
        ValueError: A duration cannot be written in note values.
    """
    music = _music(passage, (), tempo=tempo, sounds=sounds if sounds.semitones else None)
    return _scores([music], title, (name,))


def write_for_engraver(passage: Passage, labels: tuple[str, ...]) -> str:
    """Writes a passage as our own engraver needs it, to be drawn and found again in the drawing.

    Each note carries the id `n` and its index (`n3-2` for the second part of a divided one),
    and chord symbols hold no more than what is printed.

    Args:
        passage: The notes, in the key wanted.
        labels: Words under the notes by note index, empty for none.

    Raises:
        ValueError: A duration cannot be written in note values.
    """
    return _scores([_music(passage, labels, engraver=HERE)], "")


def write_together(above: Lettered, below: Lettered, names: tuple[str, str]) -> str:
    """Writes two passages of the same bars as one score of two parts, for our own engraver.

    Notes of the one above have ids that begin with `o` in the place of `n`.

    Args:
        above: A passage, and the words under its notes.
        below: Another one with the same bars (`together`).
        names: What stands before the two parts.

    Raises:
        ValueError: A duration cannot be written in note values.
    """
    music = [
        _music(*lettered, engraver=mark) for lettered, mark in zip((above, below), (ABOVE, HERE), strict=True)
    ]
    return _scores(music, "", names)


def break_systems(score: str, bars: int) -> str:
    """Breaks a score of ours into systems of so many bars.

    A pickup belongs to the first system, and a divided bar stays whole.
    """

    def opened(measure: re.Match[str]) -> str:
        number = int(measure[1])
        first = number > 1 and (number - 1) % bars == 0
        return measure[0] + '<print new-system="yes"/>' if first else measure[0]

    return re.sub(r'<measure number="(\d+)">', opened, score)


@dataclass(frozen=True, slots=True)
class _Order:
    """What to write of a passage; those that differ by their keys alone are equal.

    Attributes:
        shape: What the passage says but its keys.
        labels, tempo, engraver, sounds: As in `Sheet`.
        passage: The passage.
        notes: Its notes.
    """

    shape: Shape
    labels: tuple[str, ...]
    tempo: int | None
    engraver: str
    sounds: Interval | None
    passage: Passage = field(compare=False)
    notes: tuple[Note, ...] = field(compare=False)


def _music(
    passage: Passage,
    labels: tuple[str, ...],
    *,
    tempo: int | None = None,
    engraver: str = "",
    sounds: Interval | None = None,
) -> str:
    shown = replace(passage, keys=_keys_at_barlines(passage))
    everything = notes(shown)
    shape = shape_of(shown, everything)
    frame = _frame(_Order(shape, labels, tempo, engraver, sounds, shown, everything))
    return filled(frame, shown, everything, printed=bool(engraver))


@lru_cache(maxsize=16)
def _frame(order: _Order) -> Frame:
    """Writes all but what its key says; pure, and the same for the keys of a device."""
    layout = lines(order.passage)
    sheet = Sheet(
        passage=order.passage,
        layout=layout,
        notes=order.notes,
        labels=order.labels or ("",) * len(order.notes),
        divisions=_divisions(order.passage, layout),
        tempo=order.tempo,
        engraver=order.engraver,
        sounds=order.sounds,
    )
    bars = (piece for place in range(len(order.passage.bars)) for piece in measure_element(sheet, place))
    return frame_of("".join(bars), order.passage, order.notes)


def _scores(music: Sequence[str], title: str, names: tuple[str, ...] = ("",)) -> str:
    head = [_HEAD]
    if title:
        head.append(f"<movement-title>{escape(title)}</movement-title>")
    head.append("<identification><encoding><software>Transposary</software></encoding></identification>")
    parts = [
        (f'"P{number}"', _part_name(name, again=len(names) > 1), bars)
        for number, (bars, name) in enumerate(zip(music, names, strict=True), 1)
    ]
    listed = "".join(f"<score-part id={id_}>{name}</score-part>" for id_, name, _ in parts)
    head.append(f"<part-list>{listed}</part-list>")
    written = (f"<part id={id_}>{bars}</part>" for id_, _, bars in parts)
    return "".join((*head, *written, "</score-partwise>\n"))


def _part_name(name: str, *, again: bool) -> str:
    """Writes the name of a part, also before later systems where there is more than one."""
    if not name:
        return '<part-name print-object="no">Piano</part-name>'
    short = f"<part-abbreviation>{escape(name)}</part-abbreviation>" if again else ""
    return f"<part-name>{escape(name)}</part-name>{short}"


def _keys_at_barlines(passage: Passage) -> tuple[tuple[Fraction, Key], ...]:
    moved = {
        min((bar.onset for bar in passage.bars if bar.onset >= onset), default=onset): key
        for onset, key in passage.keys
    }
    return tuple(moved.items())


def _divisions(passage: Passage, layout: Sequence[Line]) -> int:
    times: Iterable[Fraction] = (
        time for line in layout for bar in line.bars for one in bar for time in (one.onset, one.duration)
    )
    denominators = {time.denominator for time in times}
    denominators |= {symbol.onset.denominator for symbol in passage.symbols}
    denominators |= {bar.duration.denominator for bar in passage.bars}
    return lcm(*denominators)
