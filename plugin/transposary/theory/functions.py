"""What each note does over the chord of the moment.

The names and their definitions are those of the textbooks: how a note is approached and how it
is left decides (Kostka & Payne, Tonal Harmony, table of nonchord tones; Open Music Theory,
"Embellishing tones"). Approach notes and enclosures are the names that players use for
chromatic and surrounding notes that lead into a chord tone (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import groupby

from transposary.notes import Note, attacks, remembered
from transposary.passage import Chord, Passage, Symbol
from transposary.pitch import Pitch
from transposary.theory.strikes import beat_of, chords_of
from transposary.theory.tensions import available_tensions, chord_semitones, over_root

_STEP = 2
_VOICING = 3


class Function(StrEnum):
    """What a note does; the value is the trade's name."""

    CHORD_TONE = "chord tone"
    TENSION = "available tension"
    PASSING = "passing note"
    NEIGHBOUR = "neighbour note"
    FROM_BELOW = "approach from below"
    FROM_ABOVE = "approach from above"
    ENCLOSURE = "enclosure"
    APPOGGIATURA = "appoggiatura"
    ESCAPE = "escape note"
    ANTICIPATION = "anticipation"
    SUSPENSION = "suspension"
    PEDAL = "pedal note"
    FREE = "free note"
    UNJUDGED = "no chord"


@dataclass(frozen=True, slots=True)
class _Moment:
    """A struck note with its melodic surroundings.

    Attributes:
        note: The note.
        before: The note before it in its line.
        after: The note behind it.
        run: First and last of the unbroken run of equal notes of its voice in which it stands.
    """

    note: Note
    before: Note | None
    after: Note | None
    run: tuple[Note, Note]


@remembered
def note_functions(passage: Passage) -> Mapping[int, Function]:
    """Gives the function of every struck note by its index; grace notes are left out.

    A note held over a change of chord is judged at its attack, unless the change makes it a
    suspension.
    """
    struck = [note for note in attacks(passage) if not note.grace]
    lines = _lines(struck)
    found = {moment.note.index: _judge(passage, moment, struck) for moment in lines}
    _mark_enclosures(passage, lines, found)
    return found


def _lines(struck: Sequence[Note]) -> list[_Moment]:
    moments: list[_Moment] = []
    for voice in dict.fromkeys(note.voice for note in struck):
        own = [note for note in struck if note.voice == voice]
        onsets = sorted({note.onset for note in own})
        groups = [[note for note in own if note.onset == onset] for onset in onsets]
        runs = _runs(own)
        for index, group in enumerate(groups):
            earlier = groups[index - 1] if index else []
            later = groups[index + 1] if index + 1 < len(groups) else []
            moments.extend(
                _Moment(note, _partner(note, group, earlier), _partner(note, group, later), runs[note.index])
                for note in group
            )
    return moments


def _runs(own: Sequence[Note]) -> dict[int, tuple[Note, Note]]:
    """Gives first and last of the unbroken run of equal notes in which each note of a voice stands."""
    found: dict[int, tuple[Note, Note]] = {}
    for _, run in groupby(sorted(own, key=_onset), key=_pitch):
        same = list(run)
        found |= {note.index: (same[0], same[-1]) for note in same}
    return found


def _onset(note: Note) -> Fraction:
    return note.onset


def _pitch(note: Note) -> Pitch:
    return note.pitch


def _partner(note: Note, group: Sequence[Note], others: Sequence[Note]) -> Note | None:
    """Finds the note of another moment that continues a note's line.

    Equal numbers of notes are matched in order of height, others to the nearest pitch.
    """
    if not others:
        return None
    if len(group) == len(others):
        rank = sorted(group, key=_height).index(note)
        return sorted(others, key=_height)[rank]
    return min(others, key=lambda other: (abs(_height(other) - _height(note)), -_height(other)))


def _height(note: Note) -> int:
    return note.pitch.midi


