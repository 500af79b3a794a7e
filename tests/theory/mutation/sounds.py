"""What is heard in a passage, by a path of its own: the mutation test's second opinion.

Nothing here uses `transposary.notes` or `transposary.theory`: events are walked, ties merged,
degrees counted and bars numbered again, by small rules that can be checked by eye.
"""

from dataclasses import dataclass
from fractions import Fraction

from transposary.passage import Chord, Key, Passage

WHITE = (0, 2, 4, 5, 7, 9, 11)
FIFTHS = "FCGDAEB"
LETTERS = "CDEFGAB"


@dataclass(frozen=True)
class Sound:
    """A struck note: staff step (C4 is 28) and MIDI number, from its attack to the end of its ties."""

    voice: str
    onset: Fraction
    end: Fraction
    step: int
    midi: int


@dataclass(frozen=True)
class Struck:
    """A moment at which something is struck: the new notes and all that sound, lowest first."""

    onset: Fraction
    new: tuple[Sound, ...]
    sounding: tuple[Sound, ...]


def sounds(passage: Passage) -> list[Sound]:
    """Lists the struck notes, grace notes left out, ties merged."""
    found: list[Sound] = []
    for voice in passage.voices:
        tied: dict[tuple[int, int], Sound] = {}
        for event in voice.events:
            still: dict[tuple[int, int], Sound] = {}
            for head in event.heads:
                key = head.pitch.step, head.pitch.midi
                onset = tied[key].onset if key in tied else event.onset
                one = Sound(voice.name, onset, event.onset + event.duration, *key)
                if key in tied:
                    found.remove(tied[key])
                found.append(one)
                if head.tied:
                    still[key] = one
            tied = still
    return found


def struck(passage: Passage, voices: set[str]) -> list[Struck]:
    """Lists the moments at which some of the voices strike."""
    own = [one for one in sounds(passage) if one.voice in voices]
    return [
        Struck(
            onset,
            _sorted([one for one in own if one.onset == onset]),
            _sorted([one for one in own if one.onset <= onset < one.end]),
        )
        for onset in sorted({one.onset for one in own})
    ]


def _sorted(some: list[Sound]) -> tuple[Sound, ...]:
    unique = {(one.midi, one.step): one for one in sorted(some, key=lambda one: one.onset)}
    return tuple(unique[key] for key in sorted(unique))


def name_of(fifths: int) -> tuple[int, int]:
    """Gives a note name's letter (C is 0) and pitch class from its place on the line of fifths."""
    return LETTERS.index(FIFTHS[(fifths + 1) % 7]), fifths * 7 % 12


def degree(letter: int, midi: int, root: tuple[int, int]) -> str:
    """Counts a note from a root's major scale: letters give the number, semitones the accidental."""
    number = (letter - root[0]) % 7
    alter = (midi - root[1] - WHITE[number] + 6) % 12 - 6
    return ("b" * -alter if alter < 0 else "#" * alter) + str(number + 1)


def key_at(passage: Passage, onset: Fraction) -> Key:
    """Gives the key in force."""
    return [key for begun, key in passage.keys if begun <= max(onset, passage.keys[0][0])][-1]


def chords_at(passage: Passage, one: Sound) -> list[Chord | None]:
    """Gives the chords that a note may be counted from: the one that holds, and one anticipated."""
    before = [symbol.chord for symbol in passage.symbols if symbol.onset <= one.onset]
    holding = before[-1:] or [symbol.chord for symbol in passage.symbols[:1]]
    for symbol in passage.symbols:
        soon = 0 < symbol.onset - one.onset <= Fraction(1, 2) and one.end > symbol.onset
        if soon and symbol.chord is not None:
            return [symbol.chord, *holding]
    return holding


def bar_of(passage: Passage, onset: Fraction) -> int:
    """Gives the number of the bar in which a moment lies."""
    return next(bar.number for bar in passage.bars if onset < bar.onset + bar.duration)


def beat_of(passage: Passage, onset: Fraction) -> Fraction:
    """Gives the beat, counted from 1, of a moment; a pickup is counted from its end."""
    number = bar_of(passage, onset)
    parts = [bar for bar in passage.bars if bar.number == number]
    meter = parts[0].meter
    compound = meter.unit >= 8 and meter.count in (6, 9, 12)
    beat = Fraction(12 if compound else 4, meter.unit)
    start = parts[0].onset
    if number == 0:
        start = parts[-1].onset + parts[-1].duration - Fraction(4 * meter.count, meter.unit)
    return (onset - start) / beat + 1
