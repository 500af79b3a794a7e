"""The claim `scale`."""

import pytest

from tests.theory.build import build
from tests.theory.claims.claiming import FILE, device, kind
from transposary.glossary import ScaleClaim
from transposary.passage import Passage
from transposary.problems import Place, SourceText
from transposary.theory.claims import check_claims

BLUES = build("C4 Eb4 E4 G4 {F#4}G4:2 Bb4:2", LH="C3:4 F2:2 G2:2")
DORIAN = build("D4 E4 F4 G4 A4 B4 C5 D5", key="D dorian")
MODES = build("C4 D4 E4 F#4 | ".replace("|", "") + "G4 A4 Bb4 C5", chords="0 C; 4 C7")


def _text(value: str | None, column: int) -> SourceText | None:
    return None if value is None else SourceText(value, Place(FILE, 30, column))


def _claim(name: str, *, scope: str | None = None, **fields: str) -> ScaleClaim:
    """Makes a claim whose name stands in column 10, root in 20, bars in 30, outside in 40."""
    named = SourceText(name, Place(FILE, 30, 10))
    root, bars, outside = (
        _text(fields.get(field), column) for field, column in (("root", 20), ("bars", 30), ("outside", 40))
    )
    return ScaleClaim(named, root, bars, outside, scope, Place(FILE, 30, 3))


def _judged(passage: Passage, claim: ScaleClaim) -> list[tuple[int, str, str]]:
    return [(one.place.column, one.text, one.hint) for one in check_claims(device(passage, scales=[claim]))]


@pytest.mark.parametrize(
    ("passage", "claim"),
    [
        (BLUES, _claim("blues", outside="3")),
        (BLUES, _claim("Minor Blues", outside="3", scope="RH")),
        (BLUES, _claim("major", scope="LH")),
        (BLUES, _claim("major", root="b7", bars="2")),
        (BLUES, _claim("mixolydian", outside="♭3")),
        (DORIAN, _claim("dorian")),
        (DORIAN, _claim("major", root="b7")),
        (MODES, _claim("lydian", bars="1")),
        (MODES, _claim("mixolydian", bars="2–2")),
        (MODES, _claim("lydian-dominant")),
    ],
)
def test_a_true_scale_has_no_problem(passage: Passage, claim: ScaleClaim) -> None:
    """Notes count by their sound, in the bars and the hand named; grace notes do not count."""
    assert _judged(passage, claim) == []


@pytest.mark.parametrize(
    ("passage", "claim", "problem"),
    [
        (BLUES, _claim("blues"), (
            10, "blues: 3 (E4) in bar 1, beat 3 is no part of it",
            'the notes come from bebop dorian; else write scale: {name: blues, outside: "3"}',
        )),
        (BLUES, _claim("major", outside="b3"), (
            42, "major: b7 (Bb4) in bar 2, beat 3 is no part of it",
            'the notes come from bebop dorian; else write scale: {name: major, outside: "b3 b7"}',
        )),
        (BLUES, _claim("blues", outside="3 6"), (
            42, "6 is listed outside, the notes have none",
            'write scale: {name: blues, outside: "3"}',
        )),
        (BLUES, _claim("blues", outside="b3 3", scope="RH"), (
            40, "b3 is listed outside, blues has it", 'write RH: {name: blues, outside: "3"}',
        )),
        (DORIAN, _claim("major"), (
            10, "major: b3 (F4) in bar 1, beat 3 is no part of it",
            'as written this holds with root: "b7"; else write scale: {name: major, outside: "b3 b7"}',
        )),
        (build("G4 A4 B4 C#5"), _claim("mixolydian", root="5", outside="#4"), (
            40, "#4 is listed outside, the notes have none",
            'write scale: {name: mixolydian, root: "5", outside: "#1"}',
        )),
        (BLUES, _claim("blus"), (10, "no scale is called 'blus'", "did you mean 'blues'?")),
        (BLUES, _claim("blues", root="1 2"), (20, "one degree is expected, '1 2' found", "")),
        (BLUES, _claim("blues", root="x"), (20, "one degree is expected, 'x' found", "")),
        (BLUES, _claim("blues", bars="one"), (
            30, "bars are expected, 'one' found", "write bars as 2 or 1-4",
        )),
        (BLUES, _claim("blues", bars="2-3"), (
            30, "bars 2-3 are claimed, the notation has 1 to 2", "",
        )),
        (BLUES, _claim("blues", outside="3 y"), (
            42, "a degree is expected, 'y' found",
            "write degrees as 1 b3 #4, from 1 to 13, with blanks between them",
        )),
        (BLUES, _claim("blues", scope="LH2"), (3, "the notation has no LH2", "its voices are RH, LH")),
        (build("C4:4 r:4"), _claim("major", bars="2"), (
            30, "nothing is struck there", "leave the claim out",
        )),
    ],
)  # fmt: skip
def test_a_false_scale_is_named_at_its_field(
    passage: Passage, claim: ScaleClaim, problem: tuple[int, str, str]
) -> None:
    """A message names the first note outside or the degree listed in vain, and what would hold."""
    assert _judged(passage, claim)[0] == problem


def test_degrees_outside_are_those_of_the_key() -> None:
    """Where they were counted from the scale's own root, the message says so."""
    passage = build("G4 A4 B4 C#5")
    hints = [hint for *_, hint in _judged(passage, _claim("mixolydian", root="5", outside="#4"))]
    assert hints[1] == (
        "as written this holds with outside counted from the scale's root; else "
        'write scale: {name: mixolydian, root: "5", outside: "#1"}'
    )


@pytest.mark.parametrize(
    ("passage", "scope", "text"),
    [
        (DORIAN, None, "dorian"),
        (BLUES, "LH", "major"),
        (MODES, None, "lydian dominant"),
        (build("C4 C#4 D4 Eb4 E4 F4 F#4 G4"), None, ""),
        (build("r:4"), None, ""),
    ],
)
def test_the_truth_is_a_scale_on_the_tonic(passage: Passage, scope: str | None, text: str) -> None:
    """The key's own scale is named first, else one that holds all notes; the chromatic never."""
    assert kind("scale").truth_text(passage, scope) == text
