"""Fits judged by hand: what a player would and would not play over a chart, and why."""

from __future__ import annotations

from typing import NamedTuple

import pytest

from tests.repertoire.songs import make_song, moved
from tests.theory.build import build
from transposary.glossary import Device, Frame, Role
from transposary.passage import STRAIGHT, Feel, FeelKind, Passage
from transposary.problems import Place, SourceText
from transposary.repertoire import fits_of, repertoire_of
from transposary.song import Song

HERE = Place("devices/x.md")


def _device(passage: Passage, frame: Frame = Frame.KEY, over: str = "", feel: Feel = STRAIGHT) -> Device:
    texts = (SourceText(over, HERE),) if over else ()
    return Device("x", "X", "X.", (Role.BASS,), passage, HERE, HERE, frame=frame, over=texts, feel=feel)


WALK = build(LH="G2:2 A2 B2 C3:4", chords="0 G7; 4 C7", key="G")
CLIMB = _device(WALK)
CLIMB_ANYWHERE = _device(WALK, Frame.MOTION)
SWUNG = _device(WALK, feel=Feel(FeelKind.SWING))
GUIDE = _device(build("F4:4 F4:4 E4:8", chords="0 Dm7; 4 G7; 8 Cmaj7"))
SLIDE = _device(build("F4:4 F4:4 E4:8", chords="0 Dm7; 4 Db7; 8 Cmaj7"), Frame.MOTION)
MINOR = _device(build("C4:4 B3:4 C4:4", chords="0 Dm7b5; 4 G7; 8 Cm", key="C minor"))
LICK = _device(build("E4 G4 Bb4 A4", chords="0 C7"), Frame.CHORD)
RUN = _device(build("E4 G4 B4 D5", chords="0 Cmaj7"), Frame.CHORD)
SHELL = _device(build("Bb3:4", chords="0 Cm7"), Frame.CHORD)
THROUGH = _device(build(LH="C3:2 C#3:2 D3:4", chords="0 C; 2 C#dim7; 4 Dm7"), over="I | ii7")
VAMP = _device(build("D4 F4 A4 F4 D4 F4 B4 F4", chords="0 Dm7; 4 G7", key="D dorian"))


class Case(NamedTuple):
    """A device over a chart, and what a player would say of it; no bars where it must not fit."""

    name: str
    device: Device
    song: Song
    bars: tuple[int, int] | None = None
    score: float = 0.0
    adapted: tuple[str, ...] = ()
    reason: str = ""


