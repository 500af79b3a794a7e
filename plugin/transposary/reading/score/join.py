"""Puts the bars of a score's staves together into a passage."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from transposary.passage import Bar, Chord, Clef, Event, Hand, Key, Meter, Passage, Symbol, Tuplet, Voice
from transposary.pitch import NoteName
from transposary.reading.abc.bars import (
    Plan,
    compared,
    finish_bars,
    numbered,
    wrong_bars,
    wrong_endings,
    wrong_repeats,
)
from transposary.reading.abc.lengths import is_printable, written_length
from transposary.reading.score.values import MODE, Measure, Played, Report, Signature

_PIECES = tuple(Fraction(2) ** power for power in range(2, -6, -1))


def join(staves: Mapping[Hand, Sequence[Measure]], report: Report) -> Passage | None:
    """Makes a passage of the bars of one or two staves; None where a problem was noted."""
    first = next(iter(staves.values()))
    if any(len(staff) != len(first) for staff in staves.values()):
        report.refuse("the staves have different numbers of bars", "write rests where a staff is silent")
        return None
    plans = _plans(staves, report)
    for plan, measure in zip(plans, first, strict=True):
        if plan in wrong_bars(plans):
            report.refuse(f"the bar has {compared(plan)}", "fill the bar, or change its meter", measure.label)
    labels = {plan.onset: measure.label for plan, measure in zip(plans, first, strict=True)}
    for plan, text, _ in (*wrong_repeats(plans), *wrong_endings(plans)):
        report.refuse(text, "mend the repeats in the score", labels[plan.onset])
    if report.has_errors:
        return None
    shift = plans[0].duration if plans[0].number == 0 else Fraction(0)
    starts = [plan.onset - shift for plan in plans]
    bars = tuple(
        replace(bar, ending_closed=measure.ending_closed)
        for bar, measure in zip(finish_bars(plans, shift), first, strict=True)
    )
    voices = tuple(voice for hand, staff in staves.items() for voice in _voices(hand, staff, bars, report))
    for voice in voices:
        _check_ties(voice, bars, first, report)
        _check_slurs(voice, report)
    keys = _keys(staves, starts, report)
    passage = Passage(keys, bars, voices)
    symbols = _symbols(staves, starts, report)
    onsets = {event.onset for voice in voices for event in voice.events}
    for onset, chord, label in symbols:
        if onset not in onsets:
            text = f"the chord symbol {chord or 'N.C.'} stands where no note or rest begins"
            report.refuse(text, "divide the note there into two tied ones", label)
    return replace(
        passage,
        symbols=tuple(
            Symbol(onset, passage.bar_at(onset).number, chord, report.place) for onset, chord, _ in symbols
        ),
    )


def _plans(staves: Mapping[Hand, Sequence[Measure]], report: Report) -> tuple[Plan, ...]:
    columns = list(zip(*staves.values(), strict=True))
    meter = next((one.meter for column in columns for one in column if one.meter is not None), None)
    if meter is None:
        report.refuse("there is no time signature", "write the meter into the score")
        meter = Meter(4, 4)
    plans: list[Plan] = []
    now = Fraction(0)
    for index, column in enumerate(columns):
        meters = {one.meter for one in column if one.meter is not None}
        if len(meters) > 1:
            report.refuse("the staves have different meters", "write one meter", column[0].label)
        meter = next(iter(meters), meter)
        duration = max(one.duration for one in column) or meter.length
        following = columns[index + 1] if index + 1 < len(columns) else ()
        ended = any(one.repeat_ended for one in column)
        plans.append(
            Plan(
                0,
                now,
                duration,
                meter,
                any(one.repeat_begun for one in column),
                ended,
                not ended
                and any([*(one.double_after for one in column), *(one.double_before for one in following)]),
                next((one.ending for one in column if one.ending), ""),
                unclear=False,
                offset=0,
            )
        )
        now += duration
    return tuple(numbered(plans))


def _voices(hand: Hand, staff: Sequence[Measure], bars: Sequence[Bar], report: Report) -> Iterator[Voice]:
    found = sorted({name for measure in staff for name in measure.voices if name}, key=_order)
    if len(found) > 2:
        label = next(measure.label for measure in staff if found[2] in measure.voices)
        report.refuse("a staff has more than two voices", "a hand has two voices at most", label)
    clefs = _clefs(hand, staff, bars)
    for index, name in enumerate(found[:2] or [""]):
        events: list[Event] = []
        for measure, bar in zip(staff, bars, strict=True):
            played = measure.voices.get(name, measure.voices.get("", ()) if index == 0 else ())
            events.extend(_events(played, bar, measure.label, report))
        yield Voice(f"{hand}{'2' if index else ''}", _unbeamed(events), clefs)


def _order(name: str) -> tuple[int, str]:
    return (int(name) if name.isdecimal() else 0, name)


def _events(played: Sequence[Played], bar: Bar, label: str, report: Report) -> Iterator[Event]:
    """Makes the events of one voice in one bar; where the score leaves it out, hidden rests stand."""
    now = Fraction(0)
    tuplets = _tuplets(played)
    for one, tuplet in zip(played, tuplets, strict=True):
        if one.offset < now:
            report.refuse("notes of one voice overlap", "write them as two voices", label)
            return
        yield from _silence(bar, now, one.offset, label, report)
        event = Event(
            bar.onset + one.offset,
            one.duration,
            one.heads,
            one.graces,
            one.beamed,
            tuplet,
            one.staccato,
            one.accent,
            one.slurs_begun,
            one.slurs_ended,
            one.hidden,
            report.place,
        )
        fills_bar = not one.heads and one.duration == bar.duration
        if not fills_bar and not is_printable(written_length(event)):
            report.refuse("a note or rest has a length that one sign cannot show", "divide it", label)
        yield event
        now = one.end
    yield from _silence(bar, now, bar.duration, label, report)


def _silence(bar: Bar, begin: Fraction, end: Fraction, label: str, report: Report) -> Iterator[Event]:
    if begin == 0 and end == bar.duration:
        yield Event(bar.onset, bar.duration, hidden=True, place=report.place)
        return
    while begin < end:
        piece = next((one for one in _PIECES if one <= end - begin), None)
        if piece is None:
            report.refuse("a voice leaves out a part of a tuplet", "write a rest there", label)
            return
        yield Event(bar.onset + begin, piece, hidden=True, place=report.place)
        begin += piece


def _tuplets(played: Sequence[Played]) -> list[Tuplet | None]:
    """Finds where tuplets begin and end: where the score says so, else where their time is full."""
    told = any(one.edges for one in played)
    found: list[Tuplet | None] = []
    total = shortest = Fraction(0)
    opened = True
    for index, one in enumerate(played):
        if one.ratio is None:
            found.append(None)
            opened = True
            continue
        actual, normal = one.ratio
        written = one.duration * actual / normal
        total = one.duration if opened else total + one.duration
        shortest = written if opened else min(shortest, written)
        following = played[index + 1].ratio if index + 1 < len(played) else None
        full = one.edges in ("stop", "startStop") if told else total >= normal * shortest
        last = full or following != one.ratio
        found.append(Tuplet(actual, normal, opened, last))
        opened = last
    return found


def _unbeamed(events: Sequence[Event]) -> tuple[Event, ...]:
    """Takes beams away that lead to a rest or a longer note; ours join notes shorter than a quarter."""

    def short(event: Event) -> bool:
        return bool(event.heads) and written_length(event) < 1

    following = [*events[1:], None]
    return tuple(
        replace(one, beamed=one.beamed and other is not None and short(one) and short(other))
        for one, other in zip(events, following, strict=True)
    )


def _clefs(hand: Hand, staff: Sequence[Measure], bars: Sequence[Bar]) -> tuple[tuple[Fraction, Clef], ...]:
    usual = Clef.BASS if hand is Hand.LEFT else Clef.TREBLE
    changes: list[tuple[Fraction, Clef]] = []
    for measure, bar in zip(staff, bars, strict=True):
        for offset, clef in measure.clefs:
            if not changes and (bar is not bars[0] or offset):
                changes.append((bars[0].onset, usual))
            if not changes or changes[-1][1] is not clef:
                changes.append((bar.onset + offset, clef))
    return tuple(changes) or ((bars[0].onset, usual),)


def _keys(
    staves: Mapping[Hand, Sequence[Measure]], starts: Sequence[Fraction], report: Report
) -> tuple[tuple[Fraction, Key], ...]:
    changes: list[tuple[Fraction, Key]] = []
    for onset, column in zip(starts, zip(*staves.values(), strict=True), strict=True):
        key = _key([one.signature for one in column if one.signature is not None], column[0].label, report)
        if key is not None and (not changes or changes[-1][1] != key):
            changes.append((onset, key))
    if not changes or changes[0][0] != starts[0]:
        report.refuse("there is no key signature", "write the key and its mode into the score")
        changes.insert(0, (starts[0], Key(NoteName(0))))
    return tuple(changes)


def _key(signatures: Sequence[Signature], label: str, report: Report) -> Key | None:
    """Gives the key that the staves' signatures at one barline make."""
    if not signatures:
        return None
    sharps = signatures[0].sharps
    modes = {one.mode for one in signatures if one.mode is not None}
    if len(modes) > 1 or any(one.sharps != sharps for one in signatures):
        report.refuse("the staves have different keys", "write one key", label)
    if modes:
        mode = min(modes)
        return Key(NoteName(sharps - mode.fifths), mode)
    key = Key(NoteName(sharps))
    hint = "give the key its mode in the score, or write <mode>minor</mode> behind <fifths>"
    report.remark(MODE, f"the key says no mode and is read as {key}", hint, label)
    return key


