"""The twelve keys of a device: slots, how each tonic is spelled, and in which register it lies."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from transposary.notes import notes
from transposary.passage import Hand, Key, Mode, Passage
from transposary.pitch import Interval, NoteName, Pitch, pretty
from transposary.problems import Fault
from transposary.settings import Settings
from transposary.theory.registers import PIANO, close_pairs, too_low

SLOTS: tuple[str, ...] = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
UNISON = Interval(0, 0)
WIDEST_SIGNATURE = 7

_KEY = re.compile(r"\s*([A-G](?:bb|b|##|#|♭♭|♭|♯♯|♯|))\s*([A-Za-z]*)\s*")
_MODES = {"": Mode.MAJOR, "m": Mode.MINOR, "ionian": Mode.MAJOR, "aeolian": Mode.MINOR}
_MODES |= {mode.value: mode for mode in Mode}
# Octaves to try, the fewest first, up before down.
_COUNTS = tuple(sorted(range(-8, 9), key=lambda count: (abs(count), -count)))


def slot_of(name: NoteName) -> str:
    """Gives the slot of a tonic, one a pitch class, whatever its spelling."""
    return SLOTS[name.pitch_class]


def tonic_of(slot: str, mode: Mode, tonics: Mapping[str, str]) -> NoteName:
    """Spells the tonic of a slot.

    The signature with fewer accidentals wins; a tie goes to a natural letter, then to flats
    (G♭ major, E♭ minor, F locrian).

    Args:
        slot: One of `SLOTS`.
        mode: The mode.
        tonics: Spellings that override the rule, such as `{"Gb major": "F#"}`; they have
            passed `check_tonics`.
    """
    chosen = tonics.get(f"{slot} {mode}")
    return _plainest(slot, mode) if chosen is None else NoteName.parse(chosen)


@cache
def _plainest(slot: str, mode: Mode) -> NoteName:
    near = NoteName.parse(slot)
    twins = (NoteName(near.fifths + turn) for turn in (-12, 0, 12))
    return min(
        twins,
        key=lambda name: (abs(Key(name, mode).signature), name.alter != 0, Key(name, mode).signature > 0),
    )


def check_tonics(tonics: Mapping[str, str]) -> tuple[Fault, ...]:
    """Finds the overrides of tonics that cannot be followed; the offset is that of the entry."""
    found = []
    for place, (where, spelled) in enumerate(tonics.items()):
        slot, _, mode = where.partition(" ")
        if slot not in SLOTS or mode not in tuple(Mode):
            text = f"expected a slot and a mode such as 'Gb major', found '{where}'"
            found.append(Fault(place, text, f"the slots are {' '.join(SLOTS)}"))
            continue
        key = parse_key(f"{spelled} {mode}")
        if isinstance(key, Fault):
            found.append(Fault(place, f"{where}: {key.text}", key.hint))
        elif slot_of(key.tonic) != slot:
            found.append(Fault(place, f"{where}: '{spelled}' is another key on the keyboard"))
    return tuple(found)


def parse_key(text: str) -> Key | Fault:
    """Reads a key: `D`, `Bm`, `B minor`, `F♯ minor`, `D dorian`.

    Mode names may be shortened to three letters, as in ABC.
    """
    match = _KEY.fullmatch(text)
    if match is None:
        return _no_key(text)
    mode = _mode(match[2])
    if mode is None:
        near = difflib.get_close_matches(match[2].lower(), [*_MODES], n=1)
        hint = f"did you mean '{match[1]} {near[0]}'?" if near else f"the modes are {', '.join(Mode)}"
        return Fault(match.start(2), f"expected a mode, found '{match[2]}'", hint)
    key = Key(NoteName.parse(match[1]), mode)
    if abs(key.signature) > WIDEST_SIGNATURE:
        sign = "sharps" if key.signature > 0 else "flats"
        better = tonic_of(slot_of(key.tonic), mode, {})
        text = f"{key} would need {abs(key.signature)} {sign} in its signature"
        return Fault(match.start(1), text, f"write '{better} {mode}'")
    return key


def _mode(text: str) -> Mode | None:
    if text == "M":
        return Mode.MAJOR
    word = text.lower()
    if len(word) == 3:
        word = next((name for name in _MODES if name.startswith(word)), word)
    return _MODES.get(word)


def _no_key(text: str) -> Fault:
    expected = "expected a key such as 'D', 'B minor' or 'D dorian'"
    capital = text[:1].upper() + text[1:]
    hint = ""
    if text[:1] in tuple("abcdefg") and not isinstance(parse_key(capital), Fault):
        hint = f"write the tonic as a capital: '{capital}'"
    if text[:1] == "H" and not isinstance(parse_key("B" + text[1:]), Fault):
        hint = f"the note H is called B here: write 'B{text[1:]}'"
    return Fault(0, f"{expected}, found '{text}'" if text else f"{expected}, found nothing", hint)


def pretty_key(key: Key) -> str:
    """Writes a key for readers: `E♭ major`, `F♯ minor`."""
    return f"{pretty(str(key.tonic))} {key.mode}"


def key_at(passage: Passage, onset: Fraction) -> Key:
    """Gives the key in force at a moment; a pickup has the key of the start."""
    holding = passage.key
    for begun, key in passage.keys:
        if begun > onset:
            break
        holding = key
    return holding


def between_tonics(low: NoteName, high: NoteName) -> Interval:
    """Gives the nearest way from a tonic to another one; up where a tritone leads either way."""
    fifths = high.fifths - low.fifths
    semitones = fifths * 7 % 12
    return Interval.of(fifths, semitones if semitones <= len(SLOTS) // 2 else semitones - len(SLOTS))


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a device lies in one of its twelve keys.

    Attributes:
        slot: The slot.
        key: The key, spelled.
        interval: From the home tonic to this one, at most a tritone either way.
        octaves: Whole octaves added to each hand beyond `interval`.
    """

    slot: str
    key: Key
    interval: Interval
    octaves: tuple[tuple[Hand, int], ...]

    @property
    def moved(self) -> bool:
        """Whether a hand was moved by an octave."""
        return any(count for _, count in self.octaves)

    def shift(self, hand: Hand) -> int:
        """Gives the semitones by which a hand moves from the home key."""
        return self.interval.semitones + 12 * dict(self.octaves)[hand]


