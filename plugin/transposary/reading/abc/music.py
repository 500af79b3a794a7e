"""The music parser: tokens to the elements of each voice.

It knows the syntax of the subset and nothing of bars, keys and meters; those are applied in
`assembly`. After an error it goes on with the next token and leaves a `Gap`, so that a bar
is not judged for what could not be read.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction

from transposary.problems import Fault
from transposary.reading.abc.elements import BarRest, Change, Element, Gap, Strike, Tone, WrittenSymbol
from transposary.reading.abc.fields import (
    parse_key_field,
    parse_meter_field,
    parse_unit_field,
    parse_voice_field,
)
from transposary.reading.abc.findings import SYMBOLS, SYNTAX, TIES, Findings, counted, cut
from transposary.reading.abc.groups import Cursor, Marks, read_chord, read_graces, read_length, read_tone
from transposary.reading.abc.header import Header, good_or_noted, refuse_directive, refuse_field
from transposary.reading.abc.marks import NoChord, parse_barline, parse_decoration, parse_symbol, parse_tuplet
from transposary.reading.abc.tokens import Kind, Token

MAX_NOTES = 2000
"""Notes and rests of a tune; a device has a few dozen."""
MAX_BARS = 500
"""Bars that the rests `Z` of a tune may fill."""
_IGNORED_IN_BODY = frozenset("TNRr")
_SIGNS = "~HIJKLMNOPQRSTUVWhijklmnopqrstuvw"


class MusicParser:
    """Reads the music behind the header into the elements of each voice.

    Without `V:` fields everything belongs to the voice with the empty name.
    """

    def __init__(self, cursor: Cursor, header: Header, findings: Findings) -> None:
        self._cursor = cursor
        self._findings = findings
        self.streams: dict[str, list[Element]] = {name: [] for name in header.voices}
        self.clefs = dict(header.voices)
        only = next(iter(header.voices)) if len(header.voices) == 1 else ""
        self._stream = self.streams.setdefault(only, [])
        self._marks = Marks()
        self._broken: tuple[Token, Fraction] | None = None
        self._length = Fraction(1)
        self._adjacent = False
        self._apart = True
        self._count = 0
        self._take: Mapping[Kind, Callable[[Token], None]] = {
            Kind.FIELD: self._field,
            Kind.INLINE: self._field,
            Kind.NOTE: self._note,
            Kind.REST: self._rest,
            Kind.BAR_REST: self._bar_rest,
            Kind.CHORD_OPEN: self._chord,
            Kind.GRACE_OPEN: self._graces,
            Kind.SLUR_OPEN: self._slur_open,
            Kind.SLUR_CLOSE: self._slur_close,
            Kind.TUPLET: self._tuplet,
            Kind.TIE: self._tie,
            Kind.BROKEN: self._broken_rhythm,
            Kind.STRING: self._string,
            Kind.DECORATION: self._decoration,
            Kind.STACCATO: self._staccato,
            Kind.BAR: self._bar,
            Kind.SPACE: self._space,
            Kind.NEWLINE: self._space,
            Kind.DIRECTIVE: self._directive,
        }

    def parse(self) -> None:
        """Reads to the end of the text, or until the tune is too long."""
        while (token := self._cursor.take()) is not None:
            self._take.get(token.kind, self._unknown)(token)
            if self._count > MAX_NOTES:
                self._findings.add(
                    token.offset, SYNTAX, f"the tune has more than {MAX_NOTES} notes", "shorten it"
                )
                self._stream.append(Gap(token.offset))
                return
            if self._findings.too_many:
                return
        self._leave("the end")

    def _problem(self, token: Token, text: str, hint: str = "", rule: str = SYNTAX) -> None:
        self._findings.add(token.offset, rule, text, hint)
        self._stream.append(Gap(token.offset))

    def _fault(self, token: Token, fault: Fault, rule: str = SYNTAX) -> None:
        self._findings.add_fault(token.offset, rule, fault)
        self._stream.append(Gap(token.offset))

    def _unknown(self, token: Token) -> None:
        shown = cut(token.text)
        if token.kind is Kind.UNCLOSED:
            self._problem(token, f"{shown} is not closed", f"write {token.text[0]} behind it")
        elif token.text[0] == "&":
            self._problem(token, "the overlay & is not read", "write the second voice as V:RH2 or V:LH2")
        elif token.text[0] == "\\":
            self._problem(
                token, "a \\ stands within a line", "write it only where the line goes on in the next"
            )
        elif token.text[0] == "y":
            self._problem(token, "the spacer y is not read", "leave it out")
        elif token.text[0] == "H":
            self._problem(token, f"{shown} is no note of ABC", "the note H is written B there, and B flat _B")
        elif all(sign in _SIGNS for sign in token.text):
            hint = "leave it out, or write !accent!, !ghost!, a fingering !1! to !5! or a dot for staccato"
            self._problem(token, f"the decoration {shown} is not read", hint)
        elif token.kind is Kind.CHORD_CLOSE:
            self._problem(token, "no chord is open here", "write [ before its first note")
        elif token.kind is Kind.GRACE_CLOSE:
            self._problem(token, "no grace notes are open here", "write { before the first of them")
        else:
            self._problem(
                token, f"{shown} is no music that the reader knows", "leave it out, or make it a comment: %"
            )

    def _directive(self, token: Token) -> None:
        refuse_directive(token, self._findings)

    def _space(self, token: Token) -> None:
        del token
        self._adjacent = False
        self._apart = True

    def _leave(self, before: str) -> None:
        """Notes what still waits for a note where none can come any more."""
        if self._marks.offset is not None:
            what = "grace notes lead" if self._marks.graces else "this leads"
            text = f"{what} to no note before {before}"
            self._findings.add(self._marks.offset, SYNTAX, text, "move it before the note that it belongs to")
            self._stream.append(Gap(self._marks.offset))
            self._marks = Marks()
        if self._broken is not None:
            token = self._broken[0]
            text = f"the broken rhythm {cut(token.text)} finds no second note before {before}"
            self._findings.add(token.offset, SYNTAX, text, "write it between two notes of one bar")
            self._stream.append(Gap(token.offset))
            self._broken = None

    def _field(self, token: Token) -> None:
        text = token.text.strip("[]") if token.kind is Kind.INLINE else token.text
        at = token.offset + (3 if token.kind is Kind.INLINE else 2)
        letter, value = text[0], text[2:]
        self._apart = self._apart or token.kind is Kind.FIELD or letter == "V"
        self._adjacent = False
        if letter == "V":
            self._voice(value, at)
        elif letter == "K":
            key = good_or_noted(parse_key_field(value), at, self._findings)
            self._stream.append(Gap(at) if key is None else Change(token.offset, key=key.key, clef=key.clef))
        elif letter == "M":
            meter = good_or_noted(parse_meter_field(value), at, self._findings)
            self._stream.append(Gap(at) if meter is None else Change(token.offset, meter=meter))
        elif letter == "L":
            unit = good_or_noted(parse_unit_field(value), at, self._findings)
            self._stream.append(Gap(at) if unit is None else Change(token.offset, unit=unit))
        elif letter == "X":
            self._problem(token, "a second tune begins here", "keep one tune in an entry")
        elif value.startswith(("|", ":")) and letter in "ABCDEFGZ":
            self._problem(
                token, f"a line that begins with {letter}: is a field", f"put a space before the {letter}"
            )
        elif letter not in _IGNORED_IN_BODY:
            refuse_field(token, self._findings)

    def _voice(self, value: str, at: int) -> None:
        self._leave("the next voice")
        voice = good_or_noted(parse_voice_field(value), at, self._findings)
        if voice is None:
            # What follows belongs to a voice that has no name; it is read for its own mistakes only.
            self._stream = [Gap(at)]
            return
        known = self.clefs.get(voice.name)
        self._stream = self.streams.setdefault(voice.name, [])
        if voice.clef is not None and voice.clef is not known:
            if self._stream:
                self._stream.append(Change(at, clef=voice.clef))
            else:
                self.clefs[voice.name] = voice.clef

    def _note(self, token: Token) -> None:
        tone, length = read_tone(token, self._findings)
        self._strike(token, (tone,), length)

    def _chord(self, token: Token) -> None:
        chord = read_chord(token, self._cursor, self._findings)
        if chord is None:
            self._strike(token, (), None)
        else:
            self._count += len(chord[0]) - 1
            self._strike(token, *chord)

    def _rest(self, token: Token) -> None:
        length = read_length(token.text[1:], token.offset + 1, self._findings)
        marks = self._marks
        if marks.graces or marks.fingers or marks.ghost or marks.staccato or marks.accent:
            text = "grace notes lead to a rest" if marks.graces else "a rest takes no decoration"
            self._findings.add(marks.offset or token.offset, SYNTAX, text, "move it before a note")
            marks.graces, marks.fingers, marks.ghost, marks.staccato, marks.accent = (
                [],
                [],
                False,
                False,
                False,
            )
        self._strike(token, (), length, hidden=token.text[0] == "x")

    def _strike(
        self, token: Token, tones: tuple[Tone, ...], length: Fraction | None, *, hidden: bool = False
    ) -> None:
        marks, self._marks = self._marks, Marks()
        self._count += 1
        if length is None:
            self._stream.append(Gap(token.offset))
            self._broken = None
            return
        if not self._apart:
            self._join()
        self._length = length
        self._stream.append(
            Strike(
                self._fingered(tones, marks),
                length * self._take_broken(length),
                token.offset,
                tuple(marks.graces),
                marks.symbol,
                marks.tuplet,
                marks.staccato,
                marks.accent,
                marks.slurs,
                hidden=hidden,
            )
        )
        self._apart, self._adjacent = False, True

    def _join(self) -> None:
        """Marks the note before as joined to the next one; a field within the group does not part them."""
        for index in range(len(self._stream) - 1, -1, -1):
            element = self._stream[index]
            if isinstance(element, Strike):
                self._stream[index] = replace(element, joined=True)
            if not isinstance(element, Change):
                return

    def _fingered(self, tones: tuple[Tone, ...], marks: Marks) -> tuple[Tone, ...]:
        if marks.ghost:
            tones = tuple(replace(tone, ghost=True) for tone in tones)
        if not marks.fingers:
            return tones
        if len(marks.fingers) != len(tones) or any(tone.finger for tone in tones):
            many = f"{counted(len(marks.fingers), 'fingering')} before {counted(len(tones), 'note')}"
            hint = "give one for each note, lowest first, or put each before its note inside the chord"
            self._findings.add(marks.offset or tones[0].offset, SYNTAX, many, hint)
            return tones
        order = sorted(range(len(tones)), key=lambda index: tones[index].step)
        fingers = dict(zip(order, marks.fingers, strict=True))
        return tuple(replace(tone, finger=fingers[index]) for index, tone in enumerate(tones))

    def _take_broken(self, length: Fraction) -> Fraction:
        """Applies a waiting broken rhythm: lengthens the note before, gives the factor of this one."""
        if self._broken is None:
            return Fraction(1)
        (token, first), self._broken = self._broken, None
        if first != length:
            text = f"the broken rhythm {cut(token.text)} joins notes of different lengths"
            self._problem(token, text, "write the lengths out, such as C3/2D/")
            return Fraction(1)
        short = Fraction(1, 2 ** len(token.text))
        long = 2 - short
        if token.text[0] == "<":
            short, long = long, short
        index = max(index for index, element in enumerate(self._stream) if isinstance(element, Strike))
        before = self._stream[index]
        if isinstance(before, Strike):
            self._stream[index] = replace(before, length=before.length * long)
        return short

    def _broken_rhythm(self, token: Token) -> None:
        previous = self._stream[-1] if self._stream else None
        if not isinstance(previous, Strike):
            self._problem(
                token,
                f"the broken rhythm {cut(token.text)} has no note before it",
                "write it between two notes",
            )
        elif previous.length != self._length:
            self._problem(
                token, "two broken rhythms meet at one note", "write the lengths out, such as C3/2D/"
            )
        elif len(token.text) > 3 or self._broken is not None:
            self._problem(
                token,
                f"the broken rhythm {cut(token.text)} is not read",
                "write > >> or >>> between two notes",
            )
        else:
            self._broken = (token, self._length)

    def _bar_rest(self, token: Token) -> None:
        marks = self._marks
        symbol, marks.symbol = marks.symbol, None
        if marks.graces or marks.fingers or marks.ghost or marks.staccato or marks.accent or marks.slurs:
            self._leave("the rest")
        self._marks = Marks()
        digits = token.text[1:]
        count = int(digits or 1) if len(digits) <= 3 else 0
        self._count += max(1, count)
        if not 1 <= count <= MAX_BARS:
            self._problem(
                token, f"the rest {cut(token.text)} is not read", f"write Z, or Z2 to Z{MAX_BARS} for bars"
            )
        else:
            self._stream.append(BarRest(count, token.offset, token.text[0] == "X", symbol))
        self._space(token)

    def _graces(self, token: Token) -> None:
        graces = read_graces(token, self._cursor, self._findings)
        if graces is None:
            self._stream.append(Gap(token.offset))
            return
        self._count += len(graces)
        self._marks.wait(token.offset)
        self._marks.graces.extend(graces)

    def _slur_open(self, token: Token) -> None:
        self._marks.wait(token.offset)
        self._marks.slurs += 1

    def _slur_close(self, token: Token) -> None:
        previous = self._stream[-1] if self._stream else None
        if isinstance(previous, Strike):
            self._stream[-1] = replace(previous, slurs_ended=previous.slurs_ended + 1)
        elif not isinstance(previous, Gap):
            self._problem(token, "the slur ends behind no note", "write ) behind its last note", TIES)

    def _tuplet(self, token: Token) -> None:
        tuplet = parse_tuplet(token.text, token.offset)
        if isinstance(tuplet, Fault):
            self._fault(token, tuplet)
            return
        if self._marks.tuplet is not None:
            self._problem(token, "a tuplet within a tuplet is not read", "write one ratio, such as (5:4")
        self._marks.wait(token.offset)
        self._marks.tuplet = tuplet

    def _tie(self, token: Token) -> None:
        previous = self._stream[-1] if self._stream else None
        if isinstance(previous, Strike) and previous.tones and self._adjacent:
            tones = tuple(replace(tone, tied=True) for tone in previous.tones)
            self._stream[-1] = replace(previous, tones=tones)
        elif not isinstance(previous, Gap):
            self._problem(
                token, "the tie follows no note", "write - right behind the note that is held", TIES
            )

    def _string(self, token: Token) -> None:
        symbol = parse_symbol(token.text)
        if isinstance(symbol, Fault):
            self._findings.add_fault(token.offset, SYMBOLS, symbol)
            return
        if self._marks.symbol is not None:
            self._findings.add(token.offset, SYMBOLS, "two chord symbols stand over one note", "leave one")
        self._marks.wait(token.offset)
        chord = None if isinstance(symbol, NoChord) else symbol
        self._marks.symbol = WrittenSymbol(chord, token.offset + 1)

    def _decoration(self, token: Token) -> None:
        decoration = parse_decoration(token.text)
        if isinstance(decoration, Fault):
            self._findings.add_fault(token.offset, SYNTAX, decoration)
            return
        self._marks.wait(token.offset)
        self._marks.decorate(decoration)

    def _staccato(self, token: Token) -> None:
        self._marks.wait(token.offset)
        self._marks.staccato = True

    def _bar(self, token: Token) -> None:
        self._leave("the barline")
        barline = parse_barline(token.text, token.offset)
        if isinstance(barline, Fault):
            self._findings.add_fault(token.offset, SYNTAX, barline)
            self._stream.append(Gap(token.offset))
        else:
            self._stream.append(barline)
        self._apart, self._adjacent = True, False
