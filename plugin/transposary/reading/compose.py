"""YAML to a tree with positions, one stretch of lines at a time.

Only YAML's composer is used: it gives the exact line and column of every node and turns
nothing into numbers, booleans or objects.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import yaml

from transposary.problems import Place, Problem, SourceText
from transposary.reading.anchors import anchored
from transposary.reading.source import UNWANTED
from transposary.reading.tree import Listing, Looks, Node, Scalar, Style, Table, Unread

DEEPEST = 12
"""How deep values may be nested; an entry needs five levels."""

_REFUSED = "refused"
_COMMENT = re.compile(r"[ \t]+(#.*)")
_LOOKS = {
    "tag:yaml.org,2002:int": Looks.WHOLE,
    "tag:yaml.org,2002:float": Looks.DECIMAL,
    "tag:yaml.org,2002:bool": Looks.FLAG,
    "tag:yaml.org,2002:timestamp": Looks.DATE,
    "tag:yaml.org,2002:null": Looks.NOTHING,
}


@dataclass(frozen=True, slots=True)
class Composed:
    """What a stretch of lines says.

    Attributes:
        node: Its tree; None where the lines say nothing or cannot be read.
        problems: What is wrong in the part that was read.
        error: Why YAML cannot read it, or None.
    """

    node: Node | None
    problems: tuple[Problem, ...] = ()
    error: yaml.MarkedYAMLError | None = None


def compose(lines: Sequence[str], stretch: range, file: str) -> Composed:
    """Composes some lines of a file.

    Args:
        lines: All lines of the file as far as the front matter goes.
        stretch: Indices of the lines to read.
        file: Name of the file, for problems.
    """
    composer = _Composer("\n".join(lines[stretch.start : stretch.stop]) + "\n")
    try:
        found = composer.get_single_node()
    except yaml.MarkedYAMLError as error:
        return Composed(None, (), error)
    except ValueError:
        # An escape may name a character beyond the last one there is.
        unknown = yaml.MarkedYAMLError("while scanning a double-quoted scalar", None, "", composer.get_mark())
        return Composed(None, (), unknown)
    finally:
        composer.dispose()
    builder = _Builder(lines, file, stretch.start)
    builder.problems += [_refusal(builder.place(mark), what) for mark, what in composer.refused]
    return Composed(None if found is None else builder.node(found), tuple(builder.problems))


class _Composer(yaml.SafeLoader):
    """YAML's composer without anchors, aliases and tags, and with a limit to nesting."""

    def __init__(self, stream: str) -> None:
        super().__init__(stream)
        self.refused: list[tuple[yaml.Mark, str]] = []
        self._depth = 0

    def compose_node(self, parent: yaml.Node | None, index: int) -> yaml.Node | None:
        event = self.peek_event()  # type: ignore[no-untyped-call]  # untyped in the stubs
        mark = event.start_mark
        if isinstance(event, yaml.AliasEvent):
            self.get_event()  # type: ignore[no-untyped-call]  # untyped in the stubs
            self.refused.append((mark, f"*{event.anchor}"))
            return yaml.ScalarNode(_REFUSED, "", mark, mark)
        if event.anchor is not None:
            self.refused.append((mark, f"&{event.anchor}"))
            event.anchor = None
        if event.tag is not None:
            self.refused.append((mark, str(event.tag)))
        self._depth += 1
        if self._depth > DEEPEST:
            raise yaml.MarkedYAMLError(problem="nested too deep", problem_mark=mark)
        node = super().compose_node(parent, index)
        self._depth -= 1
        if node is not None and event.tag is not None:
            return yaml.ScalarNode(_REFUSED, "", mark, mark)
        return node


def _refusal(place: Place, what: str) -> Problem:
    if what.startswith(("&", "*")):
        return Problem(
            place,
            "entry.syntax",
            f"`{what}` is a cross-reference of YAML, which entries do not use",
            "write out what it stands for; a text that begins like this wants quotation marks",
        )
    return Problem(
        place,
        "entry.syntax",
        f"`{what}` is a tag of YAML, which entries do not use",
        "take it out; a text that begins like this wants quotation marks",
    )


