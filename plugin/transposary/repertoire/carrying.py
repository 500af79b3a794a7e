"""A device carried over to a place in a song: its notes there, what clashes, what has to change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from transposary.glossary import BarRange, Device
from transposary.passage import Bar, Chord, FeelKind, Key, Meter, Passage, Symbol
from transposary.pitch import Degree, Interval, NoteName, pretty
from transposary.problems import Fault
from transposary.repertoire.fits import Found, runs_of_fit
from transposary.repertoire.judging import Voiced, judge, voiced
from transposary.repertoire.landing import Landing, Refusal, land, landing_at
from transposary.repertoire.matching import Match
from transposary.repertoire.patterns import own_pattern
from transposary.repertoire.performance import Performance
from transposary.repertoire.reasons import adaptations, clashes
from transposary.settings import Settings
from transposary.song import PlayedBar, Song
from transposary.theory.chords import pretty_chord
from transposary.theory.fingering.own import fitted
from transposary.theory.keys import WIDEST_SIGNATURE, placement, slot_of, tonic_of
from transposary.theory.modes import is_minor, to_mode
from transposary.theory.numerals import pretty_numeral
from transposary.theory.rebarring import Frame, rebar
from transposary.theory.releasing import release
from transposary.theory.thirds import is_dyadic
from transposary.theory.transposition import transpose

_HALF, _LATE = Fraction(1, 2), Fraction(2, 3)


@dataclass(frozen=True, slots=True)
class Carried:
    """A device at a place in a song.

    Attributes:
        passage: Its notes there, from the barline before its first chord (or a pickup), with the
            chords of the chart.
        song_key: Key of the song at that place.
        first: First bar through the form as played in which it is heard.
        last: Last one.
        answers: Whether the chart has the chords that the device wants.
        degrees: Degrees that moved into the other mode: `3 becomes ♭3`.
        changes: What else has to change, in words.
        clashes: Notes that clash there, in words.
    """

    passage: Passage
    song_key: Key
    first: int
    last: int
    answers: bool
    degrees: tuple[str, ...]
    changes: tuple[str, ...]
    clashes: tuple[str, ...]


def carry(device: Device, song: Song, bars: BarRange, time: int) -> Carried | Refusal:
    """Carries a device over to bars of a song.

    Args:
        device: The device.
        song: The song.
        bars: Where it is wanted.
        time: Which time round the section it is wanted, from 1.

    Returns:
        The device there, or why it cannot be played there.
    """
    landing = land(device, song, bars, time)
    return landing if isinstance(landing, Refusal) else carry_to(device, landing, voiced(device))


def carry_to(device: Device, landing: Landing, notes: Sequence[Voiced]) -> Carried | Refusal:
    """Carries a device over to where it comes to lie; see `carry`.

    Args:
        device: The device.
        landing: Where it comes to lie.
        notes: Its notes, prepared for judging.
    """
    meters = {bar.meter for bar in device.passage.bars}
    if len(meters) > 1:
        return Refusal("a device that changes its meter cannot be carried over", "carry a part of it")
    clock = _Clock.of(device, landing.match)
    key = with_signature(landing.key)
    moved = in_key(device, key)
    moved, degrees = _in_mode(device, landing, moved, clock)
    whole = moved
    if landing.match.cut:
        moved = release(moved, landing.match.cut_at)
    frame, origin, first, last = _frame(landing, clock, moved)
    laid = rebar(moved, lambda moment: clock.there(moment) - origin, frame)
    if isinstance(laid, Fault):
        there = landing.run[0].bar.meter
        text = f"its rhythm does not go into {there} there: {laid.text}"
        return Refusal(text, "write that version by hand, or choose other bars")
    if degrees:
        notes = voiced(replace(device, passage=moved))
    home = moved.key if degrees else device.passage.key
    # The tonic from which the notes come, so that they are named as they are spelled there.
    away = landing.match.tonic.fifths - (key.tonic.fifths - home.tonic.fifths)
    judged = judge(landing.match, notes, NoteName(away))
    compound = landing.run[0].bar.meter.compound
    return Carried(
        laid,
        first.bar.key,
        first.number,
        last.number,
        landing.answers,
        tuple(f"{pretty(str(one))} becomes {pretty(str(other))}" for one, other in degrees),
        tuple(_changes(device, landing, clock, in_mode=bool(degrees), let_go=moved != whole)),
        clashes(judged, compound=compound),
    )


def landing_of_fit(device: Device, found: Found) -> Landing:
    """Gives where a device comes to lie at the first time of a place where it fits."""
    return landing_at(device, found.match, runs_of_fit(found.match.performance.song, found.fit)[0])


@dataclass(frozen=True, slots=True)
class _Clock:
    """Turns times of a device into times of a performance.

    Attributes:
        swung: Whether off-beats go to the last third of a beat (1), come from there (-1), or stay.
        beats: The beats of the device that are swung: those with nothing but an off-beat in them.
    """

    match: Match
    passage: Passage
    swung: int
    beats: frozenset[int]

    @classmethod
    def of(cls, device: Device, match: Match) -> _Clock:
        mine, there = device.passage.meter, match.performance.bar_at(match.start).bar.meter
        same = mine.compound == there.compound or mine.length == there.length
        feel = device.feel if there.compound else match.performance.song.feel
        swung = feel.kind is not FeelKind.STRAIGHT and feel.unit == 8
        ways = 0 if same or not swung else 1 if there.compound else -1
        beats = _swung_beats(device.passage, _HALF if ways > 0 else _LATE) if ways else frozenset()
        return cls(match, device.passage, ways, beats)

    def there(self, moment: Fraction) -> Fraction:
        """Gives a moment of the device in the performance, or the end of its chord where that is sooner."""
        late = self._swing(self.match.pattern.offset) - self.match.pattern.offset
        return self.match.nearest(self._swing(moment) - late)

    def _swing(self, moment: Fraction) -> Fraction:
        beat = self.passage.meter.beat
        whole, part = divmod(moment / beat, 1)
        if whole in self.beats and part:
            part = _LATE if self.swung > 0 else _HALF
        return (whole + part) * beat


def _swung_beats(passage: Passage, off_beat: Fraction) -> frozenset[int]:
    """Lists the beats in which notes begin and end on the beat and its off-beat, and nowhere else."""
    parts: dict[int, set[Fraction]] = {}
    for voice in passage.voices:
        for event in voice.events:
            for moment in (event.onset, event.end) if event.heads else ():
                whole, part = divmod(moment / passage.meter.beat, 1)
                parts.setdefault(whole, set()).add(part)
    return frozenset(beat for beat, found in parts.items() if off_beat in found <= {Fraction(0), off_beat})


def in_key(device: Device, key: Key) -> Passage:
    """Moves the notes of a device to the tonic of a key, spelled as that, in the register of the slot.

    The mode stays that of the device. The author's own fingering bends where black keys ask for it.
    """
    lying = placement(device.passage, device.compass, Settings(), slot_of(key.tonic))
    fifths = key.tonic.fifths - device.passage.key.tonic.fifths
    semitones = lying.interval.semitones
    interval = Interval.of(fifths, semitones)
    return fitted(transpose(device.passage, interval, dict(lying.octaves)), device.passage, lying)


def with_signature(key: Key) -> Key:
    """Gives a key, or its twin where it has no signature."""
    if abs(key.signature) <= WIDEST_SIGNATURE:
        return key
    return Key(tonic_of(slot_of(key.tonic), key.mode, {}), key.mode)


def _in_mode(
    device: Device, landing: Landing, moved: Passage, clock: _Clock
) -> tuple[Passage, tuple[tuple[Degree, Degree], ...]]:
    mine = is_minor(device.passage.key.mode)
    minor = is_minor(landing.key.mode)
    if landing.answers or mine == minor:
        return moved, ()
    performance = landing.match.performance

    def chord_at(moment: Fraction) -> Chord | None:
        there = clock.there(moment)
        return performance.chord_at(there) if 0 <= there < performance.end else None

    return to_mode(moved, chord_at, minor=minor)


def _frame(landing: Landing, clock: _Clock, moved: Passage) -> tuple[Frame, Fraction, PlayedBar, PlayedBar]:
    """Gives the bars from the one in which the device begins; also where it is and which they are."""
    performance = landing.match.performance
    begins, ends = clock.there(clock.passage.bars[0].onset), clock.there(_end(landing.match, moved))
    at = performance.song.played.index(performance.bar_at(landing.match.start))
    while at > 0 and performance.starts[at] - begins >= _length(performance, at - 1):
        at -= 1
    origin = performance.starts[at]
    bars = _bars(performance, at, begins, ends)
    last = performance.song.played[min(at + bars[-1].number - 1, len(performance.song.played) - 1)]
    end = origin + bars[-1].end
    keys = _keys(performance, landing.key, bars, at)
    symbols = tuple(_symbols(performance, bars, origin, end))
    return Frame(bars, keys, symbols), origin, performance.song.played[at], last


def _end(match: Match, moved: Passage) -> Fraction:
    """Gives the end of a device; after a last chord that is too short, the end of its last note."""
    if not match.cut:
        return moved.end
    return max(
        (event.end for voice in moved.voices for event in voice.events if event.heads), default=moved.end
    )


def _length(performance: Performance, at: int) -> Fraction:
    return performance.song.played[at].bar.meter.length


def _bars(performance: Performance, at: int, begins: Fraction, ends: Fraction) -> tuple[Bar, ...]:
    """Lists the bars from a played one on; after the song its last meter goes on."""
    played = performance.song.played
    origin = performance.starts[at]
    begin = _pickup(begins - origin, played[at].bar.meter)
    bars = [Bar(0, begin, -begin, played[at].bar.meter)] if begin < 0 else []
    onset = Fraction(0)
    number = 1
    while onset < ends - origin or number == 1:
        meter = played[min(at + number - 1, len(played) - 1)].bar.meter
        bars.append(Bar(number, onset, meter.length, meter))
        onset += meter.length
        number += 1
    return tuple(bars)


def _pickup(begin: Fraction, meter: Meter) -> Fraction:
    """Gives where a pickup begins that is written; one on a third of a beat begins with that beat."""
    return begin if is_dyadic(begin) or meter.compound else begin // meter.beat * meter.beat


def _keys(
    performance: Performance, key: Key, bars: tuple[Bar, ...], at: int
) -> tuple[tuple[Fraction, Key], ...]:
    """The key of the place holds until the song changes its own."""
    played = performance.song.played
    found = [(bars[0].onset, with_signature(key))]
    holding = played[at].bar.key
    for bar, there in zip([bar for bar in bars if bar.number > 1], played[at + 1 :], strict=False):
        if there.bar.key != holding:
            holding = there.bar.key
            found.append((bar.onset, holding))
    return tuple(found)


def _symbols(
    performance: Performance, bars: tuple[Bar, ...], origin: Fraction, end: Fraction
) -> Iterator[Symbol]:
    begin = bars[0].onset
    for span in performance.spans:
        onset = max(span.onset - origin, begin)
        if onset < end - origin and begin < span.end - origin:
            bar = next(bar for bar in bars if onset < bar.end)
            yield Symbol(onset, bar.number, None if span.harmony is None else span.harmony.chord)


def _changes(
    device: Device, landing: Landing, clock: _Clock, *, in_mode: bool, let_go: bool
) -> Iterator[str]:
    match = landing.match
    yield from adaptations(device, match)
    if let_go:
        yield "what is held ends with the last chord"
    if not landing.answers and not in_mode:
        yield _other_chords(device, landing)
    if any(bar.repeat_ended or bar.repeat_begun or bar.ending for bar in device.passage.bars):
        yield "without its repeat"
    if clock.swung:
        yield "the swung off-beats are written out" if clock.swung > 0 else "its long and short are swung"
    if clock.there(device.passage.end) > match.performance.end:
        yield "it rings on behind the last bar of the song"


def _other_chords(device: Device, landing: Landing) -> str:
    performance = landing.match.performance
    numbers = {bar.number for bar in landing.run}
    shown = dict.fromkeys(
        pretty_chord(chord.chord) if chord.chord else "N.C."
        for bar in performance.song.played
        if bar.number in numbers
        for chord in bar.bar.chords
    )
    wanted = dict.fromkeys(pretty_numeral(step.numeral) for step in own_pattern(device).steps)
    return f"the chart has {' '.join(shown)}, the device stands on {' '.join(wanted) or 'no chord'}"
