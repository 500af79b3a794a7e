"""How the cost of finding fits grows: `python tests/bench/fits.py`.

Songs and devices are generated. Every device looks for two chords of its own and is planted in
five songs, whatever their number, between chords that no device looks for, so that its hits stay
constant. Times are of one core; the ratios are what counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import permutations
from random import Random
from time import process_time

from transposary.glossary import Device, Role
from transposary.passage import Bar, Chord, Clef, Event, Head, Key, Meter, Passage, Symbol, Voice
from transposary.pitch import NoteName, Pitch
from transposary.problems import Place
from transposary.repertoire import fits_of, repertoire_of
from transposary.song import ChartBar, ChartChord, PlayedBar, Song
from transposary.theory.keys import SLOTS
from transposary.theory.numerals import Numeral, parse_numeral, realise

METER = Meter(4, 4)
WHOLE = Fraction(4)
NOWHERE = Place("")
PLANTED = 5
LIMIT = 15
WANTED = ("I", "bII", "II", "bIII", "III", "IV", "#IV", "V", "bVI", "VI", "bVII", "VII")
KINDS = ("5", "+", "sus4")


def _numeral(text: str) -> Numeral:
    found = parse_numeral(text)
    assert isinstance(found, Numeral), found
    return found


PAIRS = list(permutations([_numeral(root + kind) for root in WANTED for kind in KINDS], 2))
FILLER = [_numeral(text) for text in ("I", "ii", "iii", "vi")]


def device(number: int) -> Device:
    """Makes the device of a number: two whole notes over its two chords, in C."""
    chords = [realise(numeral, Key(NoteName(0))) for numeral in PAIRS[number]]
    onsets = [WHOLE * at for at in range(2)]
    events = tuple(
        Event(onset, WHOLE, (Head(_pitch(chord)),)) for onset, chord in zip(onsets, chords, strict=True)
    )
    symbols = tuple(
        Symbol(onset, at, chord) for at, (onset, chord) in enumerate(zip(onsets, chords, strict=True), 1)
    )
    bars = tuple(Bar(at, onset, WHOLE, METER) for at, onset in enumerate(onsets, 1))
    voice = Voice("LH", events, ((Fraction(0), Clef.BASS),))
    passage = Passage(((Fraction(0), Key(NoteName(0))),), bars, (voice,), symbols)
    name = f"device-{number}"
    return Device(name, name, name, (Role.BASS,), passage, NOWHERE, NOWHERE)


def _pitch(chord: Chord) -> Pitch:
    return Pitch.parse(f"{chord.root}3")


def songs(count: int, rng: Random) -> list[Song]:
    """Makes songs in which each of as many devices stands five times."""
    places = [number for number in range(count) for _ in range(PLANTED)]
    rng.shuffle(places)
    return [_song(number, places[number::count], rng) for number in range(count)]


def _song(number: int, planted: Sequence[int], rng: Random) -> Song:
    key = Key(NoteName.parse(rng.choice(SLOTS)))
    row: list[Numeral] = []
    for one in planted:
        row += [*rng.sample(FILLER, 2), *PAIRS[one]]
    bars = [
        ChartBar((ChartChord(Fraction(1), WHOLE, realise(one, key)),), METER, key)
        for one in [*row, rng.choice(FILLER)]
    ]
    played = tuple(PlayedBar(at, "A", 1, at, bar) for at, bar in enumerate(bars, 1))
    return Song(f"song-{number}", "Song", key, METER, NOWHERE, (), (), played)


def seconds(devices: Sequence[Device], repertoire: Sequence[Song]) -> tuple[float, int]:
    """Measures finding all fits, the best of five times; gives the time and how many were found."""
    times = []
    for _ in range(5):
        start = process_time()
        index = repertoire_of(repertoire)
        found = sum(len(fits_of(one, index)) for one in devices)
        times.append(process_time() - start)
    return min(times), found


def main() -> None:
    """Prints the times and their ratios; fails where the growth is above its limit."""
    rng = Random(1)  # noqa: S311  (test data, no secret)
    few, many = songs(100, rng), songs(1000, rng)
    devices = [device(number) for number in range(1000)]
    small, small_hits = seconds(devices[:100], few)
    large, large_hits = seconds(devices, many)
    one, _ = seconds(devices, many[:1])
    more, _ = seconds(devices, [*many, songs(1, rng)[0]])
    print(f"100 x 100: {small:.2f} s, {small_hits} fits; 1000 x 1000: {large:.2f} s, {large_hits} fits")
    print(f"growth {large / small:.1f}-fold, at most {LIMIT}")
    print(f"one song more: {more:.2f} s, {more / large:.2f} of before; alone {one:.2f} s, {one / large:.2f}")
    assert large / small <= LIMIT


if __name__ == "__main__":
    main()
