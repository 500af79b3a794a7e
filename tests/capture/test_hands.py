"""Which hand plays what, held against the devices of the demo."""

from fractions import Fraction

from tests.outside.played import Piece, demo_pieces, meant
from transposary.capture.hands import named_hands, split_hands
from transposary.capture.values import Played, Take
from transposary.passage import Hand


def _is_right(piece: Piece) -> bool:
    wanted = sorted(meant(piece), key=lambda one: (one.onset, one.number))
    beat = 60 / piece.tempo
    played = [
        Played(
            one.number, float(one.onset) * beat, float(one.onset + one.length * Fraction(9, 10)) * beat, 80
        )
        for one in wanted
    ]
    hands = split_hands(played, [one.onset for one in wanted])
    return [hand.value for hand in hands] == [one.hand for one in wanted]


def test_the_hands_of_the_demo_are_told_apart() -> None:
    """Of the devices for two hands, every note of 95 in a hundred is given its author's hand."""
    two = [piece for piece in demo_pieces() if len(piece.passage.hands) == 2]
    assert sum(map(_is_right, two)) / len(two) >= 0.95


def test_two_channels_that_lie_apart_are_two_hands() -> None:
    """A keyboard in two zones says which hand plays, even where the hands cross; two voices do not."""
    notes = [(48, 1), (64, 0), (55, 1), (53, 0), (50, 1), (67, 0)]
    take = Take(tuple(Played(number, 0.0, 0.5, 80, channel=channel) for number, channel in notes))
    assert named_hands(take) == (Hand.LEFT, Hand.RIGHT) * 3
    close = Take(tuple(Played(60 + channel, 0.0, 0.5, 80, channel=channel) for _, channel in notes))
    assert named_hands(close) is None
