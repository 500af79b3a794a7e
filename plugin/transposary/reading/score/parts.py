"""From music21's streams to plain values: what a staff plays, bar by bar.

music21 ships no types; its objects are looked at here and nowhere else.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from music21 import bar, converter, duration, exceptions21, harmony, note, pitch, stream
from music21.musicxml.xmlObjects import MusicXMLWarning

from transposary.passage import Chord, Clef, Grace, Head, Meter, Mode
from transposary.pitch import LETTERS, NoteName, Pitch
from transposary.problems import Fault
from transposary.reading.score.harmonies import Change, chord_of
from transposary.reading.score.quirks import explicit
from transposary.reading.score.values import Measure, Played, Report, Signature

_CLEFS = {"TrebleClef": Clef.TREBLE, "BassClef": Clef.BASS, "AltoClef": Clef.ALTO, "TenorClef": Clef.TENOR}
_MODES = {"ionian": Mode.MAJOR, "aeolian": Mode.MINOR, **{mode.value: mode for mode in Mode}}
_DOUBLE = ("double", "heavy-light", "heavy-heavy")
_SYMBOLS = {"common": "C", "cut": "C|"}


# What music21's reader raises beside its own exceptions for texts that the guard has passed
# (measured with mutated scores): it trusts that required elements are there.
_FOREIGN = (
    *(exceptions21.Music21Exception, ValueError, AttributeError, TypeError, KeyError, IndexError),
    *(ArithmeticError, RecursionError),
)


def read_staves(text: str, report: Report) -> list[tuple[Measure, ...]] | None:
    """Reads the staves of a checked MusicXML text; None where music21 or we cannot.

    Args:
        text: The score.
        report: Collects what cannot be carried.
    """
    try:
        with warnings.catch_warnings(record=True) as passed_over:
            warnings.simplefilter("ignore")
            # music21 warns of what it passes over; nothing of it may be lost.
            warnings.simplefilter("always", MusicXMLWarning)
            score = converter.parseData(explicit(text), format="musicxml")
    except _FOREIGN as error:
        report.refuse(f"music21 cannot read the score: {type(error).__name__}: {error}", "export it again")
        return None
    for warning in passed_over:
        report.refuse(f"music21 passes over something: {warning.message}", "take it out of the score")
    parts = list(score.parts)
    if not 1 <= len(parts) <= 2:
        report.refuse(f"the score has {len(parts)} staves", "write it on one or two staves")
        return None
    slurs = slurs_of(score)
    staves = [StaffReader(part, slurs, report).measures() for part in parts]
    if not all(staves):
        report.refuse("a staff has no bars", "export it again")
        return None
    return staves


class StaffReader:
    """Reads one staff of a score.

    Args:
        staff: A part of music21's score, with one staff.
        slurs: Slurs that begin and end at each of its notes, by the identity of the object.
        report: Collects what cannot be carried.
    """

    def __init__(self, staff: stream.Part, slurs: Mapping[int, tuple[int, int]], report: Report) -> None:
        self._staff = staff
        self._slurs = slurs
        self._report = report
        self._bar = ""

    def measures(self) -> tuple[Measure, ...]:
        """Gives the bars of the staff in order."""
        streams = list(self._staff.getElementsByClass("Measure"))
        begun, closed = self._endings()
        found = [self._measure(one) for one in streams]
        for index, one in enumerate(streams):
            # A thin and a thick line close a section; at the end they close the score.
            doubles = _DOUBLE if index == len(streams) - 1 else (*_DOUBLE, "final")
            found[index] = replace(
                found[index],
                double_after=_style(one.rightBarline) in doubles,
                ending=begun.get(id(one), ""),
                ending_closed=id(one) in closed,
            )
        return tuple(found)

    def _endings(self) -> tuple[dict[int, str], set[int]]:
        begun: dict[int, str] = {}
        closed: set[int] = set()
        for bracket in self._staff.recurse().getElementsByClass("RepeatBracket"):
            begun[id(bracket.getFirst())] = str(bracket.number)
            closed.add(id(bracket.getLast()))
        return begun, closed

    def _measure(self, measure: stream.Measure) -> Measure:
        self._bar = measure.measureNumberWithSuffix()
        voices = list(measure.voices) or [measure]
        names = [str(voice.id) for voice in voices] if measure.voices else [""]
        left, right = measure.leftBarline, measure.rightBarline
        return Measure(
            self._bar,
            {name: tuple(self._voice(voice)) for name, voice in zip(names, voices, strict=True)},
            tuple(self._symbols(measure)),
            tuple(self._clefs(measure)),
            self._signature(measure),
            self._meter(measure),
            _repeat(left) == "start",
            _repeat(right) == "end",
            _style(left) in _DOUBLE,
        )

    def _refuse(self, text: str, hint: str = "take it out of the score") -> None:
        self._report.refuse(text, hint, self._bar)

    def _voice(self, voice: stream.Stream) -> Iterator[Played]:
        graces: list[Grace] = []
        grace_slurs = 0
        for element in voice.notesAndRests:
            if "Harmony" in element.classes:
                continue
            if element.duration.isGrace:
                graces.append(self._grace(element))
                begun, ended = self._slurs.get(id(element), (0, 0))
                grace_slurs += begun - ended
                continue
            yield self._played(element, tuple(graces), grace_slurs)
            graces, grace_slurs = [], 0
        if graces:
            self._refuse("grace notes lead to no note", "write them before the note that they lead to")

    def _grace(self, element: note.NotRest) -> Grace:
        length = element.duration
        quarters = _QUARTERS.get(length.type)
        if quarters is None or length.dots:
            self._refuse(f"a grace note of the length {length.type} is not carried")
            quarters = Fraction(1, 2)
        return Grace(self._heads(element), bool(length.slash), quarters)

    def _played(self, element: note.GeneralNote, graces: tuple[Grace, ...], grace_slurs: int) -> Played:
        marks = {type(mark).__name__ for mark in element.articulations}
        begun, ended = self._slurs.get(id(element), (0, 0))
        # A slur from a grace note to the note that it leads to says no more than the grace note does.
        kept = min(grace_slurs, ended)
        heads = () if element.isRest else self._heads(element)
        if graces and not heads:
            self._refuse("grace notes lead to a rest", "write them before the note that they lead to")
        beams = [] if element.isRest else element.beams.beamsList
        ratio, edges = self._tuplet(element.duration.tuplets)
        return Played(
            Fraction(element.offset),
            Fraction(element.quarterLength),
            heads,
            graces,
            ratio,
            edges,
            bool(beams) and beams[0].type in ("start", "continue"),
            "Staccato" in marks,
            "Accent" in marks,
            begun + grace_slurs - kept,
            ended - kept,
            bool(element.isRest and element.style.hideObjectOnPrint),
        )

    def _tuplet(self, tuplets: Sequence[duration.Tuplet]) -> tuple[tuple[int, int] | None, str]:
        if len(tuplets) > 1:
            self._refuse("a tuplet within a tuplet is not carried", "write it with one ratio")
        if not tuplets:
            return None, ""
        return (tuplets[0].numberNotesActual, tuplets[0].numberNotesNormal), tuplets[0].type or ""

    def _heads(self, element: note.NotRest) -> tuple[Head, ...]:
        # music21 gathers the fingerings of a chord from its lowest note up; `quirks` has seen to it that
        # there are as many as notes, 0 for none.
        notes = sorted(element.notes, key=lambda one: one.pitch.ps) if element.isChord else [element]
        fingers = [mark.fingerNumber for mark in element.articulations if "Fingering" in mark.classes]
        heads = [
            Head(
                _pitch(one),
                one.tie is not None and one.tie.type in ("start", "continue"),
                (fingers[index] or None) if fingers else None,
                bool(one.noteheadParenthesis),
                self._report.place,
            )
            for index, one in enumerate(notes)
        ]
        if len({head.pitch for head in heads}) < len(heads):
            self._refuse("a pitch stands twice in a chord", "write it once")
        return tuple(sorted(heads, key=lambda head: (head.pitch.midi, head.pitch.step)))

    def _symbols(self, measure: stream.Measure) -> Iterator[tuple[Fraction, Chord | None]]:
        for element in measure.recurse().getElementsByClass("Harmony"):
            offset = Fraction(element.getOffsetInHierarchy(measure))
            if "NoChord" in element.classes:
                yield offset, None
                continue
            chord = _chord(element)
            if isinstance(chord, Fault):
                self._refuse(chord.text, chord.hint)
            else:
                yield offset, chord

    def _clefs(self, measure: stream.Measure) -> Iterator[tuple[Fraction, Clef]]:
        for element in measure.recurse().getElementsByClass("Clef"):
            clef = _CLEFS.get(type(element).__name__)
            if clef is None:
                self._refuse(
                    f"the clef {element.name} is not carried", "the clefs are treble, bass, alto and tenor"
                )
            else:
                yield Fraction(element.getOffsetInHierarchy(measure)), clef

    def _signature(self, measure: stream.Measure) -> Signature | None:
        found = list(measure.recurse().getElementsByClass("KeySignature"))
        if not found:
            return None
        if len(found) > 1 or found[0].getOffsetInHierarchy(measure):
            self._refuse("the key changes within the bar", "change it at the beginning of a bar")
        mode = _MODES.get(getattr(found[0], "mode", None) or "")
        return Signature(found[0].sharps, mode)

    def _meter(self, measure: stream.Measure) -> Meter | None:
        found = list(measure.recurse().getElementsByClass("TimeSignature"))
        if not found:
            return None
        if len(found) > 1 or found[0].getOffsetInHierarchy(measure):
            self._refuse("the meter changes within the bar", "change it at the beginning of a bar")
        one = found[0]
        return Meter(one.numerator, one.denominator, _SYMBOLS.get(one.symbol, ""))


_QUARTERS = {
    "half": Fraction(2),
    "quarter": Fraction(1),
    "eighth": Fraction(1, 2),
    "16th": Fraction(1, 4),
    "32nd": Fraction(1, 8),
    "64th": Fraction(1, 16),
}


def slurs_of(score: stream.Score) -> dict[int, tuple[int, int]]:
    """Counts the slurs that begin and end at each note of a score, by the identity of its object."""
    found: dict[int, tuple[int, int]] = {}
    for slur in score.recurse().getElementsByClass("Slur"):
        first, last = id(slur.getFirst()), id(slur.getLast())
        begun, ended = found.get(first, (0, 0))
        found[first] = (begun + 1, ended)
        begun, ended = found.get(last, (0, 0))
        found[last] = (begun, ended + 1)
    return found


def _repeat(barline: bar.Barline | None) -> str:
    return getattr(barline, "direction", "") or ""


def _style(barline: bar.Barline | None) -> str:
    return "" if barline is None or _repeat(barline) else str(barline.type)


def _pitch(head: note.Note) -> Pitch:
    found = head.pitch
    alter = 0 if found.accidental is None else int(found.accidental.alter)
    return Pitch(7 * found.octave + LETTERS.index(found.step), alter)


def _chord(element: harmony.ChordSymbol) -> Chord | Fault:
    root, bass = _name(element.root(find=False)), _name(element.bass(find=False) or element.root(find=False))
    changes = [
        Change(change.modType, change.degree, 0 if change.interval is None else change.interval.semitones)
        for change in element.chordStepModifications
    ]
    text = element.chordKindStr
    return chord_of(root, None if bass == root else bass, element.chordKind, text or None, changes)


def _name(tone: pitch.Pitch) -> NoteName:
    return NoteName.parse(tone.name.replace("-", "b"))
