"""What is struck, and to which chord a note belongs."""

from fractions import Fraction

import pytest

from tests.theory.build import build
from transposary.notes import attacks
from transposary.passage import Bar, Passage
from transposary.theory.strikes import Strike, beat_of, chords_of, hand_voices, line_voices, strikes

TWO_HANDS = build("E4 G4", RH2="C4:2", LH="C2 [E2 G2]", meter="2/4")


def _pitches(strike: Strike) -> tuple[str, str]:
    struck = " ".join(str(note.pitch) for note in strike.struck)
    return struck, " ".join(str(note.pitch) for note in strike.sounding)


def test_a_chord_struck_counts_what_is_held() -> None:
    """A chord struck is everything that sounds when something is struck, lowest first."""
    found = [_pitches(strike) for strike in strikes(TWO_HANDS, hand_voices(TWO_HANDS, None))]
    assert found == [("C2 C4 E4", "C2 C4 E4"), ("E2 G2 G4", "E2 G2 C4 G4")]


def test_tied_notes_are_struck_once() -> None:
    """A tied note is struck at its attack, and held from then on."""
    passage = build("[C4~ E4] [C4 F4]", meter="2/4")
    assert [_pitches(one) for one in strikes(passage, ("RH",))] == [("C4 E4", "C4 E4"), ("F4", "C4 F4")]


def test_a_pitch_in_two_voices_counts_once() -> None:
    """Two voices that strike one key make one note."""
    passage = build("C4 E4", RH2="C4:2", meter="2/4")
    assert [_pitches(one) for one in strikes(passage, ("RH", "RH2"))] == [("C4", "C4"), ("E4", "C4 E4")]


def test_graces_lead_to_their_strike() -> None:
    """Grace notes stand with the strike that they lead to, those struck together in one group."""
    passage = build("C4 {B3}{D4 F4}E4", meter="2/4")
    graces = [[str(note.pitch) for note in group] for group in strikes(passage, ("RH",))[1].graces]
    assert graces == [["B3"], ["D4", "F4"]]


@pytest.mark.parametrize(
    ("scope", "lines", "hands"),
    [
        (None, ("RH", "RH2", "LH"), ("RH", "RH2", "LH")),
        ("RH", ("RH",), ("RH", "RH2")),
        ("RH2", ("RH2",), ("RH2",)),
        ("LH2", (), ()),
    ],
)
def test_a_scope_names_a_voice_or_a_hand(
    scope: str | None, lines: tuple[str, ...], hands: tuple[str, ...]
) -> None:
    """`RH` is one voice for claims about lines and the whole hand for claims about sounds."""
    assert (line_voices(TWO_HANDS, scope), hand_voices(TWO_HANDS, scope)) == (lines, hands)


def _chords(passage: Passage) -> list[str]:
    return [" or ".join(map(str, chords_of(passage, note))) for note in attacks(passage)]


def test_a_note_held_into_a_new_chord_anticipates() -> None:
    """An eighth before the change and held into it: the coming chord's note, or the old one's."""
    passage = build("C4:3 E4:1/2 F4~:1/2 F4:4", chords="0 C; 4 F")
    assert _chords(passage) == ["C", "C", "F or C"]


def test_a_note_that_stops_or_comes_early_does_not_anticipate() -> None:
    """A note that ends at the change, or is struck more than an eighth before it, does not anticipate."""
    assert _chords(build("C4:3 E4:1/2 F4:1/2 F4:4", chords="0 C; 4 F")) == ["C", "C", "C", "F"]
    assert _chords(build("C4:3 F4~ F4:4", chords="0 C; 4 F")) == ["C", "C"]


def test_notes_before_the_first_symbol_belong_to_it() -> None:
    """A pickup without a chord symbol is counted from the first one."""
    assert _chords(build("G3 | C4:4", chords="0 C")) == ["C", "C"]


def test_without_symbols_there_is_no_chord() -> None:
    """A passage without chord symbols gives its notes no chord."""
    assert _chords(build("C4:4")) == [""]


def test_a_divided_bar_goes_on_counting() -> None:
    """Where a repeat sign divides a bar, its second part counts on from the first."""
    whole = build("C4 D4 E4 F4")
    first, second = Fraction(3), Fraction(1)
    bars = (
        Bar(1, Fraction(0), first, whole.meter, repeat_ended=True),
        Bar(1, first, second, whole.meter),
    )
    divided = Passage(whole.keys, bars, whole.voices)
    assert [beat_of(divided, note.onset) for note in attacks(divided)] == [1, 2, 3, 4]
