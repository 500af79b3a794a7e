"""Names for notes of which only the sound is known: spelled for a key and its chords.

Notes of the key have its names; the others are first taken for ♭2 ♭3 ♯4 ♭6 ♭7 of the tonic, and in
minor for the raised 6 and 7. Then whatever `spelling` would remark on is mended: tones of the
sounding chord are spelled as the symbol spells them, and what moves on by a semitone by its direction.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from transposary.passage import Event, Head, Key, Mode, Passage
from transposary.pitch import Degree, NoteName, Pitch
from transposary.theory.scales import key_degrees
from transposary.theory.spelling import respelled, spelling_slips

_CHROMATIC = tuple(map(Degree.parse, ("b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7")))
_ROUNDS = 4


def name_number(number: int, key: Key) -> Pitch:
    """Spells a MIDI number as a note of a key, or as what is usual beside its notes."""
    names = [degree.above(key.tonic) for degree in (*_degrees(key), *_CHROMATIC)]
    name = next(one for one in names if one.pitch_class == number % 12)
    return pitch_of(number, name)


def _degrees(key: Key) -> tuple[Degree, ...]:
    raised = tuple(map(Degree.parse, ("7", "6"))) if key.mode is Mode.MINOR else ()
    return (*key_degrees(key), *raised)


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
