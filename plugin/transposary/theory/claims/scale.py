"""The scale that the notes come from.

    scale: dorian
    scale: {name: blues, root: "1", bars: 1-2, outside: "3"}

`root` is the degree of the key on which the scale stands, the tonic if none is given; `bars` the
bars it covers, all if none are given; `outside` lists the degrees of the key that are struck and
are no part of it. Notes count by their sound; whether they are well spelled is checked by itself.
Grace notes do not count.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from transposary.glossary import Device, ScaleClaim
from transposary.notes import Note
from transposary.passage import Passage
from transposary.pitch import Degree
from transposary.problems import Fault, Problem, SourceText
from transposary.theory.claims._degrees import read_degrees
from transposary.theory.claims._kind import missing_scope
from transposary.theory.degrees import degree_of
from transposary.theory.scales import SCALES, Scale, parse_scale, scales_holding
from transposary.theory.strikes import Hearing, hand_voices, where

_RULE = "theory.scale"
_TONIC = Degree(1)
_ROOTS = tuple(map(Degree.parse, ["1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7"]))
_NAMED = 2
_BARS = re.compile(r"\s*(\d+)\s*(?:[-–]\s*(\d+)\s*)?")


@dataclass(frozen=True, slots=True)
class _Heard:
    """A struck note, counted from the tonic."""

    note: Note
    degree: Degree

    @property
    def semitones(self) -> int:
        return self.degree.semitones % 12


@dataclass(frozen=True, slots=True)
class _Said:
    """A claim that could be read.

    Attributes:
        scale: The scale.
        root: The degree that it stands on.
        first: First bar that it covers.
        last: Last bar that it covers.
        outside: The degrees listed outside, each with its place in the text.
    """

    scale: Scale
    root: Degree
    first: int
    last: int
    outside: tuple[tuple[Degree, int], ...]

    def holds(self, semitones: int) -> bool:
        """Tells whether a note, in semitones over the tonic, is part of the scale."""
        return (semitones - self.root.semitones) % 12 in self.scale.semitones


class _ScaleKind:
    """The claim `scale`."""

    name = "scale"

    def check(self, device: Device, hearing: Hearing) -> tuple[Problem, ...]:
        """Holds the scales that a device names against its notes, as they are heard."""
        return tuple(problem for claim in device.scales for problem in _judge(hearing, claim))

    def truth_text(self, passage: Passage, scope: str | None) -> str:
        """Names a scale on the tonic that holds all notes, the key's own first, else an empty text."""
        semitones = {one.semitones for one in _heard(Hearing(passage), scope)}
        own = [scale for scale in SCALES if scale.name == passage.key.mode]
        fitting = (scale.name for scale in (*own, *SCALES[:-1]) if semitones <= scale.semitones)
        return next(fitting, "") if semitones else ""


def _heard(hearing: Hearing, scope: str | None) -> tuple[_Heard, ...]:
    found = hearing.strikes(hand_voices(hearing.passage, scope))
    return tuple(_Heard(note, degree_of(hearing.passage, note)) for strike in found for note in strike.struck)


def _judge(hearing: Hearing, claim: ScaleClaim) -> tuple[Problem, ...]:
    passage = hearing.passage
    missing = missing_scope(passage, claim.scope, claim.place, _RULE)
    said = _read(passage, claim) if missing is None else missing
    if isinstance(said, Problem):
        return (said,)
    heard = [one for one in _heard(hearing, claim.scope) if said.first <= one.note.bar <= said.last]
    if not heard:
        place = (claim.bars or claim.name).place(0)
        return (Problem(place, _RULE, "nothing is struck there", "leave the claim out"),)
    strangers = [one for one in heard if not said.holds(one.semitones)]
    found = list(_listed_in_vain(said, claim, heard, strangers))
    listed = {degree.semitones % 12 for degree, _ in said.outside}
    if unlisted := [one for one in strangers if one.semitones not in listed]:
        first = unlisted[0]
        text = f"{first.degree} ({first.note.pitch}) in {where(passage, first.note.onset)} is no part of it"
        listing = claim.outside
        place = claim.name.place(0) if listing is None else listing.place(len(listing.value))
        found.append(Problem(place, _RULE, f"{_title(said)}: {text}", _hint(said, claim, heard, strangers)))
    return tuple(found)


