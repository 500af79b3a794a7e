"""The claims that count degrees."""

import pytest

from tests.theory.build import build
from tests.theory.claims.claiming import holds, judged, kind
from transposary.passage import Passage

WALK = build("G2:2 A2 B2 C3:2 r:2", key="G", chords="0 G7; 4 C7")
TWO_HANDS = build("[E4 G4]:2 {Eb4}E4:2", RH2="C4:4", LH="C3:2 B2 Bb2", chords="0 C; 2 C7")
VOICING = build("[F3 A3 C4 E4]:2 [F3 A3 B3 E4]:2 [E3 G3 B3 D4]:4", chords="0 Dm7; 2 G7; 4 Cmaj7")
MINOR = build("A4 B4 C5 G#4", key="A minor")
PUSHED = build("C4:3 E4:1/2 A4~:1/2 A4:4", chords="0 C; 4 F")


@pytest.mark.parametrize(
    ("passage", "name", "scope", "words"),
    [
        (WALK, "degrees", None, "1 2 3 | 4"),
        (WALK, "degrees", None, "1 2 3 4"),
        (WALK, "degrees", "RH", "| 1 2 3 | 4 |"),
        (WALK, "chord_degrees", None, "1 2 3 | 1"),
        (TWO_HANDS, "degrees", "RH", "(3 5) {b3} 3"),
        (TWO_HANDS, "degrees", "RH", "(3 5) 3"),
        (TWO_HANDS, "degrees", "RH2", "1"),
        (TWO_HANDS, "degrees", None, "(1 1 3 5) (7 3) b7"),
        (TWO_HANDS, "bass", None, "1 7 b7"),
        (TWO_HANDS, "bass", "RH", "1"),
        (TWO_HANDS, "bass", "RH", "1 1"),
        (TWO_HANDS, "top", None, "5 3"),
        (TWO_HANDS, "top", None, "5 3 3"),
        (TWO_HANDS, "top", "RH", "5 {♭3} 3"),
        (TWO_HANDS, "chord_bass", None, "1 7 b7"),
        (TWO_HANDS, "chord_top", "RH", "5 3"),
        (VOICING, "chord_degrees", None, "(b3 5 b7 9) (b7 9 3 13) | (3 5 7 9)"),
        (VOICING, "chord_degrees", None, "(b3 5 b7 2) (b7 2 3 6) | (3 5 7 2)"),
        (VOICING, "chord_bass", None, "b3 b7 | 3"),
        (VOICING, "chord_top", None, "9 13 | 9"),
        (PUSHED, "chord_degrees", None, "1 3 3"),
        (PUSHED, "chord_degrees", None, "1 3 6"),
        (build("G3 | C4:4", chords="0 C"), "degrees", None, "5 | 1"),
        (build("C4~:4 C4:4 D4:4"), "degrees", None, "1 | | 2"),
        (MINOR, "degrees", None, "1 2 b3 7"),
        (build("A4 Gb4 A4 C5", chords="0 Adim7"), "chord_degrees", None, "1 bb7 1 b3"),
        (build("C4 C5 D5 F5"), "degrees", None, "1 8 9 11"),
    ],
)
def test_true_claims_have_no_problem(passage: Passage, name: str, scope: str | None, words: str) -> None:
    """What the notes say may be claimed, in each way in which the grammar lets it be said."""
    assert judged(passage, name, words, scope) == []


@pytest.mark.parametrize(
    ("passage", "name", "scope", "text"),
    [
        (WALK, "degrees", None, "1 2 3 | 4"),
        (TWO_HANDS, "degrees", "RH", "(3 5) {b3} 3"),
        (TWO_HANDS, "bass", None, "1 7 b7"),
        (TWO_HANDS, "top", None, "5 {b3} 3"),
        (VOICING, "chord_degrees", None, "(b3 5 b7 9) (b7 9 3 13) | (3 5 7 9)"),
        (PUSHED, "chord_degrees", None, "1 3 3"),
        (build("C4:4 D4:4", chords="0 N.C.; 4 D7"), "chord_degrees", None, "1"),
    ],
)
def test_the_truth_is_written_as_one_would(passage: Passage, name: str, scope: str | None, text: str) -> None:
    """What the notes say is written in the usual way of each claim."""
    assert kind(name).truth_text(passage, scope) == text


WALK_LINE = 'degrees: "1 2 3 | 4"'
WRITE_WALK = f"write {WALK_LINE}"
FOUR_FOR_THREE = "; 4 degrees are written, 3 are there"
ALONG_THE_SCALE = "counted along the key's own scale; claims count from the major scale"


