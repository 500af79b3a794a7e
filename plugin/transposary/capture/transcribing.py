"""A take as a passage: time, hands, lengths, key, chords and spelling, one after the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from transposary.capture.cutting import cut_passage
from transposary.capture.hands import named_hands, split_hands
from transposary.capture.lengths import Placed, measure
from transposary.capture.timing import LOOSE, Timing, Told, time_take
from transposary.capture.values import Take
from transposary.capture.writing import check_rhythm, make_bars, write_passage
from transposary.notes import attacks
from transposary.passage import Bar, Event, Feel, Hand, Head, Key, Meter, Passage, Symbol
from transposary.pitch import Pitch
from transposary.problems import Fault
from transposary.reading.bounds import check_bars
from transposary.theory.chordfinding import FoundChord, Sounding, find_chords, guess_chords
from transposary.theory.keyfinding import Cues, KeyFinding, find_key
from transposary.theory.keys import pretty_key
from transposary.theory.naming import motions, name_number, pitch_of, respell


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the player says of a take; None where it is to be found.

    Attributes:
        key: The key.
        meter: The meter.
        tempo: Beats a minute.
        bars: First and last bar of the idea, where the take is longer.
        pickup: Beats before the first downbeat.
    """

    key: Key | None = None
    meter: Meter | None = None
    tempo: float | None = None
    bars: tuple[int, int] | None = None
    pickup: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Captured:
    """What was made of a take, or of notation.

    Attributes:
        passage: The notes, with the chord symbols that they state.
        feel: How the off-beats are played, where it was heard.
        tempo: Beats a minute, where known.
        key: How the key was found; None where it was given.
        suggested: The same notes with the chords that they only suggest; None where chords are
            stated, or where nothing is suggested.
        doubts: What is not sure, as sentences for the player.
    """

    passage: Passage
    feel: Feel | None
    tempo: int | None
    key: KeyFinding | None
    suggested: Passage | None
    doubts: tuple[str, ...]


def transcribe(take: Take, wanted: Wanted) -> Captured | Fault:
    """Writes a take down.

    Returns:
        What was made of it, or why nothing can be; the offset says nothing.
    """
    timing = time_take(take, Told(wanted.meter, wanted.tempo, wanted.pickup))
    named = named_hands(take)
    hands = named or split_hands(take.notes, timing.onsets)
    placed = measure([note.number for note in take.notes], hands, timing)
    chosen = _cut(placed, timing.meter, wanted.bars)
    if not chosen:
        return Fault(0, f"nothing is struck in {_span(wanted.bars)}", _numbers(placed, timing.meter))
    placed = tuple(sorted(set(chosen), key=lambda one: (one.onset, one.number)))
    if long := check_bars(len(make_bars(placed, timing.meter))):
        return replace(long, hint="name the bars of the idea with --bars")
    if odd := check_rhythm(placed, timing.meter):
        return odd
    signature = take.key.signature if take.key and take.key.signature else None
    found = key_of(placed, timing.meter, signature)
    key = wanted.key or found.first.key
    captured = write_down(placed, timing.meter, key)
    doubts = [*_time_doubts(timing, wanted), *(() if wanted.key else _key_doubts(found)), *captured.doubts]
    if len(set(hands)) == 2 and named is None:
        doubts.append("The hands were told apart by reach: look at notes near the middle.")
    return replace(
        captured,
        feel=timing.feel,
        tempo=None if "untold" in timing.guessed and wanted.tempo is None else timing.tempo,
        key=None if wanted.key else found,
        doubts=tuple(doubts),
    )


def key_of(placed: Sequence[Placed], meter: Meter, signature: int | None = None) -> KeyFinding:
    """Finds the key of placed notes, of those with a signature if one is known."""
    first, last = (edge(one.onset for one in placed) for edge in (min, max))
    ends = [min(one.number for one in placed if one.onset == moment) for moment in (first, last)]
    sounding = [(one.number, float(one.length)) for one in placed]
    key = find_key(sounding).first.key
    chords = find_chords(_sounding(placed), make_bars(placed, meter), key)
    named = tuple(one.symbol.chord for one in chords if one.symbol.chord is not None)
    return find_key(sounding, Cues(ends[0], ends[1], named, signature))