def _judge(passage: Passage, moment: _Moment, struck: Sequence[Note]) -> Function:
    """Takes the first rule that holds; their order settles what could be read in two ways."""
    note = moment.note
    symbol = passage.chord_at(note.onset)
    if symbol is None or symbol.chord is None:
        return Function.UNJUDGED
    if _is_pedal(passage, moment, struck):
        return Function.PEDAL
    if not _fits(note, symbol.chord):
        return _foreign(passage, moment, symbol.chord, struck)
    held_over = _is_held_suspension(passage, moment, struck)
    return Function.SUSPENSION if held_over else Function.CHORD_TONE


def _foreign(passage: Passage, moment: _Moment, chord: Chord, struck: Sequence[Note]) -> Function:
    """Judges a note that is no tone of the chord at its attack."""
    colours = over_root(chord, moment.note.pitch.midi) in available_tensions(chord)
    if _is_anticipation(passage, moment):
        return Function.ANTICIPATION
    if colours and _in_voicing(moment.note, struck):
        return Function.TENSION
    if _is_struck_suspension(passage, moment):
        return Function.SUSPENSION
    return _melodic(passage, moment) or (Function.TENSION if colours else Function.FREE)


def _fits(note: Note, chord: Chord | None) -> bool:
    return chord is not None and over_root(chord, note.pitch.midi) in chord_semitones(chord)


def _fits_own(passage: Passage, note: Note) -> bool:
    """Says whether a note is a tone of the chord at its attack, or of the one it anticipates."""
    return any(_fits(note, symbol.chord) for symbol in chords_of(passage, note))


def _anticipated(passage: Passage, note: Note) -> Symbol | None:
    """The coming chord that a note held into it belongs to, or None."""
    own = chords_of(passage, note)
    return own[0] if len(own) > 1 else None


def _in_voicing(note: Note, struck: Sequence[Note]) -> bool:
    together = {other.pitch.midi % 12 for other in struck if other.onset == note.onset}
    return len(together) >= _VOICING


def _next_change(passage: Passage, note: Note) -> Symbol | None:
    return next((symbol for symbol in passage.symbols if symbol.onset > note.onset), None)


def _is_anticipation(passage: Passage, moment: _Moment) -> bool:
    """A short note of the coming chord, held into it or struck again with it."""
    note, after = moment.note, moment.after
    coming = _anticipated(passage, note)
    if coming is not None:
        return _fits(note, coming.chord)
    change = _next_change(passage, note)
    return (
        change is not None
        and change.onset == note.end
        and after is not None
        and after.onset == change.onset
        and after.pitch.midi == note.pitch.midi
        and _fits(note, change.chord)
    )


def _is_held_suspension(passage: Passage, moment: _Moment, struck: Sequence[Note]) -> bool:
    """A chord tone held into a chord that it is no part of, and resolved by step."""
    note, after = moment.note, moment.after
    if _anticipated(passage, note) is not None:
        return False
    change = _next_change(passage, note)
    if change is None or change.onset >= note.end or after is None:
        return False
    if change.chord is None or _fits(note, change.chord):
        return False
    colours = over_root(change.chord, note.pitch.midi) in available_tensions(change.chord)
    if colours and _in_voicing(note, struck):
        return False
    return _resolves(note, after, passage.chord_at(after.onset))


def _is_struck_suspension(passage: Passage, moment: _Moment) -> bool:
    """The same, struck again when the chord changes instead of held."""
    note, before, after = moment.note, moment.before, moment.after
    prepared = (
        before is not None
        and before.pitch.midi == note.pitch.midi
        and before.end == note.onset
        and passage.chord_at(before.onset) != passage.chord_at(note.onset)
        and _fits_own(passage, before)
    )
    return prepared and after is not None and _resolves(note, after, passage.chord_at(after.onset))


def _resolves(note: Note, after: Note, holding: Symbol | None) -> bool:
    fall = note.pitch.midi - after.pitch.midi
    stepwise = 0 < fall <= _STEP or fall == -1
    return stepwise and holding is not None and _fits(after, holding.chord)


