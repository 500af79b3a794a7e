"""Whether notes are spelled as what they are.

A spelling slip misleads the reader and comes out wrong in other keys, but it changes nothing that
is heard: it is a remark. Where it contradicts a claim, that claim says so as an error.

What is judged, in this order (common practice, no source):

- The blue ♭3, ♭5 and ♭7 of the key or of the chord are never misspelled.
- A tone of the sounding chord is spelled as the symbol spells it. The tones of diminished
  sevenths and augmented triads, which divide the octave evenly, go by their direction; ♯5 and
  ♭13 may stand for each other, so may ♭5 and ♯11, and ♭3 for ♯9.
- Notes of the key are well spelled, in minor the raised 6 and 7 too, and the raised 7 of mixolydian;
  so are those of the major scale on the chord's root (the 7 of a bebop line over a dominant).
- Any other note that moves on by a semitone is spelled by its direction: rising sharp, falling
  flat. ♯4 serves in both directions.
- One that does not is ♭9 ♯9 ♯11 ♭13 of the chord or ♯1 ♭2 ♯2 ♯4 ♯5 ♭6 of the key, never ♯3 ♯6 ♯7
  ♭1 ♭4.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from transposary.glossary import Device
from transposary.notes import Note, attacks
from transposary.passage import Chord, Key, Mode, Passage
from transposary.pitch import Degree, Interval, NoteName, Pitch
from transposary.problems import Problem
from transposary.theory.degrees import degree_over
from transposary.theory.hands import place_of
from transposary.theory.keys import key_at
from transposary.theory.scales import key_degrees
from transposary.theory.strikes import chords_of, where

_RULE = "theory.spelling"
_BLUE = frozenset(map(Degree.parse, ("b3", "b5", "b7")))
_TENSIONS = frozenset(map(Degree.parse, ("b2", "#2", "#4", "b6")))
# What the symbol spells, and what may stand for it.
_TWINS = frozenset(
    (Degree.parse(tone), Degree.parse(twin))
    for tone, twin in (("#5", "b6"), ("b6", "#5"), ("b5", "#4"), ("#4", "b5"), ("#2", "b3"))
)
_FREE = frozenset(map(Degree.parse, ("#1", "b2", "#2", "#4", "#5", "b6")))
_RAISED = {Mode.MINOR: (Degree.parse("6"), Degree.parse("7")), Mode.MIXOLYDIAN: (Degree.parse("7"),)}
_USUAL = tuple(map(Degree.parse, ("1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7")))
_SYMMETRICAL = (frozenset({0, 3, 6, 9}), frozenset({0, 4, 8}))
_SHARP_FOUR = Degree(4, 1)
_MINOR_SECOND = Interval(1, 1)


@dataclass(frozen=True, slots=True)
class Slip:
    """A note that is not spelled as what it is.

    Attributes:
        note: The note.
        wanted: How it should be spelled.
        reason: What it is, for the message.
    """

    note: Note
    wanted: NoteName
    reason: str


def check_spelling(device: Device) -> tuple[Problem, ...]:
    """Remarks on notes whose spelling contradicts what they are."""
    return tuple(
        Problem.remark(
            place_of(device, slip.note),
            _RULE,
            f"{slip.note.pitch} in {where(device.passage, slip.note.onset)} {slip.reason}",
            f"spell it {respelled(slip.note.pitch, slip.wanted)}",
        )
        for slip in spelling_slips(device.passage)
    )


def spelling_slips(passage: Passage) -> tuple[Slip, ...]:
    """Finds the notes that are not spelled as what they are, in the order of `notes`."""
    struck = attacks(passage)
    slips = []
    for voice in passage.voices:
        line = [note for note in struck if note.voice == voice.name]
        for index, note in enumerate(line):
            slip = _judge(passage, note, _next(line, index))
            if slip is not None:
                slips.append(slip)
    return tuple(slips)


def respelled(pitch: Pitch, name: NoteName) -> Pitch:
    """Gives the pitch that sounds alike under another name."""
    near = (Pitch(pitch.step + step, name.alter) for step in range(-3, 4))
    return next(one for one in near if one.name == name and one.midi == pitch.midi)


def _next(line: Sequence[Note], index: int) -> tuple[Note, ...]:
    """Gives what the voice strikes next after a note."""
    note = line[index]
    later = [one for one in line[index + 1 :] if one.onset > note.onset or (note.grace and not one.grace)]
    return tuple(one for one in later if one.onset == later[0].onset and one.grace == later[0].grace)


def _judge(passage: Passage, note: Note, following: Sequence[Note]) -> Slip | None:
    key = key_at(passage, note.onset)
    chords = [symbol.chord for symbol in chords_of(passage, note) if symbol.chord is not None]
    name = note.pitch.name
    if any(Degree.between(root, name) in _BLUE for root in (key.tonic, *(chord.root for chord in chords))):
        return None
    meant = [(chord, wanted) for chord in chords if (wanted := _as_chord_tone(chord, name)) is not None]
    if any(wanted == name for _, wanted in meant):
        return None
    if meant:
        chord, wanted = meant[0]
        tones = (str(degree_over(chord, wanted)), str(degree_over(chord, name)))
        return Slip(note, wanted, f"is the {tones[0]} of {chord}, spelled as its {tones[1]}")
    if _in_key(name, key) or any(Degree.between(chord.root, name).alter == 0 for chord in chords):
        return None
    if any(abs(note.pitch.to(other.pitch).semitones) == 1 for other in following):
        return _by_direction(note, following, key)
    return _without_direction(note, key, chords)


def _as_chord_tone(chord: Chord, name: NoteName) -> NoteName | None:
    """Spells a note as the chord does; None where it is no tone of the chord."""
    if frozenset(tone.semitones % 12 for tone in chord.tones) in _SYMMETRICAL:
        return None
    tones = [*chord.names, *([chord.bass] if chord.bass else [])]
    wanted = next((tone for tone in tones if tone.pitch_class == name.pitch_class), None)
    if wanted is None:
        return None
    pair = (Degree.between(chord.root, wanted), Degree.between(chord.root, name))
    return name if pair in _TWINS else wanted


def _in_key(name: NoteName, key: Key) -> bool:
    degree = Degree.between(key.tonic, name)
    return degree in key_degrees(key) or degree in _RAISED.get(key.mode, ())


def _by_direction(note: Note, following: Sequence[Note], key: Key) -> Slip | None:
    steps = [note.pitch.to(other.pitch) for other in following]
    degree = Degree.between(key.tonic, note.pitch.name)
    if degree == _SHARP_FOUR or any(step in (_MINOR_SECOND, -_MINOR_SECOND) for step in steps):
        return None
    for semitones, verb in ((1, "rises"), (-1, "falls")):
        for other, step in zip(following, steps, strict=True):
            if step.semitones == semitones:
                wanted = NoteName(other.pitch.name.fifths - semitones * _MINOR_SECOND.fifths)
                return Slip(note, wanted, f"{verb} by a semitone to {other.pitch}")
    return None


def _without_direction(note: Note, key: Key, chords: Sequence[Chord]) -> Slip | None:
    name = note.pitch.name
    degree = Degree.between(key.tonic, name)
    if degree in _FREE or any(Degree.between(chord.root, name) in _TENSIONS for chord in chords):
        return None
    usual = (one.above(key.tonic) for one in (*key_degrees(key), *_USUAL))
    wanted = next(one for one in usual if one.pitch_class == name.pitch_class)
    return Slip(note, wanted, f"is spelled as the {degree} of {key}")
