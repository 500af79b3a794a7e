"""Every field, claim, option and command, as Markdown made from the code that reads them.

`python -m transposary.reference` prints it; a test holds the copy in `.github/REFERENCE.md`
against it.
"""

# What argparse and MkDocs know of their options has no public name.
# ruff: noqa: SLF001

from __future__ import annotations

import argparse
import ast
import inspect
import json
import sys
from collections.abc import Iterable, Iterator, Mapping
from importlib import import_module

from transposary.cli import command_parser
from transposary.glossary import Kind
from transposary.plugin import options
from transposary.problems import REMARKS
from transposary.reading.schema_json import json_schema
from transposary.theory.claims import CLAIMS
from transposary.theory.scales import SCALES

_Schema = Mapping[str, object]

_HEAD = """\
# Reference

Made from the code by `python -m transposary.reference`; do not edit it. The
[README](../README.md) says how all of this is used.
"""
_CLAIMS = """\
Claims stand under `theory:` in the head of a device. Each one is checked against the notes. A claim
about one voice or hand is written under its name: `degrees: {RH: "3 4 5", LH: "1 | 5"}`.
"""
_REMARKS = """\
These are what `accept:` of a device takes: {}.
"""
_OPTIONS = """\
They stand under `transposary:` in the plugins of `mkdocs.yml`. Each one may be left out.
"""
_COMMANDS = """\
A command ends with 0 where all is well, with 1 where entries have errors, and with 2 where it could
not do what was asked.
"""
_SINGLE: Mapping[str, str] = {"date": "a date", "uri": "an address", "object": "texts by name"}


def reference() -> str:
    """Writes the reference; the same on every machine."""
    parts = [_HEAD, "## Fields\n", *_kinds(), "## Claims\n", _CLAIMS, *_claims()]
    parts += ["## Scales\n", _scales(), "## Remarks\n", _REMARKS.format(_listed(REMARKS))]
    parts += ["## Options\n", _OPTIONS, _options(), "## Commands\n", _COMMANDS, *_commands(command_parser())]
    return "\n".join(parts)


def _kinds() -> Iterator[str]:
    tables: dict[str, tuple[str, _Schema]] = {}
    for kind in Kind:
        schema: _Schema = json.loads(json_schema(kind))
        yield f"### A {kind.noun}\n"
        yield f"A file in `{kind.value}/`.\n"
        yield _fields(schema)
        definitions = schema.get("$defs")
        for name, table in definitions.items() if isinstance(definitions, dict) else ():
            if "properties" in table:
                tables[name] = (_title(name), table)
    for title, table in (tables[name] for name in sorted(tables)):
        yield f"### {title}\n"
        yield f"{table['description']}\n"
        yield _fields(table)


def _title(name: str) -> str:
    """Names a table of fields: `AppliedFields` is `Applied`."""
    words = name.removesuffix("Fields")
    return (
        "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in words).strip().capitalize()
    )


def _fields(schema: _Schema) -> str:
    required = schema.get("required")
    needed = required if isinstance(required, list) else []
    properties = schema["properties"]
    rows = [
        (f"`{name}`" + (" (needed)" if name in needed else ""), field["description"], _takes(field))
        for name, field in (properties.items() if isinstance(properties, dict) else ())
    ]
    return _table(("field", "says", "takes"), rows)


def _takes(field: _Schema) -> str:
    """Says what may stand in a field."""
    match field:
        case {"$ref": str(name)}:
            title = _title(name.rpartition("/")[2])
            return f"[{title.lower()}](#{title.lower().replace(' ', '-')})"
        case {"anyOf": [dict(one), {"type": "array", "items": many}]} if one == many:
            return f"{_takes(one)}; or a list"
        case {"anyOf": list(forms)} | {"oneOf": list(forms)}:
            return ", or ".join(dict.fromkeys(_takes(form) for form in forms))
        case {"type": "array", "items": {"anyOf": list(forms)} | {"oneOf": list(forms)}}:
            return f"a list, each {' or '.join(_takes(form) for form in forms)}"
        case {"type": "array", "items": dict(items)}:
            return f"a list of {_takes(items).replace('a text', 'texts')}"
        case _:
            return _takes_one(field)