def _sounding(placed: Sequence[Placed]) -> list[Sounding]:
    return [Sounding(one.number, one.onset, one.end) for one in placed]


def from_passage(passage: Passage, wanted: Wanted) -> Captured | Fault:
    """Takes notes that are written already, and finds the chords where none are."""
    if wanted.bars is not None:
        cut = cut_passage(passage, *wanted.bars)
        if cut is None:
            last = passage.bars[-1].number
            return Fault(0, f"nothing is struck in {_span(wanted.bars)}", f"the last bar is {last}")
        passage = cut
    captured = _with_chords(passage)
    tempo = None if wanted.tempo is None else round(wanted.tempo)
    return replace(captured, tempo=tempo, doubts=(*_left_aside(passage, wanted), *captured.doubts))


def _left_aside(passage: Passage, wanted: Wanted) -> Iterator[str]:
    """Says which wishes for a take do not move notation, which states those things itself."""
    if wanted.key not in (None, passage.key):
        yield f"The notation is in {pretty_key(passage.key)}, and --key did not move it."
    if wanted.meter not in (None, passage.meter):
        yield f"The notation is in {passage.meter}, and --meter did not change it."
    if wanted.pickup is not None:
        yield "The notation has its own barlines, and --pickup did not move them."


def _with_chords(passage: Passage) -> Captured:
    if passage.symbols:
        return Captured(passage, None, None, None, None, ())
    sounding = [Sounding(note.pitch.midi, note.onset, note.end) for note in attacks(passage) if note.duration]
    chords = find_chords(sounding, passage.bars, passage.key)
    stated = _stated(chords)
    written = _with_symbols(passage, _likely(chords, sounding, passage.bars, passage.key)) if chords else None
    if stated and written is not None:
        return Captured(written, None, None, None, None, _chord_doubts(stated=True))
    return Captured(passage, None, None, None, written, _chord_doubts(stated=False))


def _with_symbols(passage: Passage, symbols: Sequence[Symbol]) -> Passage | None:
    """Puts chord symbols over notes, where something begins at each; None where it does not."""
    begun = {event.onset for voice in passage.voices for event in voice.events}
    if any(symbol.onset not in begun for symbol in symbols):
        return None
    return replace(passage, symbols=tuple(symbols))


def _likely(
    chords: Sequence[FoundChord], sounding: Sequence[Sounding], bars: Sequence[Bar], key: Key
) -> tuple[Symbol, ...]:
    """Gives the chords that were found, or those of a chart where none of them is stated."""
    if any(one.stated for one in chords):
        return tuple(one.symbol for one in chords)
    return guess_chords(sounding, bars, key)


def _stated(chords: Sequence[FoundChord]) -> bool:
    return bool(chords) and sum(one.stated for one in chords) * 3 >= 2 * len(chords)


def write_down(placed: Sequence[Placed], meter: Meter, key: Key) -> Captured:
    """Writes placed notes, as `check_rhythm` lets them pass, in a key, with the chords that they state."""
    bars = make_bars(placed, meter)
    spelled = _named(placed, key)
    chords = find_chords(_sounding(placed), bars, key)
    symbols = _likely(chords, _sounding(placed), bars, key)
    harmonised = respell(write_passage(placed, bars, key, spelled, symbols))
    if _stated(chords):
        return Captured(harmonised, None, None, None, None, _chord_doubts(stated=True))
    # Chords that sound still tell how their notes are spelled.
    told = [one.symbol for one in chords if one.stated]
    plain = _spelled_as(
        write_passage(placed, bars, key, spelled, ()),
        respell(write_passage(placed, bars, key, spelled, told)),
    )
    return Captured(plain, None, None, None, harmonised if chords else None, _chord_doubts(stated=False))


