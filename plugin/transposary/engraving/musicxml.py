"""The one MusicXML writer: a passage as a MusicXML 4.0 partwise score.

Written as text, because it runs once a key: about a millisecond for four bars. The same
passage always gives the same bytes.

Source: MusicXML 4.0 XSD (W3C Music Notation Community Group, 2021).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from html import escape
from math import lcm

from transposary.engraving.accidentals import printed_accidentals
from transposary.engraving.lines import Line, lines
from transposary.engraving.measures import measure_element
from transposary.engraving.notation import Sheet
from transposary.notes import notes
from transposary.passage import Passage

_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0">'


def write_musicxml(
    passage: Passage,
    *,
    title: str = "",
    tempo: int | None = None,
    labels: tuple[str, ...] | None = None,
    note_ids: bool = False,
) -> str:
    """Writes a passage as a MusicXML 4.0 partwise score.

    Args:
        passage: The notes, in the key wanted.
        title: Title of the movement, or empty.
        tempo: Beats a minute, counting the meter's beat, or None.
        labels: Words under the notes by note index, empty for none; a tied note wears them
            at its attack.
        note_ids: Write for the engraver: each note carries the id `n` and its index (`n3-2`
            for the second part of a divided one), and chord symbols only what is printed.

    Raises:
        ValueError: A duration cannot be written in note values.
    """
    layout = lines(passage)
    everything = notes(passage)
    shown = labels if labels is not None else ("",) * len(everything)
    sheet = Sheet(
        notes=everything,
        accidentals=printed_accidentals(passage),
        labels=shown,
        divisions=_divisions(passage, layout),
        verses=_verses(layout),
        note_ids=note_ids,
    )
    parts = [_HEAD]
    if title:
        parts.append(f"<movement-title>{escape(title)}</movement-title>")
    parts.append(
        "<identification><encoding><software>Transposary</software></encoding></identification>"
        '<part-list><score-part id="P1"><part-name print-object="no">Piano</part-name></score-part>'
        '</part-list><part id="P1">'
    )
    for place in range(len(passage.bars)):
        parts += measure_element(passage, sheet, layout, place, tempo if place == 0 else None)
    parts.append("</part></score-partwise>\n")
    return "".join(parts)


def _divisions(passage: Passage, layout: Sequence[Line]) -> int:
    times: Iterable[Fraction] = (
        time for line in layout for bar in line.bars for one in bar for time in (one.onset, one.duration)
    )
    denominators = {time.denominator for time in times}
    denominators |= {symbol.onset.denominator for symbol in passage.symbols}
    denominators |= {bar.duration.denominator for bar in passage.bars}
    return lcm(*denominators)


def _verses(layout: Sequence[Line]) -> dict[int, int]:
    """Counts the lyric lines that the first voice of each staff needs below it."""
    return {
        line.staff: max((len(event.heads) for event in line.voice.events), default=0)
        for line in layout
        if line.upper
    }
