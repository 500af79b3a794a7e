"""Lines of a claim and their truths, for tests: both said in the grammar itself."""

from fractions import Fraction

from transposary.problems import Fault
from transposary.theory.counting import Fact, Line, Moment, Truth, read_groups, with_keys

NAMES = {"1": "C4", "2": "D4", "b3": "Eb4", "3": "E4", "4": "F4", "5": "G4"}


def key(word: str) -> str | Fault:
    """Gives the key of a word that the fixture knows."""
    return word if word in NAMES else Fault(0, f"no degree: {word}")


def line(text: str) -> Line:
    """Reads a line that has to be right."""
    found = with_keys(read_groups(text), key)
    assert isinstance(found, Line), found
    return found


def truth(text: str) -> Truth:
    """Makes the truth that a line would be: the fixture says the music in the grammar itself."""
    return tuple(
        Moment(
            group.bar + 1,
            Fraction(group.bar + 1),
            tuple(Fact(word.text, frozenset({word.text}), NAMES[word.text]) for word in group.words),
            grace=group.grace,
        )
        for group in line(text).groups
    )