def _escaped(place: Place, character: str) -> Problem:
    return Problem(
        place,
        "entry.character",
        f"this stands for an invisible character (U+{ord(character):04X}), where only text may stand",
        "delete it, or write two backslashes where one is meant",
    )


class _Builder:
    """Turns YAML's nodes into ours and gathers what is wrong with names of fields."""

    def __init__(self, lines: Sequence[str], file: str, above: int) -> None:
        self.lines = lines
        self.file = file
        self.above = above
        self.problems: list[Problem] = []

    def place(self, mark: yaml.Mark) -> Place:
        return Place(self.file, self.above + mark.line + 1, mark.column + 1)

    def node(self, node: yaml.Node) -> Node:
        place = self.place(node.start_mark)
        match node:
            case yaml.MappingNode():
                return self._table(node, place)
            case yaml.SequenceNode():
                return Listing(tuple(self.node(item) for item in node.value), place)
            case yaml.ScalarNode(tag=tag) if tag == _REFUSED:
                return Unread(place)
            case yaml.ScalarNode():
                return self._scalar(node, place)
            case _:
                raise TypeError(f"no node of YAML: {node!r}")

    def _table(self, node: yaml.MappingNode, place: Place) -> Table:
        pairs: list[tuple[Scalar, Node]] = []
        for key, value in node.value:
            name = self.node(key)
            if isinstance(name, Scalar) and name.looks is not Looks.NOTHING:
                pairs.append((name, self.node(value)))
            else:
                self.problems.append(_no_name(name.place))
        table, problems = unique(pairs, place)
        self.problems += problems
        return table

    def _scalar(self, node: yaml.ScalarNode, place: Place) -> Scalar:
        looks = _LOOKS.get(node.tag, Looks.TEXT)
        value = str(node.value)
        if node.style in ("|", ">"):
            return Scalar(self._block(value, place, node.style), place, Looks.TEXT, Style.BLOCK)
        if node.style in ("'", '"'):
            style, start = Style.QUOTED, Place(self.file, place.line, place.column + 1)
        else:
            style, start = Style.PLAIN, place
        end = self.place(node.end_mark)
        behind = _COMMENT.match(self.lines[end.line - 1], end.column - 1) if style is Style.PLAIN else None
        source = anchored(value, start, self.lines, node.style or "")
        if unwanted := UNWANTED.search(value):
            self.problems.append(_escaped(source.place(unwanted.start()), unwanted[0]))
            source = replace(source, value=UNWANTED.sub(" ", value))
        if behind is None:
            return Scalar(source, place, looks, style)
        comment = SourceText(behind[1].rstrip(), Place(self.file, end.line, behind.start(1) + 1))
        return Scalar(source, place, looks, style, comment)

    def _block(self, value: str, header: Place, style: str) -> SourceText:
        """Finds where the lines of a block begin, below its header."""
        first = header.line
        said = next((i for i in range(first, len(self.lines)) if self.lines[i].strip()), first)
        if style == ">":
            indent = _indent(self.lines[said]) if said < len(self.lines) else 0
            return anchored(value, Place(self.file, said + 1, indent + 1), self.lines, ">")
        content = value.lstrip("\n").split("\n")[0]
        indent = len(self.lines[said]) - len(content) if content else 0
        return SourceText(value, Place(self.file, first + 1, indent + 1), indent)


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _no_name(place: Place) -> Problem:
    return Problem(
        place,
        "entry.syntax",
        "expected the name of a field before the colon, found something else",
        "write `field: value`; put a text that begins like this into quotation marks",
    )


def unique(pairs: Sequence[tuple[Scalar, Node]], place: Place) -> tuple[Table, tuple[Problem, ...]]:
    """Makes a table, in which each name stands once."""
    kept: dict[str, tuple[Scalar, Node]] = {}
    problems: list[Problem] = []
    for key, value in pairs:
        name = key.source.value
        if name in kept:
            problems.append(
                Problem(
                    key.place,
                    "entry.duplicate",
                    f"`{name}` stands here a second time; the first is in line {kept[name][0].place.line}",
                    "keep one of them; several values of one field make a list",
                )
            )
        else:
            kept[name] = (key, value)
    return Table(tuple(kept.values()), place), tuple(problems)