def _symbols(
    staves: Mapping[Hand, Sequence[Measure]], starts: Sequence[Fraction], report: Report
) -> list[tuple[Fraction, Chord | None, str]]:
    """Lists the chord symbols in order; a symbol of the score stands in both staves of music21."""
    found: dict[Fraction, tuple[Chord | None, str]] = {}
    for staff in staves.values():
        for start, measure in zip(starts, staff, strict=True):
            for offset, chord in measure.symbols:
                known = found.setdefault(start + offset, (chord, measure.label))
                if known[0] != chord:
                    report.refuse("two chord symbols stand at one moment", "leave one", measure.label)
    return [(onset, *found[onset]) for onset in sorted(found)]


def _check_ties(voice: Voice, bars: Sequence[Bar], staff: Sequence[Measure], report: Report) -> None:
    labels = {bar.onset: measure.label for bar, measure in zip(bars, staff, strict=True)}
    for index, event in enumerate(voice.events):
        following = voice.events[index + 1 : index + 2]
        pitches = {head.pitch for one in following for head in one.heads}
        for head in event.heads:
            if head.tied and head.pitch not in pitches:
                label = labels[max(onset for onset in labels if onset <= event.onset)]
                text = f"the tie from {head.pitch} leads to no {head.pitch} in its voice"
                report.refuse(text, "tie it to the next note of the voice", label)


def _check_slurs(voice: Voice, report: Report) -> None:
    if sum(event.slurs_begun - event.slurs_ended for event in voice.events):
        report.refuse(f"a slur of {voice.name} begins or ends in another voice", "keep it in one voice")
