"""Chord charts: the text of a section to bars of chords.

Barlines and repeats are written as in ABC (`|`, `||`, `|:`, `:|`, first and second endings as
`|1` and `:|2`), and so are changes of key and meter within a section (`[K:Bb]`, `[M:3/4]`).
`%` repeats the bar before, `/` holds a chord for one more beat, `N.C.` means no chord.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TypeVar

from transposary.passage import Chord, Key, Meter
from transposary.problems import Fault, Problem, SourceText
from transposary.reading.gathering import Gathering
from transposary.reading.values import parse_meter
from transposary.song import ChartBar, ChartChord
from transposary.theory.chords import is_no_chord, parse_chord
from transposary.theory.keys import parse_key

RULE = "song.chart"
_T = TypeVar("_T")
_SHOWN = 12
MARKS = ("segno", "coda", "fine")

_TOKEN = re.compile(
    r"""(?P<bar>:\|\|:|:\|:|::|:\|\]|:\||\|:|\|\||\|\]|\[\||\|)(?P<after>[12](?!\S))?
      | \[(?P<ending>[12])(?!\S)
      | \[(?P<field>[A-Za-z]):(?P<content>[^\]|]*)\]
      | !(?P<mark>[^!\s|]*)!
      | (?P<word>[^\s|!\[:]+)
      | (?P<other>\S)""",
    re.VERBOSE,
)
_DIRECTION = re.compile(r"D\.?[CS]\.?|al|fine|coda|segno|to", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Word:
    """A chord, `/`, `%` or `N.C.` in the text."""

    text: str
    offset: int


@dataclass(slots=True)
class _Draft:
    """A bar as it is being gathered."""

    meter: Meter
    key: Key
    offset: int = 0
    words: list[_Word] = field(default_factory=list)
    marks: list[str] = field(default_factory=list)
    begun: bool = False
    ended: bool = False
    ending: str = ""


def read_chart(
    source: SourceText, meter: Meter, key: Key
) -> tuple[tuple[ChartBar, ...], tuple[Problem, ...]]:
    """Reads the bars of a section.

    Args:
        source: The chart's text.
        meter: The meter in force where it begins.
        key: The key in force where it begins.

    Returns:
        The bars, a bar at fault without chords, and what is wrong with them.
    """
    reader = _Reader(source, _Draft(meter, key))
    reader.read()
    found = reader.found
    bars: list[ChartBar] = []
    for draft in reader.drafts:
        chords = _Chords(source, found, bars[-1] if bars else None).of(draft)
        place = source.place(draft.offset)
        marks = tuple(draft.marks)
        repeat = (draft.begun, draft.ended, draft.ending)
        bars.append(ChartBar(chords, draft.meter, draft.key, place, *repeat, marks))
    if not bars and not found.problems:
        found.error(source.start, RULE, "expected bars, found none", 'write for example "| D7 | G7 |"')
    return tuple(bars), tuple(found.problems)


def read_pickup(source: SourceText, meter: Meter, key: Key) -> tuple[ChartBar | None, tuple[Problem, ...]]:
    """Reads the bar that leads into a song: chords and `/`, a beat each.

    Returns:
        The bar, its beats counted up to its end, or None; and what is wrong with it.
    """
    reader = _Reader(source, _Draft(meter, key))
    reader.read()
    found = reader.found
    words = [word for draft in reader.drafts for word in draft.words]
    if len(reader.drafts) != 1 or not 0 < len(words) < meter.beats:
        text = f"expected a pickup of 1 to {meter.beats - 1} beats, found `{source.value}`"
        found.error(source.start, RULE, text, 'a chord or `/` counts a beat: "A7 /" for two')
        return None, tuple(found.problems)
    first = meter.beats - len(words) + 1
    chords = _Chords(source, found, None).held(words, meter, first)
    bar = ChartBar(chords, meter, key, source.place(words[0].offset))
    return (None if found.problems else bar), tuple(found.problems)


class _Reader:
    """Cuts a chart into bars."""

    def __init__(self, source: SourceText, first: _Draft) -> None:
        self.source = source
        self.found = Gathering()
        self.drafts: list[_Draft] = []
        self._bar = first
        self._sign = ""

    def read(self) -> None:
        """Reads the whole text."""
        for match in _TOKEN.finditer(self.source.value):
            match match.lastgroup:
                case "bar" | "after":
                    self._barline(match)
                case "ending":
                    self._bar.ending = match["ending"]
                case "content":
                    self._change(match)
                case "mark":
                    self._mark(match)
                case "word":
                    self._word(match[0], match.start())
                case _:
                    text = f"expected a chord, `/`, `%` or a barline, found `{match[0]}`"
                    self._error(match.start(), text)
        self._close()

    def _error(self, offset: int, text: str, hint: str = "") -> None:
        self.found.error(self.source.place(offset), RULE, text, hint)

    def _word(self, text: str, offset: int) -> None:
        self._sign = ""
        if not self._bar.words:
            self._bar.offset = offset
        self._bar.words.append(_Word(text, offset))

    def _barline(self, match: re.Match[str]) -> None:
        sign = match["bar"]
        if self._bar.words:
            self._bar.ended = sign.startswith(":")
            self._close()
        elif sign == "|" == self._sign:
            self._error(
                match.start(),
                "expected a chord between these barlines, found none",
                "write `%` to repeat the bar before, or `N.C.` for no chord",
            )
        self._sign = sign
        self._bar.begun = sign.endswith(":")
        self._bar.ending = match["after"] or ""

    def _close(self) -> None:
        if self._bar.words:
            self.drafts.append(self._bar)
            self._bar = _Draft(self._bar.meter, self._bar.key)
        elif self.drafts:
            # A mark behind the last barline belongs to the last bar.
            self.drafts[-1].marks += self._bar.marks

    def _mark(self, match: re.Match[str]) -> None:
        name = match["mark"].lower()
        if name in MARKS:
            self._bar.marks.append(name)
        else:
            self._error(
                match.start(),
                f"expected one of {', '.join(f'!{mark}!' for mark in MARKS)}, found `{match[0]}`",
            )

    def _change(self, match: re.Match[str]) -> None:
        content, offset = match["content"], match.start("content")
        if self._bar.words:
            self._error(
                match.start(),
                "a change of key or meter stands at the beginning of a bar",
                "move it behind the barline",
            )
        elif match["field"] == "K":
            self._bar.key = self._parsed(content, offset, parse_key) or self._bar.key
        elif match["field"] == "M":
            self._bar.meter = self._parsed(content, offset, parse_meter) or self._bar.meter
        else:
            self._error(match.start(), f"expected `[K:…]` or `[M:…]`, found `{match[0]}`")

    def _parsed(self, text: str, offset: int, parse: Callable[[str], _T | Fault]) -> _T | None:
        result = parse(text.strip())
        if isinstance(result, Fault):
            lead = len(text) - len(text.lstrip())
            self.found.fault(result, self.source, RULE, offset + lead)
            return None
        return result


@dataclass(frozen=True, slots=True)
class _Chords:
    """Spreads the chords of a bar over its beats."""

    source: SourceText
    found: Gathering
    before: ChartBar | None

    def of(self, draft: _Draft) -> tuple[ChartChord, ...]:
        """Gives the chords of a bar; none where it is at fault."""
        words, meter = draft.words, draft.meter
        if any(word.text == "%" for word in words):
            return self._repeated(words, meter)
        if any(word.text == "/" for word in words):
            if len(words) == meter.beats:
                return self.held(words, meter, Fraction(1))
            self._wrong_sum(draft)
            return ()
        if meter.beats % len(words):
            self._uneven(draft)
        return self.held(words, meter, Fraction(1), meter.length / len(words))

    def held(
        self, words: Sequence[_Word], meter: Meter, first: Fraction, each: Fraction | None = None
    ) -> tuple[ChartChord, ...]:
        """Gives each chord its length, and each `/` to the chord before it.

        Args:
            words: The words of the bar.
            meter: The meter of the bar.
            first: The beat on which it begins.
            each: What a word lasts, in quarter notes; a beat unless given.
        """
        each = meter.beat if each is None else each
        chords: list[ChartChord] = []
        for index, word in enumerate(words):
            if word.text == "/" and chords:
                chords[-1] = replace(chords[-1], length=chords[-1].length + each)
                continue
            chord = self._held_over() if word.text == "/" else self._chord(word)
            if isinstance(chord, Fault):
                self.found.fault(chord, self.source, RULE, word.offset)
                chord = None
            beat = first + index * each / meter.beat
            chords.append(ChartChord(beat, each, chord, self.source.place(word.offset)))
        return tuple(chords)

    def _chord(self, word: _Word) -> Chord | Fault | None:
        if is_no_chord(word.text):
            return None
        chord = parse_chord(word.text)
        if isinstance(chord, Chord):
            return chord
        if _DIRECTION.fullmatch(word.text):
            text = f"expected a chord symbol, found the direction `{word.text}`"
            return Fault(
                0, text, "D.C. and D.S. stand in `form`; the chart marks bars by !segno!, !coda! and !fine!"
            )
        if word.text.endswith("/"):
            return Fault(
                len(word.text) - 1,
                f"`/` stands too near to `{word.text[:-1]}`",
                "put a space before a `/` that holds the chord",
            )
        return chord

    def _held_over(self) -> Chord | Fault | None:
        if self.before and self.before.chords:
            return self.before.chords[-1].chord
        return Fault(0, "`/` holds the chord before it, and there is none", "write the chord")

    def _repeated(self, words: Sequence[_Word], meter: Meter) -> tuple[ChartChord, ...]:
        sign = next(word for word in words if word.text == "%")
        if len(words) > 1:
            fault = Fault(
                0,
                "`%` repeats a whole bar, found other chords beside it",
                "write the chords out, or part the bars by `|`",
            )
        elif self.before is None:
            fault = Fault(0, "`%` repeats the bar before it, and there is none", "write the chords")
        elif self.before.meter != meter:
            fault = Fault(0, f"`%` repeats a bar of {self.before.meter} in {meter}", "write the chords")
        else:
            return self.before.chords
        self.found.fault(fault, self.source, RULE, sign.offset)
        return ()

    def _wrong_sum(self, draft: _Draft) -> None:
        count, meter = len(draft.words), draft.meter
        missing = int(meter.beats) - count
        wrong = "more" if missing > 0 else "less"
        text = f"a bar of {meter} has {meter.beats} beats, found {count} in `{_written(draft)}`"
        self.found.error(self.source.place(draft.offset), RULE, text, f"write {abs(missing)} `/` {wrong}")

    def _uneven(self, draft: _Draft) -> None:
        count, beats = len(draft.words), int(draft.meter.beats)
        text = f"{count} chords cannot share {beats} beats evenly, found `{_written(draft)}` in {draft.meter}"
        if count > beats:
            hint = "a chord lasts a beat at least: spread them over more bars"
        else:
            first, *others = (word.text for word in draft.words)
            example = " ".join([first, *["/"] * (beats - count), *others])
            hint = f"hold one of them with `/`, a beat for each, such as `{example}`"
        self.found.error(self.source.place(draft.offset), RULE, text, hint)


def _written(draft: _Draft) -> str:
    words = [word.text for word in draft.words]
    return " ".join(words if len(words) <= _SHOWN else [*words[:_SHOWN], "…"])