FITS = [
    Case(
        "one to four in another key",
        CLIMB,
        make_song("D", "| D7 | G7 | A7 | D7 |"),
        (1, 2),
        0.98,
        (),
        "bars 1–2, D7 to G7: I7 to IV7 of D; same chords; E colours the chord",
    ),
    Case(
        "five to one is the same motion",
        CLIMB_ANYWHERE,
        make_song("D", "| A7 | D7 | D7 | D7 |"),
        (1, 2),
        0.98,
        (),
        "bars 1–2, A7 to D7: I7 to IV7 of A; same chords; B colours the chord",
    ),
    Case(
        "ninths and thirteenths are dominants",
        CLIMB,
        make_song("D", "| D9 | G13 |"),
        (1, 2),
        0.9,
        (),
        "bars 1–2, D9 to G13: I7 to IV7 of D; same roots and families; every note belongs to its chord",
    ),
    Case(
        "other basses",
        CLIMB,
        make_song("D", "| D7/F# | G7/D |"),
        (1, 2),
        0.98,
        (),
        "bars 1–2, D7/F♯ to G7/D: I7 to IV7 of D; same chords; E colours the chord",
    ),
    Case(
        "straight for swing",
        SWUNG,
        make_song("D", "| D7 | G7 |"),
        (1, 2),
        0.93,
        ("straight in place of swing",),
        "bars 1–2, D7 to G7: I7 to IV7 of D; same chords; E colours the chord",
    ),
    Case(
        "a change in the middle of a bar",
        CLIMB,
        make_song("D", "| D7 | D7 G7 | G7 |"),
        (1, 3),
        0.87,
        ("begins on beat 3",),
        "bars 1–3, D7 to G7: I7 to IV7 of D; same chords; E colours the chord",
    ),
    Case(
        "in twelve-eight, beat for beat",
        CLIMB,
        make_song("D", "| D7 | G7 |", "12/8"),
        (1, 2),
        0.93,
        ("in 12/8 in place of 4/4",),
        "bars 1–2, D7 to G7: I7 to IV7 of D; same chords; E colours the chord",
    ),
    Case(
        "two–five–one",
        GUIDE,
        make_song("F", "| Gm7 | C7 | Fmaj7 | % |"),
        (1, 4),
        1.0,
        (),
        "bars 1–4, Gm7 to C7 to Fmaj7: ii7 to V7 to Imaj7 of F; same chords; every note belongs to its chord",
    ),
    Case(
        "plain triads admit their sevenths",
        GUIDE,
        make_song("F", "| Gm | C | F | % |"),
        (1, 4),
        0.94,
        (),
        "bars 1–4, Gm to C to F: ii7 to V7 to Imaj7 of F; the plain chords admit the sevenths; "
        "B♭ colours the chord",
    ),
    Case(
        "where the song turns to its fourth degree",
        GUIDE,
        make_song("F", "| F | Cm7 | F7 | Bbmaj7 | % |"),
        (2, 5),
        1.0,
        (),
        "bars 2–5, Cm7 to F7 to B♭maj7: ii7 to V7 to Imaj7 of B♭; where the song turns to B♭ major; "
        "same chords; every note belongs to its chord",
    ),
    Case(
        "two chords to the bar",
        GUIDE,
        make_song("F", "| Gm7 C7 | Fmaj7 |"),
        (1, 2),
        0.85,
        ("twice as fast",),
        "bars 1–2, Gm7 to C7 to Fmaj7: ii7 to V7 to Imaj7 of F; same chords; every note belongs to its chord",
    ),
    Case(
        "two bars to the chord",
        GUIDE,
        make_song("F", "| Gm7 | % | C7 | % | Fmaj7 | % | % | % |"),
        (1, 8),
        0.85,
        ("half as fast",),
        "bars 1–8, Gm7 to C7 to Fmaj7: ii7 to V7 to Imaj7 of F; same chords; every note belongs to its chord",
    ),
    Case(
        "a suspended dominant",
        GUIDE,
        make_song("F", "| Gm7 | C7sus4 | Fmaj7 | % |"),
        (1, 4),
        0.93,
        (),
        "bars 1–4, Gm7 to C7sus4 to Fmaj7: ii7 to V7 to Imaj7 of F; a suspended chord for the dominant; "
        "every note belongs to its chord",
    ),
    Case(
        "a dominant in two steps",
        GUIDE,
        make_song("F", "| Gm7 | C7sus4 C7 | Fmaj7 | % |"),
        (1, 4),
        0.97,
        (),
        "bars 1–4, Gm7 to C7sus4 C7 to Fmaj7: ii7 to V7 to Imaj7 of F; same chords; "
        "C7sus4 and C7 count as one chord; every note belongs to its chord",
    ),
    Case(
        "a tonic that takes its sixth",
        GUIDE,
        make_song("F", "| Gm7 | C7 | Fmaj7 | F6 |"),
        (1, 4),
        0.97,
        (),
        "bars 1–4, Gm7 to C7 to Fmaj7 F6: ii7 to V7 to Imaj7 of F; same chords; "
        "Fmaj7 and F6 count as one chord; every note belongs to its chord",
    ),
    Case(
        "the five lasts two beats longer",
        GUIDE,
        make_song("F", "| Gm7 | C7 | C7 Fmaj7 | Fmaj7 |"),
        (1, 4),
        0.76,
        ("the last chord is shorter", "the second chord lasts two beats longer"),
        "bars 1–4, Gm7 to C7 to Fmaj7: ii7 to V7 to Imaj7 of F; same chords; every note belongs to its chord",
    ),
    Case(
        "the five is a beat shorter",
        GUIDE,
        make_song("F", "| Gm7 | C7 / / Fmaj7 | Fmaj7 | % |"),
        (1, 4),
        0.8,
        ("the second chord is a beat shorter",),
        "bars 1–4, Gm7 to C7 to Fmaj7: ii7 to V7 to Imaj7 of F; same chords; every note belongs to its chord",
    ),
    Case(
        "the flat two in place of the five",
        SLIDE,
        make_song("F", "| Gm7 | C7 | Fmaj7 | % |"),
        (1, 4),
        0.87,
        ("tritone substitution",),
        "bars 1–4, Gm7 to C7 to Fmaj7: ii7 to ♭II7 to Imaj7 of F; tritone substitution; "
        "every note belongs to its chord",
    ),
    Case(
        "a chart with the flat two",
        GUIDE,
        make_song("F", "| Gm7 | Gb7 | Fmaj7 | % |"),
        (1, 4),
        0.87,
        ("tritone substitution",),
        "bars 1–4, Gm7 to G♭7 to Fmaj7: ii7 to V7 to Imaj7 of F; tritone substitution; "
        "every note belongs to its chord",
    ),
    Case(
        "a diminished chord that leads as the five does",
        GUIDE,
        make_song("F", "| Gm7 | Edim7 | Fmaj7 | % |"),
        (1, 4),
        0.85,
        ("a diminished chord for the dominant",),
        "bars 1–4, Gm7 to Edim7 to Fmaj7: ii7 to V7 to Imaj7 of F; a diminished chord for the dominant; "
        "every note belongs to its chord",
    ),
    Case(
        "a deceptive close",
        GUIDE,
        make_song("F", "| Gm7 | C7 | Dm7 | % |"),
        (1, 4),
        0.85,
        ("the relative minor for a major chord",),
        "bars 1–4, Gm7 to C7 to Dm7: ii7 to V7 to Imaj7 of F; the relative minor for a major chord; "
        "every note belongs to its chord",
    ),
    Case(
        "minor two–five–one",
        MINOR,
        make_song("A minor", "| Bm7b5 | E7 | Am |"),
        (1, 3),
        1.0,
        (),
        "bars 1–3, Bm7♭5 to E7 to Am: iiø7 to V7 to i of A; same chords; every note belongs to its chord",
    ),
    Case(
        "a diminished triad admits its seventh",
        MINOR,
        make_song("A minor", "| Bdim | E7 | Am |"),
        (1, 3),
        0.96,
        (),
        "bars 1–3, Bdim to E7 to Am: iiø7 to V7 to i of A; the plain chords admit the sevenths; "
        "A colours the chord",
    ),
    Case(
        "a lick over a dominant",
        LICK,
        make_song("Bb", "| Bbmaj7 | F7 |"),
        (2, 2),
        0.98,
        (),
        "bar 2, F7: I7 of F; same chord; D colours the chord",
    ),
    Case(
        "major seventh over a sixth chord",
        RUN,
        make_song("G", "| G6 |"),
        (1, 1),
        0.86,
        (),
        "bar 1, G6: Imaj7 of G; same roots and families; F♯ and A colour the chord",
    ),
    Case(
        "a passing chord where the chart has none",
        THROUGH,
        make_song("Bb", "| Bb | Cm7 |"),
        (1, 2),
        0.95,
        (),
        "bars 1–2, B♭ to Cm7: I to ii7 of B♭; same chords; the device adds Bdim7",
    ),
    Case(
        "a passing chord where the chart has it",
        THROUGH,
        make_song("Bb", "| Bb Bdim7 | Cm7 |"),
        (1, 2),
        1.0,
        (),
        "bars 1–2, B♭ to Bdim7 to Cm7: I to ♯i°7 to ii7 of B♭; same chords; every note belongs to its chord",
    ),
    Case(
        "a dorian vamp in a minor song",
        VAMP,
        make_song("E minor", "| Em7 | A7 |"),
        (1, 2),
        1.0,
        (),
        "bars 1–2, Em7 to A7: i7 to IV7 of E; same chords; every note belongs to its chord",
    ),
]

