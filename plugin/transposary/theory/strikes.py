"""What is struck, what sounds then, and to which chord a note belongs.

A *strike* is a moment at which something is struck; a *chord struck* is everything that sounds
then, notes held from earlier included. Ties are merged: a tied note is struck once.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import groupby

from transposary.notes import Note, attacks, notes, remembered
from transposary.passage import Passage, Symbol
from transposary.theory.beats import name_place

_EIGHTH = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Strike:
    """A moment at which something is struck.

    Attributes:
        onset: In quarter notes from the first downbeat.
        bar: Number of its bar.
        struck: The notes struck, lowest first; a pitch that two voices strike stands once.
        held: The notes that still sound from earlier, lowest first.
        graces: Grace notes that lead to it, each a single note or several struck together.
    """

    onset: Fraction
    bar: int
    struck: tuple[Note, ...]
    held: tuple[Note, ...] = ()
    graces: tuple[tuple[Note, ...], ...] = ()

    @property
    def sounding(self) -> tuple[Note, ...]:
        """The chord struck: all notes that sound, lowest first, each pitch once."""
        return _lowest_first(self.struck + self.held)


def line_voices(passage: Passage, scope: str | None) -> tuple[str, ...]:
    """Gives the voices that a claim about lines judges: the one named, or all."""
    return tuple(voice.name for voice in passage.voices if scope in (None, voice.name))


def hand_voices(passage: Passage, scope: str | None) -> tuple[str, ...]:
    """Gives the voices that a claim about sounds judges.

    `RH` and `LH` name the hand with both its voices, `RH2` and `LH2` the second voice alone,
    None everything together.
    """
    return tuple(voice.name for voice in passage.voices if scope in (None, voice.name, voice.hand.value))


@dataclass(frozen=True)
class Hearing:
    """A passage as it is heard, for whoever asks more than one thing of it.

    Attributes:
        passage: The passage.
    """

    passage: Passage

    @cached_property
    def attacks(self) -> tuple[Note, ...]:
        """What `attacks` lists, by onset."""
        return tuple(sorted(attacks(self.passage), key=lambda note: note.onset))

    @cached_property
    def graces(self) -> tuple[tuple[Note, ...], ...]:
        """The grace notes, each a single note or several struck together."""
        numbered = iter(notes(self.passage))
        found = []
        for voice in self.passage.voices:
            for event in voice.events:
                found += [tuple(next(numbered) for _ in grace.heads) for grace in event.graces]
                for _ in event.heads:
                    next(numbered)
        return tuple(found)

    def strikes(self, voices: Collection[str]) -> tuple[Strike, ...]:
        """Lists the moments at which these voices strike something, in order."""
        known = self._known.get(frozenset(voices))
        if known is None:
            known = self._known[frozenset(voices)] = self._listed(voices)
        return known

    @cached_property
    def _known(self) -> dict[frozenset[str], tuple[Strike, ...]]:
        return {}

    def _listed(self, voices: Collection[str]) -> tuple[Strike, ...]:
        found: list[Strike] = []
        sounding: list[Note] = []
        own = (note for note in self.attacks if note.voice in voices and not note.grace)
        for onset, group in groupby(own, key=lambda note: note.onset):
            struck = list(group)
            held = [note for note in sounding if note.end > onset]
            leading = tuple(one for one in self.graces if one[0].onset == onset and one[0].voice in voices)
            found.append(Strike(onset, struck[0].bar, _lowest_first(struck), _lowest_first(held), leading))
            sounding = held + struck
        return tuple(found)


@remembered
def hearing(passage: Passage) -> Hearing:
    """Gives a passage as it is heard, the same to all who ask."""
    return Hearing(passage)


def strikes(passage: Passage, voices: Collection[str]) -> tuple[Strike, ...]:
    """Lists the moments at which these voices strike something, in order."""
    return hearing(passage).strikes(voices)


def chords_of(passage: Passage, note: Note) -> tuple[Symbol, ...]:
    """Gives the chord symbols that a note may be counted from, the one it belongs to first.

    Usually there is one: the symbol that holds when the note is struck; a note before the first
    symbol belongs to that one. A note struck at most an eighth before a new symbol and held into
    it anticipates: it belongs to the coming chord, and may be counted from the one that holds.

    Args:
        passage: The passage.
        note: A note as `attacks` lists it, so that its end counts its ties.
    """
    holding = passage.chord_at(note.onset)
    if holding is None:
        return ()
    begun, latest, end = note.onset, note.onset + _EIGHTH, note.end
    for symbol in passage.symbols:
        onset = symbol.onset
        if onset > latest or onset >= end:
            break
        if onset > begun and symbol.chord is not None:
            return (symbol,) if symbol == holding else (symbol, holding)
    return (holding,)


def beat_of(passage: Passage, onset: Fraction) -> Fraction:
    """Gives the beat of a moment, counted from 1; a pickup is counted from its end.

    Where a repeat sign divides a bar, its second part goes on counting.
    """
    bar = passage.bar_at(onset)
    earlier = [one for one in passage.bars if one.number == bar.number and one.onset < bar.onset]
    return bar.beat_at(onset) + sum((one.duration for one in earlier), Fraction(0)) / bar.meter.beat


def where(passage: Passage, onset: Fraction) -> str:
    """Says for a message where a moment lies: `bar 1, beat 2&`; a pickup is bar 0."""
    bar = passage.bar_at(onset)
    return f"bar {bar.number}, beat {name_place(beat_of(passage, onset), compound=bar.meter.compound)}"


def _lowest_first(found: Sequence[Note]) -> tuple[Note, ...]:
    by_pitch = {note.pitch: note for note in reversed(found)}
    return tuple(sorted(by_pitch.values(), key=lambda note: (note.pitch.midi, note.pitch.step)))
