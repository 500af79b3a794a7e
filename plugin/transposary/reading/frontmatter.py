"""Front matter to a tree with the line and column of every name and value.

What YAML cannot read is cut at its indentation into smaller stretches, until only the ones
at fault are left out: all problems of a file come out at once.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import yaml

from transposary.problems import Place, Problem, SourceText, in_order
from transposary.reading.compose import DEEPEST, compose, unique
from transposary.reading.source import EntryText
from transposary.reading.syntax import syntax_problem
from transposary.reading.tree import Listing, Node, Scalar, Table, Unread

_ABOVE_CHILDREN = re.compile(r"\s*([A-Za-z_][\w-]*):\s*(?:#.*)?")
_BLOCK_HEADER = re.compile(r"\s*([A-Za-z_][\w-]*):\s*[|>][+-]?\s*(?:#.*)?")
_NAME = re.compile(r"\s*([A-Za-z_][\w-]*)\s*:")
_FIELD_OF_OURS = re.compile(r"[a-z_]{2,}:(?![|:])")


def read_front_matter(entry: EntryText) -> tuple[Table, tuple[Problem, ...]]:
    """Reads what stands between the two `---` into a tree.

    Values that could not be read are `Unread` in it, under their name.
    """
    reader = _Reader(entry.lines, entry.file)
    node = reader.read(range(1, len(entry.lines)), 0)
    if isinstance(node, Scalar | Listing):
        reader.problems.append(_no_field(node))
    table = node if isinstance(node, Table) else Table((), Place(entry.file))
    return table, in_order(reader.problems)


def _no_field(node: Scalar | Listing) -> Problem:
    glued = _NAME.match(node.source.value) if isinstance(node, Scalar) else None
    if isinstance(node, Scalar) and glued:
        return Problem(
            node.source.place(glued.end() - 1),
            "entry.syntax",
            "expected a space behind the colon, found none",
            f"write `{glued[1]}: {node.source.value[glued.end() :]}`",
        )
    return Problem(
        node.place,
        "entry.syntax",
        "expected a line `field: value`, found a text without a field",
        "if it goes on from the line above, indent it by two spaces; "
        "if the prose begins here, put a line `---` above it",
    )


@dataclass(slots=True)
class _Reader:
    """Reads stretches of one front matter and gathers what is wrong with them."""

    lines: Sequence[str]
    file: str
    problems: list[Problem] = field(default_factory=list)

    def read(self, stretch: range, depth: int) -> Node | None:
        """Reads a stretch; `depth` counts the stretches that it is part of."""
        composed = compose(self.lines, stretch, self.file)
        if composed.error is None:
            self.problems += composed.problems
            return composed.node
        pieces = self._pieces(stretch)
        below = range(stretch.start + 1, stretch.stop)
        above = _ABOVE_CHILDREN.fullmatch(self.lines[stretch.start])
        before = len(self.problems)
        if len(pieces) > 1:
            node: Node = self._join([self.read(piece, depth) for piece in pieces], self._place(stretch.start))
        elif above and depth < DEEPEST and any(self._spoken(below)):
            node = self._field(above[1], stretch.start, self.read(below, depth + 1))
        else:
            node = self._unread(stretch)
        if len(self.problems) == before:
            self.problems.append(self._problem(stretch, composed.error))
        return node

    def _unread(self, stretch: range) -> Node:
        name = _NAME.match(self.lines[stretch.start])
        place = self._place(stretch.start)
        if self.lines[stretch.start].lstrip(" ").startswith("- "):
            return Listing((Unread(place),), place)
        return self._field(name[1], stretch.start, Unread(place)) if name else Unread(place)

    def _problem(self, stretch: range, error: yaml.MarkedYAMLError) -> Problem:
        header = _BLOCK_HEADER.fullmatch(self.lines[stretch.start])
        if header and any(self._spoken(range(stretch.start + 1, stretch.stop))):
            line = self._outside_block(stretch)
            field = _FIELD_OF_OURS.match(self.lines[line].lstrip(" "))
            place = self._place(line)
            return _displaced(field[0], header[1], place) if field else _not_indented(header[1], place)
        return syntax_problem(error, self.file, self.lines, stretch.start)

    def _outside_block(self, stretch: range) -> int:
        """Finds the line that is indented less than the block to which it should belong."""
        below = list(self._spoken(range(stretch.start + 1, stretch.stop)))
        least = max(self._indent(below[0]), self._indent(stretch.start) + 1)
        return next((i for i in below if self._indent(i) < least), below[0])

    def _spoken(self, stretch: range) -> Iterator[int]:
        """Walks through the lines that say something."""
        return (i for i in stretch if self.lines[i].strip() and not self.lines[i].lstrip().startswith("#"))

    def _pieces(self, stretch: range) -> list[range]:
        """Cuts a stretch before each line that is indented as little as its first."""
        starts: list[int] = []
        for i in self._spoken(stretch):
            outdented = starts and self._indent(i) <= self._indent(starts[0])
            if not starts or (outdented and not self._goes_on(starts, i)):
                starts.append(i)
        return [range(a, b) for a, b in zip(starts, [*starts[1:], stretch.stop], strict=True)]

    def _goes_on(self, starts: list[int], line: int) -> bool:
        """Whether a line belongs to the field above it though it is not indented."""
        text = self.lines[line].lstrip(" ")
        if _BLOCK_HEADER.fullmatch(self.lines[starts[-1]]):
            return not _FIELD_OF_OURS.match(text)
        in_list = self.lines[starts[0]].lstrip(" ").startswith("- ")
        return text.startswith(("]", "}")) or (text.startswith("- ") and not in_list)

    def _join(self, nodes: Sequence[Node | None], place: Place) -> Node:
        self.problems += [_no_field(node) for node in nodes if isinstance(node, Scalar)]
        listed = [node.items for node in nodes if isinstance(node, Listing)]
        if listed:
            return Listing(tuple(item for items in listed for item in items), place)
        pairs = [pair for node in nodes if isinstance(node, Table) for pair in node.fields]
        table, problems = unique(pairs, place)
        self.problems += problems
        return table

    def _field(self, name: str, line: int, value: Node | None) -> Table:
        place = self._place(line)
        key = Scalar(SourceText(name, place), place)
        return Table(((key, value or Unread(place)),), place)

    def _indent(self, line: int) -> int:
        return len(self.lines[line]) - len(self.lines[line].lstrip(" \t"))

    def _place(self, line: int) -> Place:
        return Place(self.file, line + 1, self._indent(line) + 1)


def _not_indented(name: str, place: Place) -> Problem:
    return Problem(
        place,
        "entry.syntax",
        f"the lines of `{name}: |` are indented alike, by two spaces or more; this one is not",
        "put as many spaces before it as before the first line of the block",
    )


def _displaced(field: str, name: str, place: Place) -> Problem:
    return Problem(
        place,
        "entry.syntax",
        f"`{field}` does not begin where `{name}:` begins, in a line above it",
        f"put as many spaces before `{field}` as before `{name}:`",
    )
