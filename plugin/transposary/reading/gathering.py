"""Problems gathered while an entry is read, and what parsers return turned into them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TypeVar

from transposary.problems import Fault, Place, Problem, SourceText

_T = TypeVar("_T")


@dataclass(slots=True)
class Gathering:
    """The problems found so far."""

    problems: list[Problem] = field(default_factory=list)

    def error(self, place: Place, rule: str, text: str, hint: str = "") -> None:
        """Adds an error."""
        self.problems.append(Problem(place, rule, text, hint))

    def fault(self, fault: Fault, source: SourceText, rule: str, offset: int = 0) -> None:
        """Adds what a parser found wrong with the part of a text that begins at `offset`."""
        self.error(source.place(offset + fault.offset), rule, fault.text, fault.hint)

    def take(self, found: tuple[_T, Iterable[Problem]]) -> _T:
        """Keeps the problems of a reader and gives its result."""
        result, problems = found
        self.problems += problems
        return result

    def parsed(self, source: SourceText, parse: Callable[[str], _T | Fault], rule: str) -> _T | None:
        """Parses a text; None where it is at fault."""
        found = parse(source.value)
        if isinstance(found, Fault):
            self.fault(found, source, rule)
            return None
        return found
