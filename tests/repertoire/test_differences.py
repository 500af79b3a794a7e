"""What became of a device: pairs made by hand, each with what a player would say of it."""

from __future__ import annotations

from typing import NamedTuple

import pytest

from tests.theory.build import build
from transposary.passage import STRAIGHT, Feel, FeelKind, Passage
from transposary.repertoire.differences import Differences, differences

SWING = Feel(FeelKind.SWING)
WALK = build(LH="G2:2 A2 B2 C3:4", key="G")
LICK = build("G4:1/2 A4:1/2 B4 D5:2", key="G")
CHORDS = build("[E4 G4 B4]:2 [F4 A4 C5]:2", key="C")
SLOW = build("C4:3/2 D4:3/2", key="C", meter="6/8")


class Pair(NamedTuple):
    """A device, a version of it, and what is to be said."""

    name: str
    device: Passage
    version: Passage
    kept: tuple[str, ...]
    changed: tuple[str, ...]
    feel: Feel = STRAIGHT


BOTH = ("degrees", "rhythm")
PAIRS = [
    Pair("untouched", WALK, WALK, BOTH, ()),
    Pair(
        "another key",
        WALK,
        build(LH="Bb2:2 C3 D3 Eb3:4", key="Bb"),
        BOTH,
        ("in B♭ major in place of G major",),
    ),
    Pair(
        "the nearer octave of a far key",
        WALK,
        build(LH="D2:2 E2 F#2 G2:4", key="D"),
        BOTH,
        ("in D major in place of G major",),
    ),
    Pair(
        "a far key from above",
        WALK,
        build(LH="D3:2 E3 F#3 G3:4", key="D"),
        BOTH,
        ("an octave higher", "in D major in place of G major"),
    ),
    Pair("an octave lower", LICK, build("G3:1/2 A3:1/2 B3 D4:2", key="G"), BOTH, ("an octave lower",)),
    Pair("two octaves higher", WALK, build(LH="G4:2 A4 B4 C5:4", key="G"), BOTH, ("two octaves higher",)),
    Pair(
        "a leap to another octave",
        LICK,
        build("G4:1/2 A4:1/2 B4 D4:2", key="G"),
        BOTH,
        ("some notes in another octave",),
    ),
    Pair(
        "octaves in the left hand",
        WALK,
        build(LH="[G1 G2]:2 [A1 A2] [B1 B2] [C2 C3]:4", key="G"),
        BOTH,
        ("doubled at the octave",),
    ),
    Pair(
        "an octave on the goal",
        WALK,
        build(LH="G2:2 A2 B2 [C2 C3]:4", key="G"),
        BOTH,
        ("some notes doubled at the octave",),
    ),
    Pair(
        "the doubling left out",
        build(LH="[C2 C3]:4", key="C"),
        build(LH="C2:4", key="C"),
        BOTH,
        ("no doubling at the octave",),
    ),
    Pair("one note changed", WALK, build(LH="G2:2 A2 Bb2 C3:4", key="G"), ("rhythm",), ("3 becomes ♭3",)),
    Pair(
        "one note added",
        WALK,
        build(LH="G2 G#2 A2 B2 C3:4", key="G"),
        ("rhythm",),
        ("added: ♯1", "other lengths of notes"),
    ),
    Pair(
        "one note struck again",
        WALK,
        build(LH="G2 G2 A2 B2 C3:4", key="G"),
        (),
        ("struck more often: 1", "the rhythm is re-cut"),
    ),
    Pair(
        "one note left out",
        WALK,
        build(LH="G2:3 B2 C3:4", key="G"),
        ("rhythm",),
        ("left out: 2", "other lengths of notes"),
    ),
    Pair("an inner voice moved", CHORDS, build("[E4 G4 B4]:2 [F4 Ab4 C5]:2"), ("rhythm",), ("6 becomes ♭6",)),
    Pair("a chord broken", build("[C4 E4 G4]:3"), build("C4 E4 G4"), ("degrees",), ("the rhythm is re-cut",)),
    Pair(
        "re-cut",
        LICK,
        build("G4 A4:1/2 B4:1/2 D5:2", key="G"),
        ("degrees",),
        ("the rhythm is re-cut",),
    ),
    Pair(
        "a beat later",
        LICK,
        build("r G4:1/2 A4:1/2 B4 D5", key="G"),
        ("degrees",),
        ("shifted: a beat later",),
    ),
    Pair(
        "half a beat earlier",
        build("r C4 D4 E4"),
        build("r:1/2 C4 D4 E4:3/2"),
        ("degrees",),
        ("shifted: half a beat earlier",),
    ),
    Pair("a bar later", LICK, build("r:4 G4:1/2 A4:1/2 B4 D5:2", key="G"), BOTH, ()),
    Pair(
        "augmented",
        LICK,
        build("G4 A4 B4:2 D5:4", key="G"),
        ("degrees",),
        ("augmented: twice as long",),
    ),
    Pair(
        "diminished",
        WALK,
        build(LH="G2 A2:1/2 B2:1/2 C3:2", key="G"),
        ("degrees",),
        ("diminished: half as long",),
    ),
    Pair(
        "held shorter",
        WALK,
        build(LH="G2 r A2 B2 C3:2 r:2", key="G"),
        BOTH,
        ("other lengths of notes",),
    ),
    Pair("swung", LICK, LICK, BOTH, ("swing in place of straight",), SWING),
    Pair(
        "in compound time",
        build("C4 D4", meter="2/4"),
        SLOW,
        BOTH,
        ("in 6/8 in place of 2/4",),
    ),
    Pair(
        "in bars of one length",
        build("C4 D4 E4", meter="3/4"),
        build("C4 D4 E4", meter="6/8"),
        BOTH,
        ("in 6/8 in place of 3/4",),
    ),
    Pair(
        "from major to minor",
        build("E4 A4 B4 C5"),
        build("Eb4 Ab4 Bb4 C5", key="C minor"),
        ("rhythm",),
        ("3 becomes ♭3", "6 becomes ♭6", "7 becomes ♭7", "in C minor in place of C major"),
    ),
]


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.name)
def test_a_version_is_described(pair: Pair) -> None:
    """A version is described as a player would: what it kept, and what it changed."""
    found = differences(pair.device, STRAIGHT, pair.version, pair.feel)
    assert found == Differences(pair.kept, pair.changed)