def _named(placed: Sequence[Placed], key: Key) -> dict[int, Pitch]:
    """Spells each note by the key and by where its hand goes on to."""
    moving = {}
    for hand in Hand:
        own = sorted((one.onset, one.number) for one in placed if one.hand is hand)
        struck = [
            (onset, [number for _, number in group]) for onset, group in groupby(own, lambda one: one[0])
        ]
        moving[hand] = motions(struck)
    return {
        index: name_number(one.number, key, moving[one.hand][one.onset, one.number])
        for index, one in enumerate(placed)
    }


def _spelled_as(passage: Passage, other: Passage) -> Passage:
    """Gives notes the names that they have in another writing of the same notes."""
    names = {(note.onset, note.pitch.midi): note.pitch.name for note in attacks(other)}

    def named(head: Head, onset: Fraction) -> Head:
        name = names.get((onset, head.pitch.midi))
        return replace(head, pitch=pitch_of(head.pitch.midi, name)) if name else head

    voices = []
    for voice in passage.voices:
        events: list[Event] = []
        for event in voice.events:
            tied = {head.pitch.midi: head.pitch for head in events[-1].heads if head.tied} if events else {}
            heads = (
                replace(head, pitch=tied[head.pitch.midi])
                if head.pitch.midi in tied
                else named(head, event.onset)
                for head in event.heads
            )
            events.append(replace(event, heads=tuple(heads)))
        voices.append(replace(voice, events=tuple(events)))
    return replace(passage, voices=tuple(voices))


def _cut(placed: Sequence[Placed], meter: Meter, bars: tuple[int, int] | None) -> list[Placed]:
    """Takes the notes of some bars, or all, and counts from the first downbeat among them."""
    if bars is None:
        return _from_first(placed, meter)
    start, end = (bars[0] - 1) * meter.length, bars[1] * meter.length
    return [
        replace(one, onset=one.onset - start, length=min(one.length, end - one.onset))
        for one in placed
        if start <= one.onset < end
    ]


def _from_first(placed: Sequence[Placed], meter: Meter) -> list[Placed]:
    """Leaves empty bars at the beginning out; less than half a bar before a downbeat is a pickup."""
    first = min(one.onset for one in placed)
    start = first // meter.length * meter.length
    if (first - start) * 2 > meter.length and max(one.end for one in placed) > start + meter.length:
        start += meter.length
    return [replace(one, onset=one.onset - start) for one in placed]


def _span(bars: tuple[int, int] | None) -> str:
    if bars is None:
        return "the take"
    first, last = bars
    return f"bar {first}" if first == last else f"bars {first} to {last}"


def _numbers(placed: Sequence[Placed], meter: Meter) -> str:
    first, last = (edge(one.onset for one in placed) // meter.length + 1 for edge in (min, max))
    return f"the notes lie in {_span((first, last))}"


def _time_doubts(timing: Timing, wanted: Wanted) -> Iterator[str]:
    if "click" in timing.guessed:
        yield "The notes do not keep to the tempo that the file states, which was left aside."
    if "untold" in timing.guessed and wanted.tempo is None:
        yield "The file states no tempo, and so does the draft: --tempo says one."
    if "tempo" in timing.guessed:
        yield f"The tempo was found by ear, about {timing.tempo} beats a minute: --tempo says another."
    if "meter" in timing.guessed:
        yield f"The meter was found by ear, {timing.meter}: give --meter if it is another one."
    if "downbeat" in timing.guessed:
        yield (
            "Bar 1 may begin on another beat: say by --pickup how many beats stand before it; "
            f"the next likely number is {timing.other_pickup}."
        )
    elif "bars" in timing.guessed:
        yield "Where the bars begin was found by ear: give --pickup if a bar begins elsewhere."
    if timing.deviation > LOOSE:
        late = round(timing.deviation * 1000)
        yield f"The notes are {late} ms off the beat on an average: look at the short notes."


def _key_doubts(found: KeyFinding) -> Iterator[str]:
    if not found.sure:
        first, second = pretty_key(found.first.key), pretty_key(found.second.key)
        yield f"The key may be {first} or {second}: give --key if {first} is wrong."


def _chord_doubts(*, stated: bool) -> tuple[str, ...]:
    if stated:
        return ("The chord symbols were found by ear: look them over.",)
    return ("The notes state no chords: say in the field over what a chart shows where it is played.",)
