"""What hands can do: reach, notes in one hand, crossing, speed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from transposary.glossary import Device
from transposary.notes import Note, attacks
from transposary.passage import Hand, Passage
from transposary.pitch import pretty
from transposary.problems import Place, Problem
from transposary.theory.keyboard import distance_mm
from transposary.theory.keys import Placement, list_keys
from transposary.theory.strikes import Strike, hand_voices, strikes

CAUTION = "stop when it hurts; ask a teacher or a clinician about pain that stays"
HANDS = {Hand.RIGHT: "right hand", Hand.LEFT: "left hand"}
VOICES = {
    "RH": "Right hand",
    "RH2": "Right hand, second voice",
    "LH": "Left hand",
    "LH2": "Left hand, second voice",
}

_FINGERS = 5
# Strikes a second that are fast for one hand. From memory, no source: trained pianists play
# scales at ten to thirteen notes a second, and one key or chord again some six times.
_FAST_LINE = 10
_FAST_REPEATED = 6
# So many strikes in a row make a run; a shorter burst is an ornament.
_RUN = 5
_SLOWLY = f"practise it slowly; {CAUTION}"


def check_reach(device: Device, keys: Sequence[Placement], hand_span: int) -> Problem | None:
    """Remarks on the widest stretch of a hand where it is wider than its span.

    Args:
        device: The device.
        keys: Its placements; the same stretch is wider between some keys than others.
        hand_span: Widest stretch in semitones.
    """
    widest = max(
        ((_span(notes), hand, notes) for hand, notes in _held(device.passage) if _span(notes) > hand_span),
        key=lambda stretch: stretch[0],
        default=None,
    )
    if widest is None:
        return None
    semitones, hand, notes = widest
    low, high = notes[0], notes[-1]
    home = round(distance_mm(low.pitch.midi, high.pitch.midi))
    text = (
        f"the {HANDS[hand]} stretches {semitones} semitones ({_pitch(low)}–{_pitch(high)}, {home} mm) "
        f"in bar {low.bar}, wider than the hand span of {hand_span}"
    )
    sizes = {one: round(_distance_in(one, low, high)) for one in keys}
    most = max(sizes.values())
    if most > home:
        wide = [one for one in keys if sizes[one] == most]
        text += f"; {most} mm in {list_keys(wide)}"
    hint = f"roll it, share it between the hands or set hand_span; {CAUTION}"
    return Problem.remark(place_of(device, high), "theory.reach", text, hint)


def check_notes_in_hand(device: Device) -> Problem | None:
    """Remarks on a moment at which a hand holds more than five notes."""
    for hand, notes in _held(device.passage):
        if len(notes) > _FINGERS:
            text = f"the {HANDS[hand]} holds {len(notes)} notes in bar {notes[0].bar}"
            hint = "give some to the other hand, or let one finger take two keys"
            return Problem.remark(place_of(device, notes[-1]), "theory.notes-in-hand", text, hint)
    return None


def check_crossing(device: Device) -> Problem | None:
    """Remarks on the first moment at which the left hand reaches the right or passes it."""
    struck = [note for note in attacks(device.passage) if not note.grace]
    for onset in sorted({note.onset for note in struck}):
        sounding = [note for note in struck if note.onset <= onset < note.end]
        low = min((note for note in sounding if note.hand is Hand.RIGHT), key=_midi, default=None)
        high = max((note for note in sounding if note.hand is Hand.LEFT), key=_midi, default=None)
        if low is None or high is None or _midi(high) < _midi(low):
            continue
        crossing = "the hands cross" if _midi(high) > _midi(low) else "the hands meet on one key"
        bar = device.passage.bar_at(onset).number
        text = f"{crossing} in bar {bar}: left {_pitch(high)}, right {_pitch(low)}"
        return Problem.remark(place_of(device, high), "theory.crossing", text, "let one hand take both notes")
    return None


def check_speed(device: Device) -> Problem | None:
    """Remarks on the first run of a hand that is fast at the tempo of the device."""
    if device.tempo is None:
        return None
    quarters_a_second = Fraction(device.tempo, 60) * device.passage.meter.beat
    for hand in device.passage.hands:
        struck = strikes(device.passage, hand_voices(device.passage, hand))
        for run in zip(*(struck[start:] for start in range(_RUN)), strict=False):
            rate = (_RUN - 1) / (run[-1].onset - run[0].onset) * quarters_a_second
            limit, what = _limit(run)
            if rate > limit:
                text = f"the {HANDS[hand]} {what.format(f'{float(rate):.1f}')} a second in bar {run[0].bar}"
                place = place_of(device, run[0].struck[0])
                return Problem.remark(place, "theory.speed", f"{text} at tempo {device.tempo}", _SLOWLY)
    return None


def _limit(run: Sequence[Strike]) -> tuple[int, str]:
    """Gives how many strikes of a run a second are fast, and how to say it."""
    if len({tuple(note.pitch for note in strike.struck) for strike in run}) == 1:
        return _FAST_REPEATED, "strikes the same keys {} times"
    if all(len(strike.struck) > 1 for strike in run):
        return _FAST_REPEATED, "strikes {} chords"
    return _FAST_LINE, "plays {} notes"


def place_of(device: Device, note: Note) -> Place:
    """Gives the place of a note, or of the notation where the note has none of its own."""
    return note.head.place if note.head.place.file else device.notation_place


def _held(passage: Passage) -> Iterator[tuple[Hand, tuple[Note, ...]]]:
    """Walks through what each hand holds down whenever it strikes something, lowest first."""
    for hand in passage.hands:
        for strike in strikes(passage, hand_voices(passage, hand)):
            yield hand, strike.sounding


def _span(notes: Sequence[Note]) -> int:
    return notes[-1].pitch.midi - notes[0].pitch.midi


def _distance_in(key: Placement, low: Note, high: Note) -> float:
    return distance_mm(low.pitch.midi + key.shift(low.hand), high.pitch.midi + key.shift(high.hand))


def _pitch(note: Note) -> str:
    return pretty(str(note.pitch))


def _midi(note: Note) -> int:
    return note.pitch.midi