def _takes_one(field: _Schema) -> str:
    match field:
        case {"enum": list(words)}:
            return _listed(words)
        case {"type": "integer", "minimum": low, "maximum": high}:
            return f"a whole number from {low} to {high}"
        case _:
            return _SINGLE.get(str(field.get("format", field["type"])), "a text")


def _claims() -> Iterator[str]:
    for claim in CLAIMS:
        told = import_module(f"transposary.theory.claims.{claim.name}").__doc__ or ""
        yield f"### `{claim.name}`\n"
        yield f"{inspect.cleandoc(told)}\n"


def _scales() -> str:
    rows = [(scale.name, " ".join(map(str, scale.degrees)), ", ".join(scale.also)) for scale in SCALES]
    return _table(("scale", "degrees from its root", "also called"), rows)


def _listed(words: Iterable[object]) -> str:
    return ", ".join(f"`{word}`" for word in words)


def _options() -> str:
    """Reads the options as they stand in the code, each with the text below it."""
    classes = {
        node.name: dict(_attributes(node))
        for node in ast.parse(inspect.getsource(options)).body
        if isinstance(node, ast.ClassDef)
    }
    rows: list[tuple[str, str, str]] = []
    for name, option in options.TransposaryConfig._schema:
        told = classes["TransposaryConfig"][name if name != "import" else "import_"]
        parts = getattr(option, "config_class", None)
        rows.append((f"`{name}`", told, "options of its own" if parts else _default(option.default)))
        if parts is not None:
            own = classes[parts.__name__]
            rows += [(f"`{name}.{part}`", own[part], _default(one.default)) for part, one in parts._schema]
    return _table(("option", "says", "if left out"), rows)


def _default(value: object) -> str:
    return f"`{json.dumps(value)}`" if value not in ("", {}) else "none"


def _attributes(node: ast.ClassDef) -> Iterator[tuple[str, str]]:
    """Lists what a class sets, each with the text below it."""
    for one, below in zip(node.body, node.body[1:], strict=False):
        match one, below:
            case ast.Assign(targets=[ast.Name(id=name)]), ast.Expr(value=ast.Constant(value=str(text))):
                yield name, " ".join(text.split())


def _commands(parser: argparse.ArgumentParser) -> Iterator[str]:
    for command, told in _subcommands(parser):
        inner = list(_subcommands(command))
        if inner:
            yield from (part for one, text in inner for part in _command(one, text))
        else:
            yield from _command(command, told)


def _subcommands(parser: argparse.ArgumentParser) -> Iterator[tuple[argparse.ArgumentParser, str]]:
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            told = {choice.dest: choice.help or "" for choice in action._choices_actions}
            yield from ((one, told[name]) for name, one in action.choices.items())


def _command(parser: argparse.ArgumentParser, told: str) -> Iterator[str]:
    actions = [one for one in parser._actions if not isinstance(one, argparse._HelpAction)]
    yield f"### `{parser.prog}`\n"
    yield f"{told[:1].upper()}{told[1:]}.\n"
    yield _table(("word", "says", "takes"), [(_word(one), one.help or "", _values(one)) for one in actions])


def _word(action: argparse.Action) -> str:
    if not action.option_strings:
        return f"{action.metavar or action.dest}" + ("" if action.required else " (may be left out)")
    return f"`{action.option_strings[0]}`" + (" (needed)" if action.required else "")


def _values(action: argparse.Action) -> str:
    if action.choices:
        words = _listed(action.choices)
        return words + (f"; `{action.default}` if left out" if action.default else "")
    if action.nargs == 0:
        return "nothing"
    if action.option_strings and isinstance(action.default, int | str) and action.default:
        return f"`{action.default}` if left out"
    return ""


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = (head, ("---",) * len(head), *rows)
    cells = ([cell.replace("|", "\\|") for cell in line] for line in lines)
    return "".join(f"| {' | '.join(line)} |\n" for line in cells)


if __name__ == "__main__":
    sys.stdout.write(reference())
