"""The claim `shapes`."""

import pytest

from tests.theory.build import build
from tests.theory.claims.claiming import holds, judged, kind
from transposary.passage import Passage

TWO_FIVE = build("[F3 A3 C4 E4]:2 [F3 A3 B3 E4]:2 [E3 G3 B3 D4]:4", chords="0 Dm7; 2 G7; 4 Cmaj7")
CLIMB = build("[F4 A4 C5]:2 [F4 A4 C5]:2", LH="A2 F2 C2:2", chords="0 F/A; 1 F; 2 F/C")
TRIADS = build("[C4 E4 G4] [E4 G4 C5] [C4 G4 E5]:2")
SHELLS = build("[D3 C4]:2 [G3 F4]:2 [E3 B3]:4", chords="0 Dm7; 2 G7; 4 Cmaj7")
QUARTAL = build("[D3 G3 C4 F4 A4]:4")


@pytest.mark.parametrize(
    ("passage", "scope", "words"),
    [
        (TWO_FIVE, None, ["minor 9th rootless", "dominant 13th rootless", "major 9th rootless"]),
        (TWO_FIVE, None, ["major 7th", "13 rootless", "minor 7th root position"]),
        (TWO_FIVE, None, "m9 rootless, dominant thirteenth rootless close, maj9 rootless"),
        (
            CLIMB,
            None,
            ["major triad 1st inversion", "major triad root position", "major triad 2nd inversion"],
        ),
        (CLIMB, "RH", ["major triad root position"]),
        (CLIMB, "RH", ["major triad", "major triad"]),
        (TRIADS, None, ["major triad root position", "first inversion close", "open"]),
        (SHELLS, None, ["minor 7th shell", "dominant 7th root position shell", "major 7th rootless shell"]),
        (QUARTAL, None, ["quartal"]),
        (QUARTAL, None, ["minor 11th root position quartal"]),
        (build("[C4 D4 F4 A4]:4"), None, ["minor 7th 3rd inversion"]),
        (build("[C4 D4 F4 A4]:4"), None, ["major 6th 2nd inversion"]),
        (build("[C4 E4]:2 [C4 E4 G4]:2"), None, ["major triad"]),
    ],
)
def test_true_shapes_have_no_problem(passage: Passage, scope: str | None, words: str | list[str]) -> None:
    """Quality, inversion and spacing may be said or left out; each name that a chord has is true."""
    assert judged(passage, "shapes", words, scope) == []


@pytest.mark.parametrize(
    ("passage", "text"),
    [
        (TWO_FIVE, "minor 9th rootless, dominant 13th rootless, major 9th rootless"),
        (CLIMB, "major triad 1st inversion, major triad root position, major triad 2nd inversion"),
        (SHELLS, "minor 7th root position, dominant 7th root position, major 7th rootless"),
        (build("[C4 C#4 D4]:4"), "close"),
        (build("C4:4"), ""),
    ],
)
def test_the_truth_names_each_chord(passage: Passage, text: str) -> None:
    """Chords are named in the order in which they change; one without a name only by its spacing."""
    assert kind("shapes").truth_text(passage, None) == text


TRIAD_LINE = 'shapes: ["major triad root position", "major triad 1st inversion", "open"]'
CLIMB_LINE = 'shapes: ["major triad 1st inversion", "major triad root position", "major triad 2nd inversion"]'
SECOND_TRIAD = "major triad 1st inversion (E4 G4 C5, close) in bar 1, beat 2"
THIRD_TRIAD = "major triad root position (C4 G4 E5, spread) in bar 1, beat 3"
FIRST_OF_CLIMB = "major triad 1st inversion (A2 F4 A4 C5, spread) in bar 1, beat 1"


@pytest.mark.parametrize(
    ("passage", "scope", "words", "problem"),
    [
        (TRIADS, None, ["major triad root position", "2nd inversion", "open"], (
            "21:1", f"2nd inversion is written, the notes have {SECOND_TRIAD}", f"write {TRIAD_LINE}",
        )),
        (TRIADS, "RH", ["major triad", "minor triad", "open"], (
            "21:1",
            f"minor triad is written, the notes have {SECOND_TRIAD}",
            'write RH: ["major triad", "major triad 1st inversion", "open"]',
        )),
        (CLIMB, None, ["root position"], (
            "20:1",
            f"root position is written, the notes have {FIRST_OF_CLIMB}; 1 chord is written, 3 are there",
            holds("for RH", CLIMB_LINE),
        )),
        (TRIADS, None, "root position, close,", (
            "20:22",
            f"{THIRD_TRIAD} is missing; 2 chords are written, 3 are there",
            f"write {TRIAD_LINE.replace('open', 'major triad root position')}",
        )),
        (TRIADS, None, ["major triad", "mayor triad"], (
            "21:1", "no quality is called 'mayor triad'", "did you mean major triad or minor triad?",
        )),
        (TWO_FIVE, None, "Dm9 rootless", (
            "20:1", "no quality is called 'Dm9'",
            "a shape has no root, because it goes through all keys: write minor 9th",
        )),
        (TRIADS, None, " ", (
            "20:1", "the claim says nothing", "name the shapes or leave the line out",
        )),
        (build("C4:4"), None, "major triad", (
            "19:1", "nowhere do two notes sound at once", "leave the claim out",
        )),
    ],
)  # fmt: skip
def test_a_false_shape_is_named_at_its_words(
    passage: Passage, scope: str | None, words: str | list[str], problem: tuple[str, str, str]
) -> None:
    """A message has what was said of a chord, what it is, its notes and their spacing."""
    assert judged(passage, "shapes", words, scope) == [problem]


def test_only_a_symbol_tells_of_a_silent_root() -> None:
    """Without a chord symbol a rootless chord is what its notes make; the message says so."""
    _, text, _ = judged(build("[F3 A3 C4 E4]:4"), "shapes", ["minor 9th rootless"])[0]
    found = "major 7th root position (F3 A3 C4 E4, close) in bar 1, beat 1"
    assert text == f"minor 9th rootless is written, the notes have {found}"
