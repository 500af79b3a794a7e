"""Collects the problems of one text while it is read."""

from __future__ import annotations

from transposary.problems import Fault, Place, Problem, SourceText, errors, in_order

SYNTAX = "reading.abc"
"""What cannot be read, or is no part of the subset."""
BARS = "reading.bars"
"""Bars, barlines and voices that do not fit together."""
TIES = "reading.ties"
"""Ties, slurs and tuplets that lead nowhere."""
"""A note whose accidental can be understood in two ways."""
SYMBOLS = "reading.symbols"
"""Chord symbols that cannot be read."""


MAX_PROBLEMS = 50
"""Where there are more, something else is wrong; the rest would only flood the author."""


def cut(text: str) -> str:
    """Shortens what an author wrote for a message."""
    return text if len(text) <= 20 else f"{text[:20]}…"


def counted(number: int, noun: str) -> str:
    """Writes a number with its noun: `1 bar`, `2 bars`."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


class Findings:
    """The problems found so far in a text, by offset.

    Attributes:
        source: The text.
    """

    def __init__(self, source: SourceText) -> None:
        self.source = source
        self._found: list[Problem] = []

    def add(self, offset: int, rule: str, text: str, hint: str = "") -> None:
        """Notes a problem at an offset of the text."""
        self.add_at(self.source.place(offset), rule, text, hint)

    def add_at(self, place: Place, rule: str, text: str, hint: str = "") -> None:
        """Notes a problem at a place."""
        self._found.append(Problem(place, rule, text, hint))

    def add_fault(self, offset: int, rule: str, fault: Fault) -> None:
        """Notes what a parser found wrong in a part of the text that begins at `offset`."""
        self.add(offset + fault.offset, rule, fault.text, fault.hint)

    def place(self, offset: int) -> Place:
        """Gives the place of an offset."""
        return self.source.place(offset)

    def note(self, problem: Problem) -> None:
        """Notes a problem as it is."""
        self._found.append(problem)

    @property
    def too_many(self) -> bool:
        """Whether reading on would only flood the author."""
        return len(self._found) > MAX_PROBLEMS

    @property
    def has_errors(self) -> bool:
        """Whether there is more than advice."""
        return bool(errors(self._found))

    def all(self) -> tuple[Problem, ...]:
        """Gives the problems in the order of their places, the first of them where there are too many."""
        found = in_order(self._found)
        if len(found) <= MAX_PROBLEMS:
            return found
        text = f"there are more than {MAX_PROBLEMS} problems; the rest is not shown"
        more = Problem(found[MAX_PROBLEMS].place, SYNTAX, text, "mend those before it and look again")
        return (*found[:MAX_PROBLEMS], more)