def _is_pedal(passage: Passage, moment: _Moment, struck: Sequence[Note]) -> bool:
    """A bass note held or repeated under a chord that it is no part of.

    It is a chord tone where it begins and where it ends; or the symbol of the foreign chord names
    it as its bass (`B♭/C`), which says that the pedal is meant.
    """
    note = moment.note
    begin, end = moment.run[0].onset, moment.run[1].end
    over = [passage.chord_at(begin), *(s for s in passage.symbols if begin < s.onset < end)]
    chords = [symbol.chord for symbol in over if symbol is not None and symbol.chord is not None]
    if len(chords) < 2:
        return False
    foreign = [chord for chord in chords if not _belongs(note, chord)]
    framed = _belongs(note, chords[0]) and _belongs(note, chords[-1])
    meant = foreign and (framed or all(chord.bass == note.pitch.name for chord in foreign))
    if not meant:
        return False
    return not any(_height(other) < _height(note) and _overlap(other, note) for other in struck)


def _belongs(note: Note, chord: Chord) -> bool:
    """Whether the note is a tone of the chord proper; a slash bass may be the pedal itself."""
    return over_root(chord, note.pitch.midi) in {tone.semitones % 12 for tone in chord.tones}


def _overlap(one: Note, other: Note) -> bool:
    return one.onset < other.end and other.onset < one.end


def _melodic(passage: Passage, moment: _Moment) -> Function | None:
    note, before, after = moment.note, moment.before, moment.after
    into = note.pitch.midi - before.pitch.midi if before is not None else None
    out = after.pitch.midi - note.pitch.midi if after is not None else None
    if out is None or after is None or out == 0:
        return None
    stepped_in = into is not None and 0 < abs(into) <= _STEP
    stepped_out = abs(out) <= _STEP
    if stepped_in and stepped_out and into is not None:
        return Function.PASSING if (into > 0) == (out > 0) else _turning(into, out)
    if stepped_out and _fits_own(passage, after):
        return _leaning(passage, note, after, out)
    if stepped_in and into is not None and (into > 0) != (out > 0):
        return Function.ESCAPE
    return None


def _turning(into: int, out: int) -> Function:
    """A step away and back is a neighbour; a step to the other side leads in from there."""
    if into == -out:
        return Function.NEIGHBOUR
    return Function.FROM_BELOW if out > 0 else Function.FROM_ABOVE


def _leaning(passage: Passage, note: Note, after: Note, out: int) -> Function:
    """A leap, then a step into a chord tone: heavier than its goal it leans, lighter it leads in."""
    if _weight(passage, note) > _weight(passage, after):
        return Function.APPOGGIATURA
    return Function.FROM_BELOW if out > 0 else Function.FROM_ABOVE


def _weight(passage: Passage, note: Note) -> int:
    """How strong the place of an attack is in its bar: 4 the downbeat, 3 a half bar, 2 a beat."""
    beat = beat_of(passage, note.onset) - 1
    if beat == 0:
        return 4
    if beat.denominator == 1:
        halves = passage.bar_at(note.onset).meter.beats / 2
        return 3 if halves.denominator == 1 and beat == halves else 2
    return 1 if beat.denominator == 2 else 0


def _mark_enclosures(passage: Passage, lines: Sequence[_Moment], found: dict[int, Function]) -> None:
    """Marks two notes that surround a chord tone from both sides and then reach it.

    Both have to be foreign to the chord; a suspension, a pedal or a turn explains itself better.
    """
    kept = (Function.CHORD_TONE, Function.SUSPENSION, Function.PEDAL, Function.ANTICIPATION)
    by_index = {moment.note.index: moment for moment in lines}
    for moment in lines:
        second = moment.after
        goal = by_index[second.index].after if second is not None else None
        if second is None or goal is None or not _fits_own(passage, goal):
            continue
        one, two = moment.note.pitch.midi - goal.pitch.midi, second.pitch.midi - goal.pitch.midi
        around = one * two < 0 and abs(one) <= _STEP and abs(two) <= _STEP
        foreign = found[moment.note.index] not in kept and found[second.index] not in kept
        if around and foreign and _not_neighbour(moment, goal):
            found[moment.note.index] = found[second.index] = Function.ENCLOSURE


def _not_neighbour(first: _Moment, goal: Note) -> bool:
    """A turn that starts on its own goal is a pair of neighbours, not an enclosure."""
    return first.before is None or first.before.pitch.midi != goal.pitch.midi
