"""Files that make editors complete and check entries while they are written.

No editor's YAML server reads the head of a Markdown file, so a setting that points one at the
schemas would do nothing. What works is made from the same schemas: snippets complete the
fields and their values, and a task runs `transposary check --watch` and puts each problem
under the line it is about. The schemas lie beside them for every other tool.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping

from transposary.glossary import Kind
from transposary.reading.schema_json import json_schema

SCHEMAS = ".schemas"
"""The folder of the schemas, beside mkdocs.yml."""

_ERROR = r"^(.+?):(\d+):(\d+): ([a-z-]+(?:\.[a-z-]+)+): (.+)$"
_REMARK = r"^(.+?):(\d+):(\d+): remark: ([a-z-]+(?:\.[a-z-]+)+): (.+)$"
_MATCHERS = (("transposary", "error", _ERROR), ("transposary-remarks", "info", _REMARK))
_BEGINS, _ENDS = r"^checking ", r"^\d+ errors?, \d+ remarks?$"

_Schema = Mapping[str, object]


def editor_files(entries: str) -> dict[str, str]:
    """Writes the schemas, and the settings of Visual Studio Code.

    Source: the editor's own documentation, "User-defined snippets" and "Defining a problem
    matcher" for a task that runs in the background.

    Args:
        entries: The folder of the entries, relative to the one of mkdocs.yml.

    Returns:
        The files by name relative to the folder of mkdocs.yml; the same on every machine.
    """
    schemas = {f"{SCHEMAS}/{kind.noun}.schema.json": f"{json_schema(kind)}\n" for kind in Kind}
    return schemas | {
        ".vscode/entries.code-snippets": _json(_snippets()),
        ".vscode/settings.json": _json({"[markdown]": {"editor.quickSuggestions": {"other": "on"}}}),
        ".vscode/tasks.json": _json(_tasks(entries)),
    }


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2) + "\n"


def _tasks(entries: str) -> _Schema:
    task = {
        "label": "check the glossary",
        "type": "shell",
        "command": "transposary check --watch",
        "isBackground": True,
        "presentation": {"reveal": "never"},
        "problemMatcher": [_matcher(entries, *kind) for kind in _MATCHERS],
        "runOptions": {"runOn": "folderOpen"},
    }
    return {"version": "2.0.0", "tasks": [task]}


def _matcher(entries: str, owner: str, severity: str, line: str) -> _Schema:
    return {
        # What one owner has found is forgotten when it begins anew: two matchers need two.
        "owner": owner,
        "severity": severity,
        "fileLocation": ["relative", f"${{workspaceFolder}}/{entries}"],
        "pattern": {"regexp": line, "file": 1, "line": 2, "column": 3, "code": 4, "message": 5},
        "background": {"activeOnStart": False, "beginsPattern": _BEGINS, "endsPattern": _ENDS},
    }


def _snippets() -> _Schema:
    """Makes a snippet of every field and claim under its name; kinds that share one share it."""
    found: dict[str, tuple[str, object, list[str]]] = {}
    for kind in Kind:
        schema: _Schema = json.loads(json_schema(kind))
        for name, field in _fields(schema):
            first: tuple[str, object, list[str]] = (_body(name, field, schema), field["description"], [])
            found.setdefault(name, first)[-1].append(f"a {kind.noun}")
        if kind is Kind.DEVICE:
            for name, field in _fields(_named("#/$defs/TheoryFields", schema)):
                found.setdefault(name, (f'{name}: "$1"', field["description"], []))[-1].append("a claim")
    return {
        name: {
            "scope": "markdown",
            "prefix": name,
            "body": body.split("\n"),
            "description": f"{told} Field of {', '.join(owners)}.",
        }
        for name, (body, told, owners) in sorted(found.items())
    }


def _fields(schema: _Schema) -> Iterator[tuple[str, _Schema]]:
    properties = schema["properties"]
    if isinstance(properties, dict):
        yield from properties.items()


def _named(ref: str, root: _Schema) -> _Schema:
    found: object = root
    for part in ref.removeprefix("#/").split("/"):
        found = found[part] if isinstance(found, dict) else found
    return found if isinstance(found, dict) else {}


def _body(name: str, field: _Schema, root: _Schema) -> str:
    match field:
        case {"type": "array", "items": {"$ref": str(ref)}}:
            first, second, *_ = (one for one, _ in _fields(_named(ref, root)))
            return f"{name}:\n  - ${{1|{first},{second}|}}: $2"
        case {"$ref": _}:
            return f"{name}:\n  $0"
        case {"type": "object"}:
            return f'{name}:\n  ${{1:A}}: "$2"'
        case {"type": "array"}:
            return f"{name}: [$1]"
        case _ if name == "notation":
            return f"{name}: |\n  $0"
        case _:
            return f"{name}: {_value(field)}"


def _value(field: _Schema) -> str:
    match field:
        case {"anyOf": [dict(first), *_]}:
            return _value(first)
        case {"enum": [*words]}:
            return f"${{1|{','.join(map(str, words))}|}}"
        case {"examples": [str(example), *_]} if not example.startswith('"'):
            return f"${{1:{example}}}"
        case {"examples": _}:
            return '"$1"'
        case _:
            return "$1"
