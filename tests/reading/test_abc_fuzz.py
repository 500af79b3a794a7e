"""Whatever an author types, the ABC reader answers."""

import random
from pathlib import Path

from transposary.problems import Place, SourceText, errors
from transposary.reading.abc import read_abc, write_abc

SEED = 20260
TUNES = tuple(
    path.read_text(encoding="utf-8") for path in sorted((Path(__file__).parent / "valid").glob("*.abc"))
)
SIGNS = "ABCDEFGabcdefgzxZX|:[](){}<>-.,'\"!^_=/\\%~&$0123456789 \n\tKMLVQw+é"


def _mutated(dice: random.Random, text: str) -> str:
    for _ in range(dice.choice((1, 1, 2, 3, 8))):
        first = dice.randrange(len(text) + 1)
        last = min(len(text), first + dice.randrange(1, 8))
        match dice.randrange(5):
            case 0:
                text = text[:first] + text[last:]
            case 1:
                text = text[:first] + dice.choice(SIGNS) * dice.choice((1, 1, 2, 30)) + text[first:]
            case 2:
                text = text[:first] + dice.choice(SIGNS) + text[first + 1 :]
            case 3:
                text = text[:first] + text[first:last] * dice.randrange(2, 5) + text[last:]
            case _:
                text = text[:first]
    return text


def test_two_thousand_mutations_are_read_or_refused() -> None:
    """A mutated tune gives a passage that can be written and read again, or errors, never an exception."""
    dice = random.Random(SEED)  # noqa: S311 - the same mutations on each run, nothing secret
    passages = 0
    for _ in range(2000):
        text = _mutated(dice, dice.choice(TUNES))
        passage, problems = read_abc(SourceText(text, Place("x.md")), None)
        assert (passage is None) == bool(errors(problems)), text
        if passage is not None:
            passages += 1
            assert read_abc(SourceText(write_abc(passage), Place("x.md")), None) == (passage, ()), text
    assert passages > 100
