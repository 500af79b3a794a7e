"""Reads ABC into a passage.

The subset of the ABC music standard 2.1 (December 2011), by its sections:

- 3: `M:`, `L:`, `K:` with the seven modes and a clef, `V:` with our voice names, in the header
  or the body; `X T C O R Z N S B D F G H A r` are read past, every other field is refused.
- 4.1 to 4.5: pitches, accidentals, lengths that one sign shows, broken rhythm between equal
  notes, rests `z x Z X`. How far an accidental holds is told in `accidentals`.
- 4.6: the clefs treble, bass, alto and tenor, without octaves and other lines.
- 4.7 to 4.9: beams, barlines, repeats, first and second endings; bars fill their meter.
- 4.11 to 4.13: ties to the same pitch, slurs, grace notes (an eighth unless a number says
  otherwise), tuplets within a bar and not within each other.
- 4.14, 4.17, 4.18: a dot, `!accent!`, fingerings `!1!` to `!5!`, `!ghost!` of our own; chords of
  one length; chord symbols.

What is no part of it is refused by name, with a way to mend it; no note is ever dropped.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from transposary.passage import Clef, Hand, Key, Meter, Passage, Symbol, Voice
from transposary.pitch import NoteName
from transposary.problems import Problem, SourceText
from transposary.reading.abc.assembly import Assembler, DraftVoice
from transposary.reading.abc.bars import (
    Plan,
    check_agreement,
    check_lengths,
    check_repeats,
    finish_bars,
    plan_bars,
)
from transposary.reading.abc.checks import (
    check_keys,
    check_shared_staff,
    check_slurs,
    check_ties,
    merge_symbols,
)
from transposary.reading.abc.elements import BarRest, Change, Element, Gap, Strike
from transposary.reading.abc.fields import VOICE_NAMES
from transposary.reading.abc.findings import SYNTAX, Findings
from transposary.reading.abc.groups import Cursor
from transposary.reading.abc.header import Header, read_header
from transposary.reading.abc.music import MusicParser
from transposary.reading.abc.tokens import tokens

MAX_TEXT = 20_000
"""Characters of a text; longer ones are refused unread."""


def read_abc(source: SourceText, hand: Hand | None) -> tuple[Passage | None, tuple[Problem, ...]]:
    """Reads a tune.

    Args:
        source: The text with its place in the author's file.
        hand: The hand of a tune on one staff; None to go by its clef.

    Returns:
        The passage, or None where there are errors; and the problems in order.
    """
    findings = Findings(source)
    if len(source.value) > MAX_TEXT:
        findings.add(
            0, SYNTAX, f"the text has more than {MAX_TEXT} characters", "split it into several devices"
        )
        return None, findings.all()
    cursor = Cursor(tuple(tokens(source.value)))
    header = read_header(cursor, findings)
    parser = MusicParser(cursor, header, findings)
    parser.parse()
    streams = _named_streams(parser, header, hand, findings)
    if not streams:
        if not findings.has_errors:
            findings.add(0, SYNTAX, "there is no music", "write notes behind K:")
        return None, findings.all()
    passage = _passage(streams, parser.clefs, header, findings)
    return (None if findings.has_errors else passage), findings.all()


def _named_streams(
    parser: MusicParser, header: Header, hand: Hand | None, findings: Findings
) -> dict[str, list[Element]]:
    """Gives each voice its name and puts them in order; empty voices are left out or refused."""
    nameless = parser.streams.get("", [])
    named = [name for name in parser.streams if name]
    streams = {name: stream for name, stream in parser.streams.items() if _has_music(stream)}
    if not named:
        name = (hand or (Hand.LEFT if header.clef is Clef.BASS else Hand.RIGHT)).value
        return {name: nameless} if streams else {}
    if nameless:
        what = "a field stands" if isinstance(nameless[0], Change) else "music stands"
        hint = "write it behind V:RH or V:LH; fields for all voices stand above K:"
        findings.add(nameless[0].offset, SYNTAX, f"{what} before the first V:", hint)
    for name in named:
        if name not in streams:
            findings.add(0, SYNTAX, f"the voice {name} has no music", "write its bars, or leave its V: out")
        if hand is not None and name[:2] != hand.value:
            findings.add(0, SYNTAX, f"hand: {hand} contradicts V:{name}", "leave hand: out")
        if name.endswith("2") and name[:2] not in streams and name in streams:
            at = streams[name][0].offset
            findings.add(at, SYNTAX, f"{name} stands without {name[:2]}", f"call it {name[:2]}")
    return {name: streams[name] for name in VOICE_NAMES if name in streams}


def _has_music(stream: Sequence[Element]) -> bool:
    return any(isinstance(element, (Strike, BarRest, Gap)) for element in stream)


def _passage(
    streams: Mapping[str, list[Element]],
    clefs: Mapping[str, Clef | None],
    header: Header,
    findings: Findings,
) -> Passage:
    # What the header did not say is a problem already; these stand in, so that the rest is read too.
    key, meter = header.key or Key(NoteName(0)), header.meter or Meter(4, 4)
    unit = header.unit or Fraction(1, 2)
    drafts: dict[str, DraftVoice] = {}
    plans: dict[str, tuple[Plan, ...]] = {}
    for name, stream in streams.items():
        clef = clefs.get(name) or header.clef or (Clef.BASS if name.startswith(Hand.LEFT) else Clef.TREBLE)
        draft = Assembler(key, meter, unit, clef, findings).assemble(stream)
        drafts[name], plans[name] = draft, plan_bars(draft, findings)
        if name.endswith("2"):
            check_shared_staff(name, stream, findings)
        if header.meter is not None and header.unit is not None:
            check_lengths(plans[name], name if len(streams) > 1 else "", unit, findings)
        check_ties(draft, findings)
        check_slurs(draft, findings)
    first = next(iter(plans.values()))
    check_repeats(first, findings)
    symbols = merge_symbols(drafts, findings)
    if not findings.has_errors:
        check_agreement(plans, findings)
        check_keys(drafts, findings)
    shift = first[0].duration if first and first[0].number == 0 else Fraction(0)
    return _finished(drafts, first, symbols, shift)


def _finished(
    drafts: Mapping[str, DraftVoice], plans: Sequence[Plan], symbols: Sequence[Symbol], shift: Fraction
) -> Passage:
    bars = finish_bars(plans, shift)
    voices = []
    for name, draft in drafts.items():
        staff = drafts.get(name[:2], draft)
        events = tuple(replace(event, onset=event.onset - shift) for event in draft.events)
        voices.append(Voice(name, events, tuple((onset - shift, clef) for onset, clef in staff.clefs)))
    keys = tuple((onset - shift, key) for onset, key, _ in next(iter(drafts.values())).keys)
    passage = Passage(keys, bars, tuple(voices))
    moved = [replace(symbol, onset=symbol.onset - shift) for symbol in symbols]
    numbered = tuple(replace(symbol, bar=passage.bar_at(symbol.onset).number) for symbol in moved)
    return replace(passage, symbols=numbered)
