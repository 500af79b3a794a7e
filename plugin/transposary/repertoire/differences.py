"""What became of a device where it was played: its notes against those of the version as played."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from fractions import Fraction

from transposary.glossary import AppliedIn, Device
from transposary.notes import attacks
from transposary.passage import Feel, Passage
from transposary.pitch import Degree, NoteName, pretty
from transposary.song import Song
from transposary.theory.keys import key_at, pretty_key

_RATIOS = {Fraction(2): "augmented: twice as long", Fraction(1, 2): "diminished: half as long"}
_BEATS = {Fraction(1): "a beat", Fraction(1, 2): "half a beat"}
_OCTAVES = {1: "an octave", 2: "two octaves"}


@dataclass(frozen=True, slots=True)
class Differences:
    """What a version kept of a device, and what it changed, in words."""

    kept: tuple[str, ...]
    changed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Tone:
    """A degree struck at a moment, in one octave or in several."""

    degree: Degree
    onset: Fraction
    length: Fraction
    midi: tuple[int, ...]


_Pairs = Sequence[tuple[_Tone, _Tone]]


def differences(device: Passage, feel: Feel, version: Passage, played: Feel) -> Differences:
    """Compares a version with its device.

    Degrees are aligned in the order in which they are struck, chords from below, doublings in the
    octave taken as one. Grace notes are left out.

    Args:
        device: The device, in its own key.
        feel: Its feel.
        version: The version, in the key in which it was played.
        played: The feel of the song.
    """
    own, other = _tones(device), _tones(version)
    pairs, found = _degrees(own, other)
    kept = [] if found else ["degrees"]
    rhythm = _rhythm(device, version, pairs)
    if not rhythm and pairs:
        kept.append("rhythm")
    if pairs and not rhythm and not _same_lengths(device, version, pairs):
        rhythm = ["other lengths of notes"]
    changed = [*found, *rhythm, *_doubling(own, other)]
    changed += _register(device, version, pairs)
    changed += _surroundings(device, feel, version, played)
    return Differences(tuple(kept), tuple(changed))


def became(device: Device, applied: AppliedIn, song: Song | None) -> Differences | None:
    """Says what became of a device where it was played; None without the notes played there.

    A song that the glossary does not have is taken to have the feel of the device.
    """
    if applied.notation is None:
        return None
    feel = device.feel if song is None else song.feel
    return differences(device.passage, device.feel, applied.notation, feel)


def in_a_sentence(found: Differences) -> str:
    """Says what was kept and what was changed: `Kept: degrees. Changed: an octave lower.`."""
    kept = f"Kept: {' and '.join(found.kept)}." if found.kept else ""
    changed = f"Changed: {'; '.join(found.changed)}." if found.changed else ""
    return f"{kept} {changed}".strip()


def _tones(passage: Passage) -> tuple[_Tone, ...]:
    found: dict[tuple[Fraction, NoteName], _Tone] = {}
    struck = [note for note in attacks(passage) if not note.grace]
    for note in sorted(struck, key=lambda one: (one.onset, one.pitch.midi)):
        name = note.pitch.name
        known = found.get((note.onset, name))
        midi = (*(known.midi if known else ()), note.pitch.midi)
        degree = Degree.between(key_at(passage, note.onset).tonic, name)
        length = max(note.duration, known.length) if known else note.duration
        found[note.onset, name] = _Tone(degree, note.onset, length, midi)
    return tuple(found.values())


def _degrees(own: Sequence[_Tone], other: Sequence[_Tone]) -> tuple[_Pairs, list[str]]:
    """Aligns the degrees; gives the pairs that answer to each other, and what differs."""
    matcher = SequenceMatcher(
        None, [tone.degree for tone in own], [tone.degree for tone in other], autojunk=False
    )
    pairs: list[tuple[_Tone, _Tone]] = []
    added: list[_Tone] = []
    dropped: list[_Tone] = []
    altered: list[tuple[_Tone, _Tone]] = []
    for kind, first, last, start, end in matcher.get_opcodes():
        block = list(zip(own[first:last], other[start:end], strict=False))
        pairs += block
        altered += block if kind == "replace" else []
        dropped += own[first + len(block) : last]
        added += other[start + len(block) : end]
    found = list(dict.fromkeys(f"{_show(one)} becomes {_show(two)}" for one, two in altered))
    if dropped:
        found.append(f"left out: {_list(dropped)}")
    known = {tone.degree for tone in own}
    again = [tone for tone in added if tone.degree in known]
    new = [tone for tone in added if tone.degree not in known]
    if again:
        found.append(f"struck more often: {_list(again)}")
    if new:
        found.append(f"added: {_list(new)}")
    return pairs, found


def _show(tone: _Tone) -> str:
    return pretty(str(tone.degree))


def _list(tones: Sequence[_Tone]) -> str:
    *first, last = dict.fromkeys(_show(tone) for tone in tones)
    return f"{', '.join(first)} and {last}" if first else last


def _in_beats(device: Passage, version: Passage) -> bool:
    """Says whether beats answer to beats; bars of one length take each other as they are."""
    one, two = device.meter, version.meter
    return one.compound != two.compound and one.length != two.length


def _moment(passage: Passage, quarters: Fraction, *, in_beats: bool) -> Fraction:
    return quarters / passage.meter.beat if in_beats else quarters


def _rhythm(device: Passage, version: Passage, pairs: _Pairs) -> list[str]:
    """Says how the onsets of the notes that answer to each other moved; nothing where they did not.

    Between simple and compound time beats are compared, else quarters.
    """
    in_beats = _in_beats(device, version)
    onsets = [
        (_moment(device, one.onset, in_beats=in_beats), _moment(version, two.onset, in_beats=in_beats))
        for one, two in pairs
    ]
    if not onsets:
        return []
    (start, begun), (end, ended) = onsets[0], onsets[-1]
    ratio = (ended - begun) / (end - start) if end > start else Fraction(1)
    if any(later - begun != ratio * (earlier - start) for earlier, later in onsets):
        return ["the rhythm is re-cut"]
    if ratio == 1:
        return _shift(version, begun - start, in_beats=in_beats)
    if ratio not in _RATIOS:
        return ["the rhythm is re-cut"]
    return [_RATIOS[ratio], *_shift(version, begun - ratio * start, in_beats=in_beats)]


def _shift(version: Passage, moved: Fraction, *, in_beats: bool) -> list[str]:
    """Says by how many beats everything moved; whole bars do not count."""
    beats = moved if in_beats else moved / version.meter.beat
    bar = version.meter.beats
    beats %= bar
    if beats == 0:
        return []
    if 2 * beats > bar:
        beats -= bar
    count = abs(beats)
    size = _BEATS.get(count, f"{count} beats" if count > 1 else f"{count} of a beat")
    return [f"shifted: {size} {'later' if beats > 0 else 'earlier'}"]


def _same_lengths(device: Passage, version: Passage, pairs: _Pairs) -> bool:
    in_beats = _in_beats(device, version)
    return all(
        _moment(device, one.length, in_beats=in_beats) == _moment(version, two.length, in_beats=in_beats)
        for one, two in pairs
    )


def _doubling(own: Sequence[_Tone], other: Sequence[_Tone]) -> Iterator[str]:
    before = sum(len(tone.midi) > 1 for tone in own)
    now = sum(len(tone.midi) > 1 for tone in other)
    if now > before:
        yield "doubled at the octave" if now == len(other) else "some notes doubled at the octave"
    elif now < before:
        yield "no doubling at the octave" if now == 0 else "fewer notes doubled at the octave"


def _register(device: Passage, version: Passage, pairs: _Pairs) -> Iterator[str]:
    """Says by how many octaves it left the place that its key has near the author's own."""
    near = (version.key.tonic.pitch_class - device.key.tonic.pitch_class + 5) % 12 - 5
    octaves = set()
    for one, two in pairs:
        if one.degree == two.degree:
            turns = [(low - high - near) // 12 for low in two.midi for high in one.midi]
            octaves.add(min(turns, key=lambda count: (abs(count), count)))
    if len(octaves) > 1:
        yield "some notes in another octave"
    elif octaves and (count := octaves.pop()):
        size = _OCTAVES.get(abs(count), f"{abs(count)} octaves")
        yield f"{size} {'higher' if count > 0 else 'lower'}"


def _surroundings(device: Passage, feel: Feel, version: Passage, played: Feel) -> Iterator[str]:
    if device.meter != version.meter:
        yield f"in {version.meter} in place of {device.meter}"
    if feel != played:
        yield f"{played} in place of {feel}"
    if device.key != version.key:
        yield f"in {pretty_key(version.key)} in place of {pretty_key(device.key)}"
