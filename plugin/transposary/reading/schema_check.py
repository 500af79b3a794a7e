"""Holds the tree of an entry against its model, and words what does not fit.

No text of pydantic reaches an author; what its validators found only decides which of our
sentences is said.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TypeVar, get_args

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from transposary.problems import Place, Problem, SourceText
from transposary.reading.nearest import nearest
from transposary.reading.schema import EntryFields, Fields, TheoryFields
from transposary.reading.schema_values import TROUBLE, Trouble, found
from transposary.reading.tree import Listing, Path, Scalar, Table, TableValues, Unread, node_at

_Fields = TypeVar("_Fields", bound=EntryFields)

_STAND_INS: Mapping[str, str] = {"title": "?", "summary": "?", "role": "melody", "key": "C", "meter": "4/4"}
"""What stands for a required value that is missing or wrong, so that the rest is checked too."""

_BELONGS: Mapping[str, str] = {
    "key": "the notation gives it, in K:",
    "meter": "the notation gives it, in M:",
    **dict.fromkeys(TheoryFields.model_fields, "indent it below `theory:`"),
}
"""Where a device says what an author may look for among its fields."""

_ROUNDS = 5
_FORMS = ("words", "fields", "list")
_FIELD_OF_ABC = re.compile(r"[A-Z]")


def fields_of(table: Table, model: type[_Fields], noun: str) -> tuple[_Fields | None, tuple[Problem, ...]]:
    """Reads the fields of an entry.

    Args:
        table: The front matter.
        model: What the entry may say.
        noun: How messages call the kind of entry.

    Returns:
        The fields without those at fault, or None where nothing can be made of the entry;
        and what is wrong with them.
    """
    data = TableValues(table)
    problems: tuple[Problem, ...] = ()
    for attempt in range(_ROUNDS):
        try:
            return model.model_validate(data), problems
        except ValidationError as error:
            details = error.errors(include_url=False)
        if attempt == 0:
            problems = tuple(p for one in details for p in _problem(one, table, model, noun))
        _leave_out(data, details)
    return None, problems


def _leave_out(data: TableValues, details: list[ErrorDetails]) -> None:
    """Takes the values at fault out of the data, and puts stand-ins for required ones in."""
    # Where a field is missing, its group of fields is at fault, or the entry itself.
    faults = {_steps(data, one["loc"]) or one["loc"] for one in details}
    # Backwards, lest a list closes up before all of its faults are out.
    for path in sorted(faults, key=_order, reverse=True):
        container: object = data
        for step in path[:-1]:
            container = _child(container, step)
        _take_out(container, path[-1])
        if len(path) == 1 and path[0] in _STAND_INS:
            place = data.table.place
            data[str(path[0])] = Scalar(SourceText(_STAND_INS[str(path[0])], place), place)


def _order(path: Path) -> list[tuple[int, str]]:
    return [(step, "") if isinstance(step, int) else (-1, step) for step in path]


def _take_out(container: object, step: str | int) -> None:
    match container, step:
        case dict(), str():
            container.pop(step, None)
        case list(), int():
            del container[step]
        case _:
            raise TypeError(f"nothing to take out at {step!r}")


def _steps(data: object, loc: Path) -> Path:
    """Keeps of pydantic's location the steps that the data has; it also names forms of claims."""
    steps: list[str | int] = []
    for step in loc:
        child = _child(data, step)
        if child is not None:
            data = child
            steps.append(step)
    return tuple(steps)


def _child(container: object, step: str | int) -> object | None:
    match container:
        case Table() if isinstance(step, str):
            return container.value(step)
        case Listing() if isinstance(step, int) and step < len(container.items):
            return container.items[step]
        case dict():
            child: object = container.get(step)
            return child
        case list() if isinstance(step, int) and step < len(container):
            item: object = container[step]
            return item
        case _:
            return None


def _problem(detail: ErrorDetails, table: Table, model: type[Fields], noun: str) -> Iterator[Problem]:
    """Words one finding; none where it has been reported when the front matter was read."""
    loc, value = detail["loc"], detail["input"]
    if isinstance(value, Unread):
        return
    path = _steps(table, loc)
    node = node_at(table, path)
    place = node.place if node and path else Place(table.place.file)
    name = _called(loc)
    claim = str(loc[1]) if loc[0] == "theory" and len(loc) > 1 else ""
    match detail["type"]:
        case "missing":
            yield _missing(place, name, model, loc, noun)
        case "extra_forbidden":
            yield _unknown(_key_place(table, path), name, model, loc, noun)
        case "too_short" if isinstance(node, Listing) and node.items:
            # What is in it was wrong, and is told by itself.
            return
        case _:
            trouble = detail["ctx"][TROUBLE] if detail["type"] == TROUBLE else _wrong_form(detail, model)
            if trouble.text:
                yield _value(trouble, place, claim, path)


