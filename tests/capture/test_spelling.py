"""Spelling of captured notes in every key."""

from fractions import Fraction

import pytest

from tests.outside.played import demo_pieces
from transposary.capture.lengths import Placed
from transposary.capture.transcribing import write_down
from transposary.notes import attacks
from transposary.passage import Hand, Key, Meter, Mode
from transposary.pitch import Interval, NoteName
from transposary.theory.keys import SLOTS, tonic_of
from transposary.theory.naming import name_number
from transposary.theory.transposition import transpose


@pytest.mark.parametrize("mode", Mode)
def test_every_number_has_a_name_in_every_key(mode: Mode) -> None:
    """Whatever is struck sounds as it is spelled, in all modes of all twelve keys."""
    for slot in SLOTS:
        key = Key(tonic_of(slot, mode, {}), mode)
        assert [name_number(number, key).midi for number in range(128)] == list(range(128))


@pytest.mark.parametrize("slot", SLOTS)
def test_the_demo_is_spelled_as_its_author_spelled_it(slot: str) -> None:
    """Of the notes of all devices, 99 in a hundred have the name that the author's has in each key."""
    right, count = 0, 0
    for piece in demo_pieces():
        home = piece.passage.key
        tonic = tonic_of(slot, home.mode, {})
        up = tonic.fifths - home.tonic.fifths
        moved = attacks(transpose(piece.passage, Interval.of(up, up * 7 % 12)))
        placed = [Placed(one.pitch.midi, one.onset, one.duration, one.hand) for one in moved]
        written = write_down(_in_order(placed), piece.passage.meter, Key(tonic, home.mode)).passage
        found = {(one.onset, one.pitch.midi): one.pitch for one in attacks(written)}
        right += sum(found.get((one.onset, one.pitch.midi)) == one.pitch for one in moved)
        count += len(moved)
    assert right / count >= 0.99


def _in_order(placed: list[Placed]) -> list[Placed]:
    return sorted(set(placed), key=lambda one: (one.onset, one.number))


def _names(numbers: str, key: str) -> str:
    """Spells a line of quarter notes."""
    placed = [
        Placed(int(number), Fraction(index), Fraction(1), Hand.RIGHT)
        for index, number in enumerate(numbers.split())
    ]
    tonic, mode = key.split()
    written = write_down(placed, Meter(4, 4), Key(NoteName.parse(tonic), Mode(mode))).passage
    return " ".join(str(one.pitch.name) for one in attacks(written))


@pytest.mark.parametrize(
    ("numbers", "key", "names"),
    [
        ("72 67 66 65 64 60", "C major", "C G Gb F E C"),  # falling
        ("60 62 66 67 64 60", "C major", "C D F# G E C"),  # rising
        ("60 65 63 64 60", "C major", "C F D# E C"),  # two notes enclose the third
        ("67 60 63 64 60", "C major", "G C Eb E C"),  # the blue third
        ("79 78 77 76 74", "G mixolydian", "G F# F E D"),  # both sevenths of a bebop line
        ("69 71 68 69 64", "A minor", "A B G# A E"),
    ],
)
def test_a_note_goes_by_its_direction(numbers: str, key: str, names: str) -> None:
    """A chromatic note is spelled by where it goes; blue notes are not, but where they enclose."""
    assert _names(numbers, key) == names