# Near misses, and what must not fit, with the reason in the name.
NOT = [
    Case("five to one has another place in the key", CLIMB, make_song("D", "| A7 | D6 | G6 | D6 |")),
    Case("plain one and four have no flat seventh in the key", CLIMB, make_song("D", "| D | G |")),
    Case("minor chords for dominants", CLIMB, make_song("D", "| Dm7 | Gm7 |")),
    Case("silence of chords between the two", CLIMB, make_song("D", "| D7 | N.C. | G7 |")),
    Case("one chord has no motion", CLIMB, make_song("D", "| D7 | % | % |")),
    Case("the five lasts longer than the device", GUIDE, make_song("F", "| Gm7 | C7 | % | Fmaj7 | % |")),
    Case("the one does not stay long enough", GUIDE, make_song("F", "| Gm7 | C7 | Fmaj7 / / Gm7 |", "4/4")),
    Case("a minor device in a major key", MINOR, make_song("F", "| Gm7 | C7 | Fmaj7 |")),
    Case("a blue third and seventh over a major seventh", LICK, make_song("G", "| Gmaj7 | Cmaj7 |")),
    Case("a major seventh over a dominant", RUN, make_song("G", "| G7 | % |")),
    Case(
        "a seventh over a minor sixth chord clashes on the downbeat", SHELL, make_song("G minor", "| Gm6 |")
    ),
    Case("a minor four is not dorian", VAMP, make_song("E minor", "| Em7 | Am7 |")),
]


@pytest.mark.parametrize("case", FITS, ids=lambda case: case.name)
def test_a_device_fits(case: Case) -> None:
    """The best place is the one that a player would take, with the reason and what has to change."""
    best = fits_of(case.device, repertoire_of([case.song]))[0]
    found = ((best.first, best.last), best.score, best.adapted, best.reason)
    assert found == (case.bars, case.score, case.adapted, case.reason)


@pytest.mark.parametrize("case", NOT, ids=lambda case: case.name)
def test_a_device_does_not_fit(case: Case) -> None:
    """A device is not offered where a player would leave it."""
    assert fits_of(case.device, repertoire_of([case.song])) == ()


@pytest.mark.parametrize("semitones", range(1, 12))
@pytest.mark.parametrize("case", FITS, ids=lambda case: case.name)
def test_moving_a_song_changes_nothing(case: Case, semitones: int) -> None:
    """A song in any of the other keys has the same places with the same scores."""

    def places(song: Song) -> list[tuple[int, int, int, float]]:
        found = fits_of(case.device, repertoire_of([song]))
        home = song.key.tonic.pitch_class
        return [(fit.first, fit.last, (fit.tonic.pitch_class - home) % 12, fit.score) for fit in found]

    assert places(moved(case.song, semitones)) == places(case.song)
