"""What stands in front matter, as a tree that knows where everything stood.

The tree keeps the author's own characters: a scalar is never turned into a number or a
boolean here, so nothing is lost before its field says what it wants.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from transposary.problems import Place, SourceText


class Looks(StrEnum):
    """What YAML 1.1 takes a scalar for; the value is how messages call it."""

    TEXT = "text"
    WHOLE = "a number"
    DECIMAL = "a decimal number"
    FLAG = "yes or no"
    DATE = "a date"
    NOTHING = "nothing"


class Style(StrEnum):
    """How a scalar is written."""

    PLAIN = "plain"
    QUOTED = "quoted"
    BLOCK = "block"


@dataclass(frozen=True, slots=True)
class Scalar:
    """One value.

    Attributes:
        source: The text and where its characters stood.
        place: Where it begins, its quotation mark or `|` included.
        looks: What YAML takes it for.
        style: How it is written.
        comment: The comment behind it on its line, from the `#`, where it is written plain;
            else None.
    """

    source: SourceText
    place: Place
    looks: Looks = Looks.TEXT
    style: Style = Style.PLAIN
    comment: SourceText | None = None


@dataclass(frozen=True, slots=True)
class Listing:
    """A list of values."""

    items: tuple[Node, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Table:
    """Fields with their values, each name once, in the order of the file."""

    fields: tuple[tuple[Scalar, Node], ...]
    place: Place

    def key(self, name: str) -> Scalar | None:
        """Gives the name of a field as it is written, or None where there is no such field."""
        return next((key for key, _ in self.fields if key.source.value == name), None)

    def value(self, name: str) -> Node | None:
        """Gives the value of a field, or None where there is no such field."""
        return next((node for key, node in self.fields if key.source.value == name), None)


@dataclass(frozen=True, slots=True)
class Unread:
    """A value that could not be read; what is wrong with it has been reported already."""

    place: Place


Node = Scalar | Listing | Table | Unread
Path = tuple[str | int, ...]


def node_at(root: Node, path: Path) -> Node | None:
    """Follows names and list indices down the tree; None where it does not go on."""
    node: Node | None = root
    for step in path:
        match node, step:
            case Table(), str():
                node = node.value(step)
            case Listing(), int() if step < len(node.items):
                node = node.items[step]
            case _:
                return None
    return node


def quoted(text: str) -> str:
    """Puts a text into quotation marks that YAML leaves alone, on one line."""
    flat = " ".join(text.split())
    if '"' in flat or "\\" in flat:
        return "'" + flat.replace("'", "''") + "'"
    return f'"{flat}"'


class TableValues(dict[str, object]):
    """The fields of a table by name, for the models, which still knows the table."""

    def __init__(self, table: Table) -> None:
        super().__init__((key.source.value, values(node)) for key, node in table.fields)
        self.table = table


def values(node: Node) -> object:
    """Turns tables and lists into those that models take; scalars stay as they are."""
    match node:
        case Table():
            return TableValues(node)
        case Listing():
            return [values(item) for item in node.items]
        case _:
            return node
