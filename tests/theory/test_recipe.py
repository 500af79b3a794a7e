"""Recipes: how to play a device in any key without notation."""

import pytest

from tests.demo import GLOSSARY
from tests.theory.abc import passage
from transposary.glossary import Device
from transposary.settings import Settings
from transposary.theory.explanation import explain
from transposary.theory.keys import placements
from transposary.theory.recipe import nearest, rebuild, recipe, sounds
from transposary.theory.recipe_words import recipe_steps
from transposary.theory.transposition import place, transpose

DEVICES = GLOSSARY.devices

EXAMPLES = [
    (
        'K: G clef=bass\n"G7" G,,4 A,,2 B,,2 | "C7" C,8',
        ("Left hand: start on the tonic; climb by step through the 2nd and the 3rd to the 4th.",),
    ),
    (
        'K: C clef=bass\n"Am" A,2 _B,2 =B,2 C2',
        ("Left hand: start on the 6th; climb by semitones through the ♭7th and the 7th to the tonic.",),
    ),
    (
        'K: C\n"F" [FAc]2 "F#dim7" [^FAc_e]2 "C/G" [Gc=e]4',
        (
            (
                "Right hand: start on the 4th with a major triad in root position; up a semitone to the "
                "♯4th, a diminished 7th in root position; up a semitone to the 5th, a major triad in 2nd "
                "inversion."
            ),
        ),
    ),
    (
        'K: C\n"C7" [EG]2 [EG]2 [_EG]2 c2',
        (
            (
                "Right hand: start on the 3rd with a minor third above it, twice; down a semitone to the "
                "♭3rd, a major third above it; up a major sixth to the tonic."
            ),
        ),
    ),
    (
        'K: C\n"Dm9" [FAce]2 "G13" [FABe]2 "C6" [EGAc]4',
        (
            (
                "Right hand: start on the 4th with a major 7th in root position (a minor 9th without its "
                "root); on the same bottom note a major 7th ♭5 in root position (a dominant 13th without "
                "its root); down a semitone to the 3rd, a major 6th in 1st inversion."
            ),
        ),
    ),
    (
        'K: C\n"C" F2 ^D2 E4',
        ("Right hand: start on the 4th; down a whole step to the ♯2nd; up a semitone to the 3rd.",),
    ),
    (
        'K: C\n"Dm7" [FAc]7 [FAB]- | "G7" [FAB]8',
        (
            (
                "Right hand: start on the 4th with a major triad in root position (a minor 7th without its "
                "root); on the same bottom note a major third and an augmented fourth above it (a dominant "
                "9th without its root)."
            ),
        ),
    ),
    (
        'K: C\n"C7" {_E}=E4 {_E}[=EG]4',
        (
            (
                "Right hand: start on the ♭3rd, as a grace note; up a semitone to the 3rd; down a semitone "
                "to the ♭3rd, as a grace note; up a semitone to the 3rd, a minor third above it."
            ),
        ),
    ),
    (
        'K: C\n"Db7" _c4 | "C" B4',
        ("Right hand: start on the ♭1st; on the same key, now called the 7th.",),
    ),
    (
        'K: G\n"G" [DGB]8 | [K:Ab] "Eb7" D4 C4 | "Ab" C8 | [K:F] "F" C8',
        (
            (
                "Right hand: start on the 5th with a major triad in 2nd inversion; now in the key a "
                "semitone higher, down a semitone to the 4th; down a semitone to the 3rd, twice; now "
                "in the key a minor third lower, on the same key, now called the 5th."
            ),
        ),
    ),
]


@pytest.mark.parametrize(("music", "sentences"), EXAMPLES)
def test_recipe_in_words(music: str, sentences: tuple[str, ...]) -> None:
    """A recipe says where to start, what to do and where to land."""
    told = recipe_steps(recipe(passage(f"M: 4/4\nL: 1/8\n{music}")))
    assert tuple(f"{one.voice}: {'; '.join(one.steps)}." for one in told) == sentences


@pytest.mark.parametrize("device", DEVICES, ids=lambda device: device.slug)
def test_recipe_rebuilds_the_notes_in_every_key(device: Device) -> None:
    """The data of a recipe alone give back all notes of a device, in all twelve keys."""
    lines = explain(device.passage).recipe
    for placement in placements(device.passage, device.compass, Settings()):
        placed = transpose(device.passage, placement.interval, dict(placement.octaves))
        start = lines[0].register
        near = nearest(lines[0].start.above(placement.key.tonic), start).midi - start.midi
        octaves = {hand: (placement.shift(hand) - near) // 12 for hand in device.passage.hands}
        rebuilt = rebuild(lines, placement.key.tonic, octaves)
        assert rebuilt == sounds(placed), placement.slot
        # A change of key may be respelled where the interval leads to no signature.
        played = sounds(place(device.passage, placement))
        assert [sound.pitch.midi for sound in rebuilt] == [sound.pitch.midi for sound in played]