def _listed_in_vain(
    said: _Said, claim: ScaleClaim, heard: Sequence[_Heard], strangers: Sequence[_Heard]
) -> Iterator[Problem]:
    struck = {one.semitones for one in heard}
    for degree, offset in said.outside:
        semitones = degree.semitones % 12
        if said.holds(semitones):
            fault = f"{degree} is listed outside, {_title(said)} has it"
        elif semitones not in struck:
            fault = f"{degree} is listed outside, the notes have none"
        else:
            continue
        place = (claim.outside or claim.name).place(offset)
        yield Problem(place, _RULE, fault, _mended(said, claim, strangers))


def _title(said: _Said) -> str:
    return said.scale.name if said.root == _TONIC else f"{said.scale.name} on {said.root}"


def _read(passage: Passage, claim: ScaleClaim) -> _Said | Problem:
    scale = parse_scale(claim.name.value)
    if isinstance(scale, Fault):
        return _problem(claim.name, scale)
    root = _TONIC
    if claim.root is not None:
        line = read_degrees(claim.root.value)
        if isinstance(line, Fault) or line.words != 1:
            return _problem(claim.root, Fault(0, f"one degree is expected, {claim.root.value!r} found"))
        root = Degree.parse(line.groups[0].words[0].key)
    bars = _bars(passage, claim.bars)
    if isinstance(bars, Problem):
        return bars
    outside = _outside(claim.outside)
    if isinstance(outside, Problem):
        return outside
    return _Said(scale, root, *bars, outside)


def _problem(text: SourceText, fault: Fault) -> Problem:
    return Problem(text.place(fault.offset), _RULE, fault.text, fault.hint)


def _bars(passage: Passage, text: SourceText | None) -> tuple[int, int] | Problem:
    first, last = passage.bars[0].number, passage.bars[-1].number
    if text is None:
        return first, last
    match = _BARS.fullmatch(text.value)
    if match is None:
        return _problem(text, Fault(0, f"bars are expected, {text.value!r} found", "write bars as 2 or 1-4"))
    begin, end = int(match[1]), int(match[2] or match[1])
    if not first <= begin <= end <= last:
        return _problem(text, Fault(0, f"bars {text.value} are claimed, the notation has {first} to {last}"))
    return begin, end


def _outside(text: SourceText | None) -> tuple[tuple[Degree, int], ...] | Problem:
    if text is None:
        return ()
    line = read_degrees(text.value)
    if isinstance(line, Fault):
        return _problem(text, line)
    return tuple((Degree.parse(word.key), word.offset) for group in line.groups for word in group.words)


def _hint(said: _Said, claim: ScaleClaim, heard: Sequence[_Heard], strangers: Sequence[_Heard]) -> str:
    mended = _mended(said, claim, strangers)
    from_root = {(degree.semitones + said.root.semitones) % 12 for degree, _ in said.outside}
    if {one.semitones for one in strangers} == from_root:
        return f"as written this holds with outside counted from the scale's root; else {mended}"
    struck = {one.semitones for one in heard}
    roots = [root for root in _ROOTS if all(replace(said, root=root).holds(one) for one in struck)]
    if roots and claim.root is None:
        return f'as written this holds with root: "{roots[0]}"; else {mended}'
    on_root = [(one - said.root.semitones) % 12 for one in struck]
    fitting = [scale.name for scale in scales_holding(on_root) if scale != SCALES[-1]][:_NAMED]
    return f"the notes come from {' or '.join(fitting)}; else {mended}" if fitting else mended


def _mended(said: _Said, claim: ScaleClaim, strangers: Sequence[_Heard]) -> str:
    fields = {"name": said.scale.name}
    if claim.root is not None:
        fields["root"] = f'"{said.root}"'
    if claim.bars is not None:
        fields["bars"] = claim.bars.value
    outside = dict.fromkeys(str(one.degree) for one in sorted(strangers, key=lambda one: one.semitones))
    if outside:
        fields["outside"] = f'"{" ".join(outside)}"'
    inside = ", ".join(f"{key}: {value}" for key, value in fields.items())
    line = said.scale.name if len(fields) == 1 else f"{{{inside}}}"
    return f"write {claim.scope or 'scale'}: {line}"


CLAIM = _ScaleKind()
