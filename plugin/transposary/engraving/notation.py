"""Written notes and rests as MusicXML `note` elements.

Source: MusicXML 4.0 XSD, complex type note.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from html import escape

from transposary.engraving.beams import Stem, beams
from transposary.engraving.frames import accidental_gap, pitch_gap
from transposary.engraving.lines import Line, Written
from transposary.engraving.values import Value, value_of
from transposary.notes import Note, TieState
from transposary.passage import Event, Head, Meter, Passage
from transposary.pitch import Interval

_EIGHTH = Value(4)

Lettered = tuple[Passage, tuple[str, ...]]
"""A passage and the words under its notes."""

HERE, ABOVE = "n", "o"
"""What the ids of notes begin with: those of a figure, and of what stands above it to be compared."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A passage ready to be written, all but what its key says.

    Attributes:
        passage: The passage.
        layout: Its voices in written notes.
        notes: Its notes by index.
        labels: The words under each, empty for none.
        divisions: Divisions of a quarter note.
        tempo: Beats a minute to print, or None.
        engraver: What the ids of notes begin with where it is written for our own engraver
            (`HERE`, `ABOVE`); else empty.
        sounds: From what is written to what sounds, or None where both are the same.
    """

    passage: Passage
    layout: tuple[Line, ...]
    notes: tuple[Note, ...]
    labels: tuple[str, ...]
    divisions: int
    tempo: int | None = None
    engraver: str = ""
    sounds: Interval | None = None

    def ticks(self, length: Fraction) -> int:
        """Counts the divisions in a length of quarter notes."""
        return int(length * self.divisions)

    def first_verse(self, line: Line) -> int:
        """Gives the lyric line that a voice begins with: those of a staff do not share any."""
        if line.upper:
            return 1
        other = next(one for one in self.layout if one.staff == line.staff and one.upper)
        return 1 + max((len(event.heads) for event in other.voice.events), default=0)


def note_elements(sheet: Sheet, line: Line, one: Written, stem: str) -> Iterator[str]:
    """Writes one written note, chord or rest, graces first.

    Args:
        sheet: The passage.
        line: The voice.
        one: What to write.
        stem: `up`, `down` or empty for the engraver's choice.
    """
    tail = f"<staff>{line.staff}</staff>"
    index = one.index
    if one.first:
        yield from _graces(sheet, line, one.event, index)
    index += sum(len(grace.heads) for grace in one.event.graces)
    middle = f"<duration>{sheet.ticks(one.duration)}</duration>"
    if not one.event.heads:
        yield _rest(one, middle, line, tail)
        return
    for place, head in enumerate(one.event.heads):
        yield "".join(
            (
                f"<note{_id(sheet, index + place, one)}>",
                "<chord/>" if place else "",
                pitch_gap(index + place),
                middle,
                _ties(sheet.notes[index + place].tie, one, "tie"),
                f"<voice>{line.number}</voice>",
                _value(one.value),
                accidental_gap(index + place) if one.first else "",
                _time_modification(one.event),
                f"<stem>{stem}</stem>" if stem else "",
                _notehead(head),
                tail,
                _beams(one.beams) if place == 0 else "",
                _notations(sheet, line, one, place, index + place),
                _lyric(sheet, line, one, place, index + place),
                "</note>",
            )
        )


def _rest(one: Written, duration: str, line: Line, tail: str) -> str:
    hidden = ' print-object="no"' if one.event.hidden else ""
    whole = ' measure="yes"' if one.value is None else ""
    return (
        f"<note{hidden}><rest{whole}/>{duration}<voice>{line.number}</voice>{_value(one.value)}"
        f"{_time_modification(one.event)}{tail}{_enclose('notations', ''.join(_tuplet(one)))}</note>"
    )


def _graces(sheet: Sheet, line: Line, event: Event, index: int) -> Iterator[str]:
    values = [value_of(grace.quarters) or _EIGHTH for grace in event.graces]
    last = len(values) - 1
    stems = [Stem(Fraction(1), v.flags, rest=False, joined=i < last) for i, v in enumerate(values)]
    states = beams(stems, Meter(4, 4))
    for grace, value, state in zip(event.graces, values, states, strict=True):
        slash = ' slash="yes"' if grace.slashed else ""
        for place, head in enumerate(grace.heads):
            identity = f' id="{sheet.engraver}{index}"' if sheet.engraver else ""
            yield (
                f"<note{identity}><grace{slash}/>{'<chord/>' if place else ''}{pitch_gap(index)}"
                f"<voice>{line.number}</voice>{_value(value)}{accidental_gap(index)}"
                f"{'<stem>up</stem>' if line.upper else '<stem>down</stem>'}{_notehead(head)}"
                f"<staff>{line.staff}</staff>{_beams(state) if place == 0 else ''}"
                f"{_enclose('notations', _fingering(head, line))}</note>"
            )
            index += 1


def _id(sheet: Sheet, index: int, one: Written) -> str:
    """Names a note by its index; the later parts of a divided one add their number."""
    if not sheet.engraver:
        return ""
    name = f"{sheet.engraver}{index}"
    return f' id="{name}"' if one.first else f' id="{name}-{one.part + 1}"'


def _value(value: Value | None) -> str:
    return "" if value is None else f"<type>{value.name}</type>{'<dot/>' * value.dots}"


def _time_modification(event: Event) -> str:
    if event.tuplet is None:
        return ""
    return (
        f"<time-modification><actual-notes>{event.tuplet.actual}</actual-notes>"
        f"<normal-notes>{event.tuplet.normal}</normal-notes></time-modification>"
    )


def _notehead(head: Head) -> str:
    if head.slash:
        return "<notehead>slash</notehead>"
    return '<notehead parentheses="yes">normal</notehead>' if head.ghost else ""


def _beams(states: Sequence[str]) -> str:
    return "".join(f'<beam number="{i}">{state}</beam>' for i, state in enumerate(states, 1))


def _ties(tie: TieState, one: Written, element: str) -> str:
    """Writes the ends of ties: the author's, and those between the parts of a divided note."""
    stop = f'<{element} type="stop"/>' if not one.first or tie in (TieState.STOP, TieState.CONTINUE) else ""
    start = f'<{element} type="start"/>' if not one.last or tie in (TieState.START, TieState.CONTINUE) else ""
    return stop + start


