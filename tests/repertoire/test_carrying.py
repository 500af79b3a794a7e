"""Devices carried over to places in songs, judged by hand, and over the whole demo."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import pytest

from tests.demo import GLOSSARY
from tests.repertoire.songs import key_of, make_song
from tests.theory.abc import passage
from tests.theory.build import build
from transposary.glossary import BarRange, Device, Frame, Role
from transposary.passage import STRAIGHT, Feel, FeelKind, Key, Passage
from transposary.pitch import NoteName
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc, write_abc
from transposary.repertoire import repertoire_of
from transposary.repertoire.carrying import Carried, carry, carry_to, in_key, landing_of_fit, with_signature
from transposary.repertoire.fits import find_fits
from transposary.repertoire.judging import voiced
from transposary.repertoire.landing import Refusal
from transposary.song import Song

SWING = Feel(FeelKind.SWING)
WALK = build(LH="G2:2 A2 B2 C3:4", key="G", chords="0 G7; 4 C7")
LICK = build("E4 A4 B4 G4", key="C", chords="0 C")


def _device(passage: Passage, frame: Frame = Frame.KEY, feel: Feel = STRAIGHT) -> Device:
    here = Place("devices/one.md")
    return Device("one", "One", "", (Role.BASS,), passage, here, here, frame=frame, feel=feel)


def _carried(device: Device, song: Song, first: int, last: int) -> Carried:
    found = carry(device, song, BarRange(first, last), 1)
    assert isinstance(found, Carried), found
    return found


def _music(carried: Carried) -> str:
    """Gives the notes as ABC, without the meter and the unit length."""
    return " / ".join(write_abc(carried.passage).splitlines()[2:])


class Case(NamedTuple):
    """A device, a song, the bars wanted, the notes there, and what is said of them."""

    name: str
    device: Device
    song: Song
    bars: tuple[int, int]
    music: str
    degrees: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    clashes: tuple[str, ...] = ()


GUIDE = build("F4 G4 A4 Bb4 E4 F4 G4 A4 D4 F4 A4:2", key="F", chords="0 Gm7; 4 C7; 8 Fmaj7")
SHUFFLED = "G4 A4:1/2 B4 D5:1/2 G4:3/2 A4:3/2"

CASES = [
    Case(
        "held notes end with a last chord that is too short",
        _device(WALK),
        make_song("G", "| G7 | C7 / G7 / |"),
        (1, 2),
        'K: G clef=bass / "G7"G,,2 A,, B,, | "C7"C,2 "G7"z2 |]',
        changes=("the last chord is shorter", "what is held ends with the last chord"),
    ),
    Case(
        "what is struck after a last chord that is too short stays",
        _device(build(LH="G2:2 A2 B2 C3:3 E3", key="G", chords="0 G7; 4 C7")),
        make_song("G", "| G7 | C7 / G7 / |"),
        (1, 2),
        'K: G clef=bass / "G7"G,,2 A,, B,, | "C7"C,2 "G7"z E, |]',
        changes=("the last chord is shorter", "what is held ends with the last chord"),
    ),
    Case(
        "thirds of a dotted quarter written as triplets",
        _device(build("G4:1/2 A4:1/2 B4:1/2 D5 B4:1/2 G4:3/2 A4:3/2", key="G", meter="12/8", chords="0 G")),
        make_song("G", "| G |"),
        (1, 1),
        'K: G / (3"G"GAB (3:2:2d2 B G2 A2 |]',
        changes=("in 4/4 in place of 12/8",),
    ),
    Case(
        "a note over the beat within a triplet of halves",
        _device(build(f"{SHUFFLED} D5:6", key="G", meter="12/8", chords="0 G; 3 C; 6 D")),
        make_song("G", "| G | C | D | % |"),
        (1, 4),
        'K: G / (3:2:2"G"G2 A (3:2:2B2 d | "C"G2 A2 | "D"d4- | d4 |]',
        changes=("half as fast", "in 4/4 in place of 12/8"),
    ),
    Case(
        "long and short swung where nothing stands between them",
        _device(build(SHUFFLED, key="G", meter="12/8", chords="0 G")),
        replace(make_song("G", "| G |"), feel=SWING),
        (1, 1),
        'K: G / "G"GA Bd G2 A2 |]',
        changes=("in 4/4 in place of 12/8", "swing in place of straight", "its long and short are swung"),
    ),
    Case(
        "three in a beat stay three where the song swings",
        _device(build("G4:1/2 A4:1/2 B4:1/2 B4 D5:1/2 G4:3", key="G", meter="12/8", chords="0 G")),
        replace(make_song("G", "| G |"), feel=SWING),
        (1, 1),
        'K: G / (3"G"GAB Bd G4 |]',
        changes=("in 4/4 in place of 12/8", "swing in place of straight", "its long and short are swung"),
    ),
    Case(
        "held on where a chord inside lasts longer",
        _device(GUIDE),
        make_song("F", "| Gm7 | C7 | C7 Fmaj7 | Fmaj7 |"),
        (1, 4),
        'K: F / "Gm7"F G A B | "C7"E F G A- | A2 "Fmaj7"D F | A2 z2 |]',
        changes=("the second chord lasts two beats longer",),
    ),
    Case(
        "cut where a chord inside is shorter",
        _device(GUIDE),
        make_song("F", "| Gm7 | C7 / / Fmaj7 | Fmaj7 | % |"),
        (1, 4),
        'K: F / "Gm7"F G A B | "C7"E F G "Fmaj7"D | F A2 z |]',
        changes=("the second chord is a beat shorter",),
    ),
    Case(
        "in another key, with the chords of the chart",
        _device(WALK),
        make_song("D", "| A7 | D7 | G9 |"),
        (2, 3),
        'K: D clef=bass / "D7"D,,2 E,, F,, | "G9"G,,4 |]',
    ),
    Case(
        "spelled as the song is",
        _device(WALK),
        make_song("Gb", "| Gb7 | Cb7 |"),
        (1, 2),
        'K: Gb clef=bass / "Gb7"G,,2 A,, B,, | "Cb7"C,4 |]',
    ),
    Case(
        "half as fast, tied over the barline",
        _device(build("G4:3/2 A4:1/2 B4:2 C5:4 D5:4", key="G", chords="0 G; 4 C; 8 D")),
        make_song("G", "| G | G | C | C | D | % |"),
        (1, 6),
        'K: G / "G"G3 A | B4 | "C"c4- | c4 | / "D"d4- | d4 |]',
        changes=("half as fast",),
    ),
    Case(
        "twice as fast",
        _device(WALK),
        make_song("F", "| C | F7 Bb7 |"),
        (2, 2),
        'K: F clef=bass / "F7"F,,2 G,,A,, "Bb7"B,,4 |]',
        changes=("twice as fast",),
    ),
    Case(
        "begun in the middle of a bar",
        _device(WALK),
        make_song("G", "| D G7 | G7 C7 | C7 D |"),
        (1, 3),
        'K: G clef=bass / "D"z2 "G7"G,,2 | A,, B,, "C7"C,2- | C,2 "D"z2 |]',
        changes=("begins on beat 3",),
    ),
    Case(
        "from quarters to dotted quarters",
        _device(build("G4:1/2 A4:1/2 B4 D5:2", key="G", chords="0 G")),
        make_song("G", "| G |", "12/8"),
        (1, 1),
        'K: G / "G"G3A3 B6 d12 |]',
        changes=("in 12/8 in place of 4/4",),
    ),
    Case(
        "swung eighths written out",
        _device(build("G4:1/2 A4:1/2 B4 D5:2", key="G", chords="0 G"), feel=SWING),
        make_song("G", "| G |", "12/8"),
        (1, 1),
        'K: G / "G"G2 A B3 d6 |]',
        changes=(
            "in 12/8 in place of 4/4",
            "straight in place of swing",
            "the swung off-beats are written out",
        ),
    ),
    Case(
        "into minor, the leading note kept over the dominant",
        _device(build("E4 A4 B4 C5 B4 D5 A4 G4", key="C", chords="0 C; 4 G7")),
        make_song("A minor", "| Am | E7 |"),
        (1, 2),
        'K: Am / "Am"C F G A | "E7"^G B F E |]',
        degrees=("3 becomes ♭3", "6 becomes ♭6", "7 becomes ♭7"),
        clashes=("F clashes with Am on beat 2",),
    ),
    Case(
        "into major",
        _device(build("C4 Eb4 F4 Ab4", key="C minor", chords="0 Cm")),
        make_song("D", "| D |"),
        (1, 1),
        'K: D / "D"D F G B |]',
        degrees=("♭3 becomes 3", "♭6 becomes 6"),
        clashes=("G clashes with D on beat 3",),
    ),
]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_device_is_carried_over(case: Case) -> None:
    """The notes at the place are those that a player would take there, and what changes is said."""
    found = _carried(case.device, case.song, *case.bars)
    assert _music(found) == case.music
    assert (found.degrees, found.changes, found.clashes) == (case.degrees, case.changes, case.clashes)


def test_a_key_without_signature_becomes_its_twin() -> None:
    """What a version in G♯ minor is held against, a device in major, stands in A♭ major."""
    assert str(with_signature(key_of("Ab"))) == "Ab major"
    assert str(with_signature(Key(NoteName.parse("G#")))) == "Ab major"


def test_every_fit_of_the_demo_can_be_carried_over() -> None:
    """What is carried is written and read back as it was, and the bars named give what the fit gives."""
    repertoire = repertoire_of(GLOSSARY.songs)
    for device in GLOSSARY.devices:
        named, heard = set(), voiced(device)
        for place in find_fits(device, repertoire, heard):
            fit, found = place.fit, carry_to(device, landing_of_fit(device, place), heard)
            assert isinstance(found, Carried), (device.slug, fit.song, found)
            read, problems = read_abc(SourceText(write_abc(found.passage), Place("x")), None)
            assert (read, problems) == (found.passage, ()), (device.slug, fit.song)
            if fit.song not in named:
                bars = BarRange(fit.number, fit.number + fit.last - fit.first)
                assert carry(device, GLOSSARY.song[fit.song], bars, 1) == found, (device.slug, fit.song)
            named.add(fit.song)


@pytest.mark.parametrize(
    ("device", "song", "bars", "time", "said"),
    [
        (
            _device(WALK),
            make_song("D", "| D7 | G7 |"),
            BarRange(7, 8),
            1,
            "Tune does not have the bars 7–8; it has the bars 1 to 2, or A 1-2",
        ),
        (
            _device(WALK),
            make_song("D", "| D7 | G7 |"),
            BarRange(1, 2, "A"),
            2,
            "the bars A 1–2 come once in Tune, found no time 2; ",
        ),
        (
            _device(WALK),
            make_song("D", "| Em | Em | Em |", "3/4"),
            BarRange(1, 3),
            1,
            (
                "a device in 4/4 does not go into bars of 3/4 whose chords are not its own; "
                "choose bars that have its chords"
            ),
        ),
        (
            _device(build("G4:1/5 A4:4/5 B4:2", key="G", chords="0 G")),
            make_song("G", "| G |"),
            BarRange(1, 1),
            1,
            (
                "its rhythm does not go into 4/4 there: a part of a beat has no place in its beats; "
                "write that version by hand, or choose other bars"
            ),
        ),
    ],
)
def test_what_cannot_be_carried_is_refused(
    device: Device, song: Song, bars: BarRange, time: int, said: str
) -> None:
    """Bars that are not there, meters and rhythms without a common measure are refused with a reason."""
    found = carry(device, song, bars, time)
    assert isinstance(found, Refusal)
    assert f"{found.text}; {found.hint}" == said


def test_marked_fingers_bend_where_black_keys_ask_for_it() -> None:
    """A thumb that plays F at home does not play A♭ in the song's key; at home all marks stay."""
    music = passage("M: 4/4\nL: 1/8\nK: C\n!1!C!2!D!3!E!1!F !2!G4 |\n")
    there = [in_key(_device(music), Key(NoteName.parse(tonic))) for tonic in ("C", "Eb")]
    assert [[head.finger for event in one.voices[0].events for head in event.heads] for one in there] == [
        [1, 2, 3, 1, 2],
        [1, 2, 3, 4, 5],
    ]
