"""Names for notes of which only the sound is known: spelled for a key and its chords.

Notes of the key have its names. The others go by their direction where they move on by a semitone,
all but ♭3 and ♭7, which are blue unless they enclose the note above them; else they are first taken
for ♭2 ♭3 ♯4 ♭6 ♭7 of the tonic, and in minor for the raised 6 and 7. Then whatever `spelling` would
remark on is mended: tones of the sounding chord are spelled as the symbol spells them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from transposary.passage import Event, Head, Key, Mode, Passage
from transposary.pitch import Degree, Interval, NoteName, Pitch
from transposary.theory.scales import key_degrees
from transposary.theory.spelling import respelled, spelling_slips

_CHROMATIC = tuple(map(Degree.parse, ("b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7")))
_RAISED = {
    Mode.MINOR: (Degree.parse("7"), Degree.parse("6")),
    Mode.MIXOLYDIAN: (Degree.parse("7"),),
}
_SEMITONE = Interval(1, 1)
_BLUE = frozenset(map(Degree.parse, ("b3", "b7")))
_ROUNDS = 4


@dataclass(frozen=True, slots=True)
class Motion:
    """Where a note comes from and where it goes, as MIDI numbers.

    Attributes:
        before: The note before it in a line; None in chords.
        after: What its hand strikes next.
    """

    before: int | None = None
    after: frozenset[int] = frozenset()


_NO_MOTION = Motion()


def name_number(number: int, key: Key, motion: Motion = _NO_MOTION) -> Pitch:
    """Spells a MIDI number as a note of a key, or as what is usual beside its notes.

    Args:
        number: The number.
        key: The key.
        motion: What its hand strikes before and after it, where that is known.
    """
    degrees = (*_degrees(key), *_CHROMATIC)
    degree = next(one for one in degrees if one.above(key.tonic).pitch_class == number % 12)
    usual = pitch_of(number, degree.above(key.tonic))
    rises, falls = number + 1 in motion.after, number - 1 in motion.after
    if degree in _degrees(key) or rises == falls:
        return usual
    encloses = motion.before in (number + 2, number + 3)
    if degree in _BLUE and not (rises and encloses):
        return usual
    aim = name_number(number + 1 if rises else number - 1, key)
    return aim.up(-_SEMITONE if rises else _SEMITONE)


def motions(strikes: Sequence[tuple[Fraction, Sequence[int]]]) -> dict[tuple[Fraction, int], Motion]:
    """Finds where each note of a hand comes from and where it goes.

    Notes struck again move when they are left. Between chords of as many notes each goes to the one
    of its rank.

    Args:
        strikes: Onsets in order, each with the MIDI numbers struck there from the lowest up.
    """
    found = {}
    for index, (onset, numbers) in enumerate(strikes):
        for rank, number in enumerate(numbers):
            before = _other(strikes[:index][::-1], numbers)
            after = _other(strikes[index + 1 :], numbers)
            alone = len(numbers) == len(before) == 1
            going = after[rank : rank + 1] if len(after) == len(numbers) else after
            found[onset, number] = Motion(before[0] if alone else None, frozenset(going))
    return found


def _other(strikes: Sequence[tuple[Fraction, Sequence[int]]], numbers: Sequence[int]) -> Sequence[int]:
    return next((other for _, other in strikes if list(other) != list(numbers)), ())


def _degrees(key: Key) -> tuple[Degree, ...]:
    return (*key_degrees(key), *_RAISED.get(key.mode, ()))


def pitch_of(number: int, name: NoteName) -> Pitch:
    """Gives the pitch of a MIDI number under a name that sounds alike."""
    step = 7 * (number // 12 - 1)
    near = (Pitch(step + offset, name.alter) for offset in range(-1, 9))
    return next(one for one in near if one.name == name and one.midi == number)


def respell(passage: Passage) -> Passage:
    """Mends the spelling of a passage until nothing is left to remark on."""
    for _ in range(_ROUNDS):
        slips = {
            (slip.note.voice, slip.note.onset, slip.note.pitch): slip for slip in spelling_slips(passage)
        }
        if not slips:
            break
        names = {place: respelled(slip.note.pitch, slip.wanted) for place, slip in slips.items()}
        passage = _renamed(passage, names)
    return passage


def _renamed(passage: Passage, names: dict[tuple[str, Fraction, Pitch], Pitch]) -> Passage:
    voices = []
    for voice in passage.voices:
        events: list[Event] = []
        tied: dict[Pitch, Pitch] = {}
        for event in voice.events:
            heads = []
            going: dict[Pitch, Pitch] = {}
            for head in event.heads:
                pitch = tied.get(head.pitch) or names.get((voice.name, event.onset, head.pitch), head.pitch)
                if head.tied:
                    going[head.pitch] = pitch
                heads.append(replace(head, pitch=pitch))
            tied = going
            events.append(replace(event, heads=tuple(sorted(heads, key=_height))))
        voices.append(replace(voice, events=tuple(events)))
    return replace(passage, voices=tuple(voices))


def _height(head: Head) -> tuple[int, int]:
    return head.pitch.midi, head.pitch.step
