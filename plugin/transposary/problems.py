"""What is wrong with an entry, as values.

Rooms never raise or log for an author's mistake: they return `Problem` values, and one
place (`report`) sorts and prints all those of a build.
"""

from __future__ import annotations

import posixpath
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Self

REMARKS = (
    "accidentals",
    "ambiguous-symbol",
    "clash",
    "crossing",
    "draft",
    "fingering",
    "left-out",
    "likeness",
    "low-interval",
    "mode",
    "notes-in-hand",
    "range",
    "reach",
    "speed",
    "spelling",
    "undefined",
    "unwritten",
)
"""Last parts of the rules that make remarks on devices, which `accept:` may name."""


class Severity(StrEnum):
    """How a problem weighs: an error fails a strict build, a remark is advice."""

    ERROR = "error"
    REMARK = "remark"


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A position in a file of the glossary.

    Attributes:
        file: Path relative to the entries folder, with forward slashes.
        line: Line, from 1.
        column: Column in characters, from 1.
    """

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class SourceText:
    """A piece of text taken from a file, which knows where each character stood.

    Attributes:
        value: The text, without quotes and without the indentation of a block.
        start: Place of the first character.
        indent: Characters cut off before each line but the first.
        anchors: Characters before which the text does not run on as in the file (a folded
            line, an escape), as (offset, line, column), in order.
    """

    value: str
    start: Place
    indent: int = 0
    anchors: tuple[tuple[int, int, int], ...] = ()

    def place(self, offset: int) -> Place:
        """Gives the place of the character at `offset` (0 to `len(value)`)."""
        for anchored, line, column in reversed(self.anchors):
            if anchored <= offset:
                return Place(self.start.file, line, column + offset - anchored)
        before = self.value[:offset]
        lines = before.count("\n")
        if self.indent and self.value[offset : offset + 1] in ("\n", "") and before[-1:] in ("\n", ""):
            # A blank line has no indentation.
            return Place(self.start.file, self.start.line + lines)
        if lines == 0:
            return Place(self.start.file, self.start.line, self.start.column + offset)
        column = offset - before.rfind("\n") + self.indent
        return Place(self.start.file, self.start.line + lines, column)

    def __str__(self) -> str:
        return self.value


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a text that does not know its file, as a parser returns it.

    Attributes:
        offset: Where in the text, from 0.
        text: What was expected and what was found.
        hint: How to mend it, or an empty string.
    """

    offset: int
    text: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that an author should mend or know.

    Attributes:
        place: Where the author has to look.
        rule: Dotted name of the rule, such as `theory.degrees`; `accept:` takes its last part.
        text: What was expected and what was found, in one sentence without a full stop.
        hint: How to mend it, or an empty string where there is nothing to add.
        severity: Error or remark.
    """

    place: Place
    rule: str
    text: str
    hint: str = ""
    severity: Severity = Severity.ERROR

    @classmethod
    def remark(cls, place: Place, rule: str, text: str, hint: str = "") -> Self:
        """Makes a problem that is advice only."""
        return cls(place, rule, text, hint, Severity.REMARK)

    @property
    def sort_key(self) -> tuple[Place, str, str]:
        """Orders problems as an author reads them: by place, then by rule."""
        return (self.place, self.rule, self.text)

    @property
    def record(self) -> dict[str, str | int]:
        """Gives the problem as other programs read it, in glossary.json and in `check`."""
        return {
            "file": self.place.file,
            "line": self.place.line,
            "column": self.place.column,
            "rule": self.rule,
            "severity": self.severity.value,
            "text": self.text,
            "hint": self.hint,
        }

    def __str__(self) -> str:
        tail = f"; {self.hint}" if self.hint else ""
        mark = "" if self.severity is Severity.ERROR else "remark: "
        return printable(f"{self.place}: {mark}{self.rule}: {self.text}{tail}")


def printable(text: str) -> str:
    r"""Makes of a text one line that a terminal shows and does not obey.

    Control characters, line ends and marks that turn the order of text become escapes such as `\x1b`.
    """
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() else ascii(sign)[1:-1] for sign in text)


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Sorts problems by place and drops repeated ones."""
    return tuple(sorted(set(problems), key=lambda problem: problem.sort_key))


def errors(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Keeps the problems that fail a strict build."""
    return tuple(p for p in problems if p.severity is Severity.ERROR)


def report(problems: Iterable[Problem]) -> str:
    """Prints problems in order, one a line, with a count at the end."""
    ordered = in_order(problems)
    wrong = len(errors(ordered))
    remarks = len(ordered) - wrong
    lines = [str(problem) for problem in ordered]
    lines.append(f"{_count(wrong, 'error')}, {_count(remarks, 'remark')}")
    return "\n".join(lines)


def report_for_github(problems: Iterable[Problem], folder: str) -> str:
    """Prints problems as GitHub's runner takes them, to show each beside its line of a change.

    Source: "Workflow commands for GitHub Actions" in GitHub's documentation: the commands
    `error` and `notice`, and which characters are written as percent escapes.

    Args:
        problems: The problems.
        folder: The entries folder as the repository knows it, with forward slashes; `.` for
            its top.
    """
    return "\n".join(_annotation(problem, folder) for problem in in_order(problems))


def _annotation(problem: Problem, folder: str) -> str:
    command = "error" if problem.severity is Severity.ERROR else "notice"
    place = problem.place
    named = {
        "file": posixpath.normpath(posixpath.join(folder, place.file)),
        "line": str(place.line),
        "col": str(place.column),
        "title": problem.rule,
    }
    said = ",".join(
        f"{name}={_escaped(text).replace(':', '%3A').replace(',', '%2C')}" for name, text in named.items()
    )
    tail = f"; {problem.hint}" if problem.hint else ""
    return f"::{command} {said}::{_escaped(problem.text + tail)}"


def _escaped(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def refusal(error: OSError) -> str:
    """Says what the machine refused, and where; it is no mistake of an author."""
    where = f"{error.filename}: " if error.filename else ""
    return f"{where}{error.strerror or error}"
