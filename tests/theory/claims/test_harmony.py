"""The claim `harmony`."""

import pytest

from tests.theory.build import build
from tests.theory.claims.claiming import holds, judged, kind
from transposary.passage import Passage

CADENCE = build("D4:2 G4:2 C4:4", chords="0 Dm7; 2 G7; 4 Cmaj7")
BLUES = build("C4:4 F4:4 C4:4 C4:4", chords="0 C7; 4 F7; 8 C7; 12 C7")
MINOR = build("A4:4 F4:2 E4:2", chords="0 Am; 4 Fmaj7; 6 E7", key="A minor")
SLASH = build("C4:2 A4:2 D4:2 r:2", chords="0 C/G; 2 A7; 4 Dm; 6 N.C.")
ALONG_THE_SCALE = "counted along the key's own scale; claims count from the major scale"
CADENCE_LINE = 'harmony: "ii7 V7 | Imaj7"'
WRITE_CADENCE = f"write {CADENCE_LINE}"


@pytest.mark.parametrize(
    ("passage", "words"),
    [
        (CADENCE, "ii7 V7 | Imaj7"),
        (CADENCE, "ii7 V7 IΔ7"),
        (BLUES, "I7 | IV7 | I7 | I7"),
        (BLUES, "I7 | IV7 | I7"),
        (BLUES, "I7 | IV7 | I7 | %"),
        (build("C4:4 C4:4 F4:4", chords="0 C7; 8 F7"), "I7 | % | IV7"),
        (build("C4:4 C4:4 F4:4", chords="0 C7; 8 F7"), "I7 | | IV7"),
        (build("C4:4 C4:4 F4:4", chords="0 C7; 8 F7"), "I7 | I7 | IV7"),
        (build("C4:4 C4:4 F4:4", chords="0 C7; 8 F7"), "I7 IV7"),
        (MINOR, "i | bVImaj7 V7"),
        (SLASH, "I/5 VI7 | ii N.C."),
        (SLASH, "I/5 V7/ii | ii N.C."),
    ],
)
def test_true_harmony_has_no_problem(passage: Passage, words: str) -> None:
    """Numerals may be applied, and chords that stay be said once, again, or with `%`."""
    assert judged(passage, "harmony", words) == []


@pytest.mark.parametrize(
    ("passage", "text"),
    [
        (CADENCE, "ii7 V7 | Imaj7"),
        (MINOR, "i | bVImaj7 V7"),
        (SLASH, "I/5 VI7 | ii N.C."),
        (build("C4:4"), ""),
    ],
)
def test_the_truth_is_written_in_numerals(passage: Passage, text: str) -> None:
    """The numerals of the chord symbols are written bar by bar; without symbols there are none."""
    assert kind("harmony").truth_text(passage, None) == text


@pytest.mark.parametrize(
    ("passage", "words", "problem"),
    [
        (CADENCE, "ii7 V | Imaj7", (
            "20:5", "V is written, the chord symbols have V7 (G7) in bar 1, beat 3", WRITE_CADENCE,
        )),
        (CADENCE, "ii7 | V7 Imaj7", (
            "20:7", "a barline stands before V7 (G7), which comes in bar 1, beat 3", WRITE_CADENCE,
        )),
        (CADENCE, "iv7 bVII7 | bIIImaj7", (
            "20:1", "iv7 is written, the chord symbols have ii7 (Dm7) in bar 1, beat 1",
            holds("counted from A, the relative minor", CADENCE_LINE),
        )),
        (MINOR, "i | VImaj7 V7", (
            "20:5", "VImaj7 is written, the chord symbols have bVImaj7 (Fmaj7) in bar 2, beat 1",
            holds(ALONG_THE_SCALE, 'harmony: "i | bVImaj7 V7"'),
        )),
        (build("C4:4", chords="0 F#7"), "bV7", (
            "20:1", "bV7 is written, the chord symbols have #IV7 (F#7) in bar 1, beat 1",
            holds("by its sound; the notes are spelled otherwise", 'harmony: "#IV7"'),
        )),
        (build("C4:4"), "I", ("19:1", "there are no chord symbols", "leave the claim out")),
        (CADENCE, "%", ("20:1", "no chord stands before the %", "")),
    ],
)  # fmt: skip
def test_false_harmony_is_named_at_its_word(
    passage: Passage, words: str, problem: tuple[str, str, str]
) -> None:
    """A message names the numeral, the symbol and where it stands, and a reading that holds."""
    assert judged(passage, "harmony", words) == [problem]


def test_an_unreadable_numeral_is_refused_at_its_place() -> None:
    """What `numerals` refuses is reported where it stands in the claim."""
    place, text, _ = judged(CADENCE, "harmony", "ii7 X7 | Imaj7")[0]
    assert (place, text) == ("20:5", "expected a numeral I to VII or i to vii, found 'X7'")