def list_keys(keys: Sequence[Placement]) -> str:
    """Lists keys for a message: `E♭`, `C, D♭ and G`, `every key`."""
    if len(keys) == len(SLOTS):
        return "every key"
    *first, last = (pretty(str(key.key.tonic)) for key in keys)
    return f"{', '.join(first)} and {last}" if first else last


def placements(
    passage: Passage, compass: tuple[Pitch, Pitch] | None, settings: Settings
) -> tuple[Placement, ...]:
    """Places a passage in its twelve keys, in the order of `SLOTS`.

    Each key lies within a tritone of the home register. All hands move together by octaves,
    as few as will do, and only where a note would leave the piano or the compass, or where a
    close interval would fall below its low-interval limit though the home key kept it. Where
    no octave mends that, nothing moves and the remarks on playability say what is wrong.

    Args:
        passage: In the home key, which stays as the author wrote it.
        compass: Lowest and highest pitch that no key may leave, or None.
        settings: For the spelling of tonics.
    """
    limits = _Limits.of(passage, compass)
    return tuple(_placement(passage, slot, limits, settings) for slot in SLOTS)


def placement(
    passage: Passage, compass: tuple[Pitch, Pitch] | None, settings: Settings, slot: str
) -> Placement:
    """Places a passage in one key; see `placements`."""
    return _placement(passage, slot, _Limits.of(passage, compass), settings)


@dataclass(frozen=True, slots=True)
class _Limits:
    """What must hold in every key, in MIDI numbers of the home key."""

    lowest: int
    highest: int
    bottom: int
    top: int
    clear: frozenset[tuple[int, int]]

    @classmethod
    def of(cls, passage: Passage, compass: tuple[Pitch, Pitch] | None) -> _Limits:
        midi = [note.pitch.midi for note in notes(passage)] or [PIANO[0].midi]
        bottom, top = compass or PIANO
        pairs = {(low.pitch.midi, high.pitch.midi) for low, high in close_pairs(passage)}
        clear = frozenset(pair for pair in pairs if not too_low(*pair))
        return cls(min(midi), max(midi), max(bottom.midi, PIANO[0].midi), min(top.midi, PIANO[1].midi), clear)

    def inside(self, semitones: int) -> bool:
        return self.bottom <= self.lowest + semitones and self.highest + semitones <= self.top

    def clean(self, semitones: int) -> bool:
        return not any(too_low(low + semitones, high + semitones) for low, high in self.clear)


def _placement(passage: Passage, slot: str, limits: _Limits, settings: Settings) -> Placement:
    home = passage.key
    if slot == slot_of(home.tonic):
        return Placement(slot, home, UNISON, tuple((hand, 0) for hand in passage.hands))
    tonic = tonic_of(slot, home.mode, settings.tonics)
    ways = _ways(home.tonic, tonic)
    interval, octaves = min(
        ((way, _octaves(way, limits)) for way in ways),
        key=lambda choice: (abs(choice[1]), ways.index(choice[0])),
    )
    return Placement(slot, Key(tonic, home.mode), interval, tuple((hand, octaves) for hand in passage.hands))


def _ways(home: NoteName, tonic: NoteName) -> tuple[Interval, ...]:
    """Gives the intervals of at most a tritone that lead to a tonic: one, or a tritone up and down."""
    fifths = tonic.fifths - home.fifths
    up = fifths * 7 % 12
    return tuple(Interval.of(fifths, semitones) for semitones in (up, up - 12) if abs(semitones) <= 6)


def _octaves(interval: Interval, limits: _Limits) -> int:
    """Finds the fewest octaves that mend a register, 0 where none does; up before down."""
    inside = (count for count in _COUNTS if limits.inside(interval.semitones + 12 * count))
    nearest = next(inside, 0)
    clean = (count for count in (nearest, *inside) if limits.clean(interval.semitones + 12 * count))
    return next(clean, nearest)
