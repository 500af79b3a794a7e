"""Explanations, and how they are worded."""

from tests.theory.abc import passage
from transposary.passage import Hand
from transposary.theory.explanation import explain
from transposary.theory.wording import double_stop_sentences, motion_sentences, progression_parts, say_chord

TWO_FIVE_ONE = """M: 4/4
L: 1/8
K: C clef=bass
"Dm7" [F,A,CE]8 | "G7" [F,A,B,E]8 | "Cmaj7" [E,G,B,D]8"""

CLIMB = """M: 4/4
L: 1/8
K: C clef=bass
"F" F,4 "F#dim7" ^F,4 | "C/G" G,8"""


LIFT = """M: 4/4
L: 1/4
K: G
V:RH
"G" [DGB]4 | [K:Ab] "Eb7" [_D=G_B]4 | "Ab" [C_E_A]4 |
V:LH clef=bass
G,,4 | [K:Ab] _E,,4 | _A,,4 |"""


def _motion(music: str) -> tuple[str, ...]:
    played = passage(music)
    return motion_sentences(played, explain(played))


def test_chords_struck_are_named_by_degree_and_shape() -> None:
    """Each chord struck has its quality, its root's degree, its position and its spacing."""
    explanation = explain(passage(TWO_FIVE_ONE))
    assert [say_chord(fact) for fact in explanation.chords] == [
        "minor 9th on the 2nd, rootless, close",
        "dominant 13th on the 5th, rootless, close",
        "major 9th on the tonic, rootless, close",
    ]


def test_progressions_are_named() -> None:
    """The harmony of a ii–V–I is called so."""
    explanation = explain(passage(TWO_FIVE_ONE))
    assert progression_parts(explanation, ["ii7", "V7", "Imaj7"]) == (("ii7 V7 Imaj7", "ii–V–I"),)


def test_motion_of_one_line_and_of_two() -> None:
    """A single line is called the line, outer voices bass and top line."""
    assert _motion(CLIMB) == ("The line climbs by semitones: 4 ♯4 5.",)
    assert _motion(TWO_FIVE_ONE) == (
        "The bass descends by semitones: 4 3.",
        "The top line descends by step: 3 2.",
    )


def test_each_hand_has_its_outer_line() -> None:
    """What the other hand strikes while a hand rests belongs neither to its bass nor to its top line."""
    waltz = "M: 3/4\nL: 1/4\nK: C\nV:RH\nz [FAc] [FAc] | z [FGB] [FGB]\nV:LH\nD, z2 | G, z2"
    assert _motion(waltz) == (
        "The bass leaps: 2 5.",
        "The top line descends by semitones: 1 7.",
    )


def test_after_a_change_of_key_everything_is_counted_from_the_new_tonic() -> None:
    """Degrees, chords and lines have the numbers that the numerals have, and the line says the key."""
    explanation = explain(passage(LIFT))
    assert [say_chord(fact) for fact in explanation.chords] == [
        "major triad on the tonic, root position",
        "dominant 7th on the 5th, root position",
        "major triad on the tonic, root position",
    ]
    right = [str(fact.degree) for fact in explanation.notes if fact.note.hand is Hand.RIGHT]
    assert right == ["5", "1", "3", "4", "7", "2", "3", "5", "1"]
    assert _motion(LIFT) == (
        "The bass leaps: 1 (in the key a semitone higher) 5 1.",
        "The top line descends by step: 3 (in the key a semitone higher) 2 1.",
    )


def test_an_anticipated_chord_is_named_by_the_chord_it_belongs_to() -> None:
    """A chord that is struck early and held into the next bar has the name that it has there."""
    early = explain(passage('M: 4/4\nL: 1/8\nK: C\n"Dm7" [FAc]7 [FAB]- | "G7" [FAB]8'))
    assert say_chord(early.chords[-1]) == "dominant 9th on the 5th, rootless, close"


def test_double_stops_are_named_by_their_intervals() -> None:
    """Two notes of one hand make a double stop; a note in each hand, or three notes, make none."""
    sixths = passage('M: 4/4\nL: 1/4\nK: C\n"C" [Ec] [Fd] [Ge] z')
    assert double_stop_sentences(explain(sixths)) == ("The double stops are m6 M6 M6.",)
    hands = passage("M: 4/4\nL: 1/4\nK: C\nV:RH\nc d e z\nV:LH\nE, F, G, z")
    assert double_stop_sentences(explain(hands)) == ()
    assert double_stop_sentences(explain(passage(TWO_FIVE_ONE))) == ()