@pytest.mark.parametrize(
    ("passage", "name", "scope", "words", "problem"),
    [
        (WALK, "degrees", None, "1 2 b3 | 4", (
            "20:5", "b3 is written, the notes have 3 (B2) in bar 1, beat 4", WRITE_WALK,
        )),
        (WALK, "degrees", None, "1 2 3 | 1", (
            "20:9", "1 is written, the notes have 4 (C3) in bar 2, beat 1",
            holds("as chord_degrees", WALK_LINE),
        )),
        (WALK, "degrees", None, "1 2 | 3 4", (
            "20:7", "a barline stands before 3 (B2), which comes in bar 1, beat 4", WRITE_WALK,
        )),
        (WALK, "bass", None, "1 2 4", (
            "20:5",
            "4 is written, the notes have 3 (B2) in bar 1, beat 4; 3 degrees are written, 4 are there",
            'write bass: "1 2 3 4"',
        )),
        (WALK, "top", None, "1 2 3", (
            "20:6", "4 (C3) in bar 2, beat 1 is missing; 3 degrees are written, 4 are there",
            'write top: "1 2 3 4"',
        )),
        (WALK, "degrees", None, "1 2 3 | 4 5", (
            "20:11", "5 comes after the last one; 5 degrees are written, 4 are there", WRITE_WALK,
        )),
        (WALK, "degrees", None, "1 2 3 | 4 | |", (
            "20:14", "2 barlines stand behind 4, the notes have 1", WRITE_WALK,
        )),
        (WALK, "degrees", None, "4 5 6 | b7", (
            "20:1", "4 is written, the notes have 1 (G2) in bar 1, beat 1", WRITE_WALK,
        )),
        (WALK, "degrees", None, "b3 4 5 | b6", (
            "20:1", "b3 is written, the notes have 1 (G2) in bar 1, beat 1",
            holds("counted from E, the relative minor", WALK_LINE),
        )),
        (MINOR, "degrees", None, "1 2 3 #7", (
            "20:5", "3 is written, the notes have b3 (C5) in bar 1, beat 3",
            holds(ALONG_THE_SCALE, 'degrees: "1 2 b3 7"'),
        )),
        (build("C4 F#4 G4 C5"), "degrees", None, "1 b5 5 1", (
            "20:3", "b5 is written, the notes have #4 (F#4) in bar 1, beat 2",
            holds("by its sound; the notes are spelled otherwise", 'degrees: "1 #4 5 1"'),
        )),
        (TWO_HANDS, "degrees", "LH", "(3 5) 3", (
            "20:1",
            "(3 5) is written, the notes have 1 (C3) in bar 1, beat 1",
            holds("for RH", 'LH: "1 7 b7"'),
        )),
        (TWO_HANDS, "degrees", "RH", "(1 3 5) 3", (
            "20:1",
            "(1 3 5) is written, the notes have (3 5) (E4 G4) in bar 1, beat 1" + FOUR_FOR_THREE,
            holds("for both voices of RH", 'RH: "(3 5) 3"'),
        )),
        (TWO_HANDS, "degrees", "RH", "(5 3) {b3} 3", (
            "20:2",
            "5 is written, the notes have 3 (E4) in bar 1, beat 1; notes together are written lowest first",
            'write RH: "(3 5) {b3} 3"',
        )),
        (WALK, "degrees", "LH", "1", ("19:1", "the notation has no LH", "its voices are RH")),
        (WALK, "degrees", None, "1 2, 3", (
            "20:3", "a degree is expected, '2,' found",
            "write degrees as 1 b3 #4, from 1 to 13, with blanks between them",
        )),
        (build("C4:4"), "chord_degrees", None, "1", (
            "19:1", "no chord symbol stands over a note", "leave the claim out",
        )),
    ],
)  # fmt: skip
def test_a_false_claim_is_named_at_its_word(
    passage: Passage, name: str, scope: str | None, words: str, problem: tuple[str, str, str]
) -> None:
    """A message has what was written, what the notes say, where, and the line or reading that holds."""
    assert judged(passage, name, words, scope) == [problem]


def test_a_claim_in_several_texts_is_one_line() -> None:
    """A claim may be a list, a bar in each text; places are those of the text concerned."""
    assert judged(WALK, "degrees", ["1 2 3 |", "4"]) == []
    assert judged(WALK, "degrees", ["1 2 3 |", "b4"])[0][0] == "21:1"