def _value(trouble: Trouble, place: Place, claim: str, path: Path) -> Problem:
    name = _called(path)
    hint = trouble.hint
    if trouble.offer:
        in_list = isinstance(path[-1], int)
        hint = f"write `{trouble.offer}`" if in_list else f"write `{name}: {trouble.offer}`"
        hint += f"; {trouble.hint}" if trouble.hint else ""
    if claim:
        return Problem(trouble.place or place, f"theory.{claim}", trouble.text, hint)
    return Problem(trouble.place or place, "entry.value", f"`{name}`: {trouble.text}", hint)


def _wrong_form(detail: ErrorDetails, model: type[Fields]) -> Trouble:
    """Says which form a value should have, by the example of the fields that it may hold."""
    value, loc = detail["input"], detail["loc"]
    fields = [pair for one in _models_at(model, loc) for pair in one.model_fields.items()]
    inside = [f"{name}: {(field.examples or '…')[0]}" for name, field in fields]
    example = (inside or _examples(model, loc) or ["name: value"])[0]
    match detail["type"]:
        case "tuple_type" if fields:
            hint = f"begin each item on a line below with `- `, such as `- {example}`"
            return Trouble(f"expected a list, {found(value)}", "", hint)
        case "tuple_type":
            offer = f"[{value.source.value}]" if isinstance(value, Scalar) and value.source.value else ""
            hint = "" if offer else "begin each item on a line below with `- `"
            return Trouble(f"expected a list, {found(value)}", offer, hint)
        case "too_short":
            return Trouble("expected at least one value, found none", "", "add one, or take the line out")
        case _:
            return Trouble(
                f"expected fields of its own, {found(value)}",
                "",
                f"put each on a line below, indented, such as `{example}`",
            )


def _missing(place: Place, name: str, model: type[Fields], loc: Path, noun: str) -> Problem:
    examples = _examples(model, loc)
    owner = f"a {noun}" if len(loc) == 1 else f"`{_called(loc[:-1])}`"
    hint = f"add a line such as `{name}: {examples[0]}`" if examples else ""
    return Problem(place, "entry.missing", f"{owner} needs the field `{name}`, found none", hint)


def _examples(model: type[Fields], loc: Path) -> list[str]:
    """Gives examples of a field at a location."""
    fields = [
        one.model_fields[str(loc[-1])] for one in _models_at(model, loc[:-1]) if loc[-1] in one.model_fields
    ]
    return [str(example) for field in fields for example in field.examples or ()]


def _unknown(place: Place, name: str, model: type[Fields], loc: Path, noun: str) -> Problem:
    known = sorted({field for one in _models_at(model, loc[:-1]) for field in one.model_fields})
    owner = f"a {noun}" if len(loc) == 1 else f"`{_called(loc[:-1])}`"
    near = nearest(name, known)
    if name in _BELONGS and len(loc) == 1 and noun == "device":
        hint = _BELONGS[name]
    elif near:
        hint = f"did you mean `{near}`?"
    elif _FIELD_OF_ABC.fullmatch(name) and len(loc) == 1:
        hint = "if it belongs to the notation, indent it below `notation: |`"
    else:
        hint = f"take it out; the fields are {', '.join(known)}"
    return Problem(place, "entry.unknown", f"{owner} has no field `{name}`", hint)


def _called(loc: Path) -> str:
    """Gives the last name on the way to a value; items of a list go by the name of the list."""
    return next(
        (step for step in reversed(loc) if isinstance(step, str) and " " not in step and step not in _FORMS),
        "",
    )


def _key_place(table: Table, path: Path) -> Place:
    owner = node_at(table, path[:-1])
    key = owner.key(str(path[-1])) if isinstance(owner, Table) else None
    return key.place if key else table.place


def _models_at(model: type[Fields], loc: Path) -> list[type[Fields]]:
    """Lists the models that may stand at a location, for the fields that they know."""
    models = [model]
    for step in loc:
        if isinstance(step, str) and any(step in one.model_fields for one in models):
            fields = [one.model_fields[step] for one in models if step in one.model_fields]
            models = [found for one in fields for found in _models_in(one.annotation)]
    return models


def _models_in(annotation: object) -> Iterator[type[Fields]]:
    if isinstance(annotation, type) and issubclass(annotation, Fields):
        yield annotation
    for part in get_args(annotation):
        yield from _models_in(part)
