"""Laws of passages that are moved into the other mode."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tests.theory.build import build, chord
from transposary.notes import notes
from transposary.passage import Passage
from transposary.pitch import Degree
from transposary.theory.modes import to_mode

_MAJOR = ["C4", "D4", "E4", "F4", "G4", "A4", "B4"]
_ALTERED = ["Db4", "Eb4", "F#4", "Ab4", "Bb4"]


def _line(names: list[str]) -> st.SearchStrategy[Passage]:
    chosen = st.lists(st.sampled_from(names), min_size=1, max_size=8)
    return chosen.map(lambda found: build(" ".join(found), chords="0 C"))


def _degrees(passage: Passage) -> list[Degree]:
    return [Degree.between(passage.key.tonic, note.pitch.name) for note in notes(passage)]


@given(_line(_MAJOR))
def test_into_minor_and_back(passage: Passage) -> None:
    """A line of the major scale comes back from minor as it was, with the degrees named both ways."""
    minor, moved = to_mode(passage, lambda _: None, minor=True)
    major, back = to_mode(minor, lambda _: None, minor=False)
    assert major == passage
    assert [(other, one) for one, other in moved] == list(back)


@given(_line([*_MAJOR, *_ALTERED]))
def test_only_the_third_sixth_and_seventh_move(passage: Passage) -> None:
    """Each of them loses a semitone unless it was altered already; every other note stays."""
    minor, _ = to_mode(passage, lambda _: None, minor=True)
    expected = [
        Degree(one.number, -1) if one.number in (3, 6, 7) and one.alter == 0 else one
        for one in _degrees(passage)
    ]
    assert _degrees(minor) == expected


@given(_line(_MAJOR))
def test_the_leading_note_stays_where_the_chord_has_it(passage: Passage) -> None:
    """Over a dominant seventh the third of that chord keeps its place, and nothing is said of it."""
    minor, moved = to_mode(passage, lambda _: chord("G7"), minor=True)
    kept = [Degree(7, 0)] * [one.number for one in _degrees(passage)].count(7)
    assert [one for one in _degrees(minor) if one.number == 7] == kept
    assert all(one.number != 7 for one, _ in moved)
