"""Facts of the trade, held against what the claims and shapes say; common practice, no source."""

from itertools import pairwise

import pytest

from tests.theory.build import build
from tests.theory.claims.claiming import judged, kind, truths
from transposary.passage import Passage
from transposary.pitch import OCTAVE, Interval, Pitch
from transposary.settings import Settings
from transposary.theory.keys import placements
from transposary.theory.shapes import name_chord, spacings
from transposary.theory.transposition import place

CLIMB = build("A2 Bb2 B2 C3", LH="A1 Bb1 B1 C2", chords="0 C")
TWO_FIVE_ONE = build("[F3 C4]:2 [F3 B3]:2 [E3 B3]:4", LH="D2:2 G1:2 C2:4", chords="0 Dm7; 2 G7; 4 Cmaj7")
BLUES = build(
    " ".join("C4:4" for _ in range(12)),
    chords="0 C7; 16 F7; 24 C7; 32 G7; 36 F7; 40 C7; 44 G7",
)


def _in_all_keys(passage: Passage) -> list[Passage]:
    return [place(passage, one) for one in placements(passage, None, Settings())]


def test_the_fifth_is_in_the_bass_of_a_second_inversion() -> None:
    """A triad in first, second inversion has its third, its fifth in the bass."""
    for triad in ("C4 E4 G4", "A3 C4 E4", "B3 D4 F4"):
        tones = [Pitch.parse(note) for note in triad.split()]
        inverted = [tones, [*tones[1:], tones[0].up(OCTAVE)]]
        inverted.append([*inverted[1][1:], inverted[1][0].up(OCTAVE)])
        names = [name_chord(one)[0] for one in inverted]
        assert [one.position for one in names] == ["root position", "1st inversion", "2nd inversion"]
        assert [one.root for one in names] == [tones[0].name] * 3
        assert [one[0].name for one in inverted] == [tone.name for tone in tones]


def test_a_chromatic_climb_to_the_tonic_is_6_b7_7_1_in_every_key() -> None:
    """From the sixth degree to the tonic by semitones the degrees are 6 b7 7 1, whatever the key."""
    for passage in _in_all_keys(CLIMB):
        assert judged(passage, "degrees", "6 b7 7 1", "LH") == []


def test_a_sixth_inverts_to_a_third() -> None:
    """With its lower note an octave up a major sixth is a minor third, a minor sixth a major third."""
    sixths = build("[C4 A4]:2 [E4 C5]:2")
    thirds = build("[A4 C5]:2 [C5 E5]:2")
    assert kind("intervals").truth_text(sixths, None) == "M6 m6"
    assert kind("intervals").truth_text(thirds, None) == "m3 M3"
    ((_, _, hint),) = judged(sixths, "intervals", "m3 M3")
    assert hint.startswith("as written this holds inverted")


def test_an_interval_and_its_inversion_make_an_octave() -> None:
    """Major inverts to minor, augmented to diminished, perfect stays; the numbers make nine."""
    pairs = [("P1", "P8"), ("m2", "M7"), ("M2", "m7"), ("m3", "M6"), ("M3", "m6"), ("P4", "P5"), ("A4", "d5")]
    sizes = {
        str(Interval(steps, semitones)): Interval(steps, semitones)
        for steps in range(8)
        for semitones in range(13)
    }
    for one, other in pairs:
        assert str(OCTAVE + -sizes[one]) == other


def test_guide_tones_of_a_two_five_one_fall_or_stay() -> None:
    """Each seventh falls a step to the next third, each third stays as the next seventh, in every key."""
    for passage in _in_all_keys(TWO_FIVE_ONE):
        words = "(b3 b7) (b7 3) | (3 7)"
        assert judged(passage, "chord_degrees", words, "RH") == []
        right = passage.voices[0]
        lower, upper = ([event.heads[index].pitch for event in right.events] for index in (0, 1))
        assert [str(low.to(high)) for low, high in pairwise(lower)] == ["P1", "-m2"]
        assert [str(low.to(high)) for low, high in pairwise(upper)] == ["-m2", "P1"]


def test_the_chords_of_the_twelve_bar_blues() -> None:
    """Four bars of I7, two of IV7, two of I7, then V7 IV7 I7 and V7 to turn round, in every key."""
    words = "I7 | I7 | I7 | I7 | IV7 | IV7 | I7 | I7 | V7 | IV7 | I7 | V7"
    for passage in _in_all_keys(BLUES):
        assert judged(passage, "harmony", words) == []
    assert judged(BLUES, "harmony", "I7 | % | % | % | IV7 | % | I7 | % | V7 | IV7 | I7 | V7") == []


@pytest.mark.parametrize("close", ["C4 E4 G4 B4", "D4 F4 A4 C5", "G3 B3 D4 F4", "B3 D4 F4 A4"])
def test_drop_2_lowers_the_second_voice_from_the_top_by_an_octave(close: str) -> None:
    """A four-part close chord whose second voice from the top falls an octave is a drop-2."""
    voices = [Pitch.parse(note) for note in close.split()]
    dropped = [*voices[:2], voices[2].up(-OCTAVE), voices[3]]
    assert "close" in spacings(voices)
    assert "drop-2" in spacings(dropped)
    assert name_chord(dropped)[0].quality == name_chord(voices)[0].quality


def test_claims_are_the_same_in_every_key() -> None:
    """What is true of a device's notes in one key is true in all twelve."""
    home = truths(TWO_FIVE_ONE)
    assert all(truths(passage) == home for passage in _in_all_keys(TWO_FIVE_ONE))
    assert home["harmony"] == "ii7 V7 | Imaj7"


def test_the_tritone_of_a_dominant_is_that_of_its_substitute() -> None:
    """Third and seventh of a dominant are seventh and third of the dominant a tritone away."""
    tritone = build("[F3 B3]:4", chords="0 G7")
    substitute = build("[F3 Cb4]:4", chords="0 Db7")
    assert kind("chord_degrees").truth_text(tritone, None) == "(b7 3)"
    assert kind("chord_degrees").truth_text(substitute, None) == "(3 b7)"