def _notations(sheet: Sheet, line: Line, one: Written, place: int, index: int) -> str:
    head = one.event.heads[place]
    parts = [_ties(sheet.notes[index].tie, one, "tied")]
    if place == 0:
        parts += [f'<slur type="{kind}" number="{number}"/>' for number, kind in one.slurs]
        parts += _tuplet(one)
    if one.first:
        parts.append(_fingering(head, line))
        if place == 0:
            parts.append(_articulations(one.event))
    return _enclose("notations", "".join(parts))


def _tuplet(one: Written) -> Iterator[str]:
    if one.event.tuplet is None:
        return
    if one.event.tuplet.first and one.first:
        yield f'<tuplet type="start" number="1" bracket="{"yes" if one.bracket else "no"}"/>'
    if one.event.tuplet.last and one.last:
        yield '<tuplet type="stop" number="1"/>'


def _fingering(head: Head, line: Line) -> str:
    if head.finger is None:
        return ""
    placement = "above" if line.upper else "below"
    return f'<technical><fingering placement="{placement}">{head.finger}</fingering></technical>'


def _articulations(event: Event) -> str:
    marks = ("<accent/>" if event.accent else "") + ("<staccato/>" if event.staccato else "")
    return _enclose("articulations", marks)


def _lyric(sheet: Sheet, line: Line, one: Written, place: int, index: int) -> str:
    """Writes the words under a note; those of a chord stand below each other as its notes do."""
    label = sheet.labels[index]
    if not label or not one.first:
        return ""
    verse = sheet.first_verse(line) + len(one.event.heads) - 1 - place
    under = sheet.engraver == ABOVE and place == 0 and line.staff == sheet.layout[-1].staff
    # An empty line keeps the words from the chord symbols of the part below.
    return _words(verse, escape(label)) + (_words(verse + 1, "\u00a0") if under else "")


def _words(verse: int, text: str) -> str:
    return f'<lyric number="{verse}"><syllabic>single</syllabic><text>{text}</text></lyric>'


def _enclose(element: str, content: str) -> str:
    return f"<{element}>{content}</{element}>" if content else ""
