"""The style sheets and scripts that every page loads, as they are published."""

from __future__ import annotations

import re
from collections.abc import Mapping
from importlib import resources

# Comments that have their lines to themselves, and indentation. Nothing else is touched: what
# looks like white space inside a line may be a word of a text or a part of a pattern.
_COMMENT = re.compile(r"^[ \t]*(?:/\*.*?\*/[ \t]*|//[^\n]*)\n", re.MULTILINE | re.DOTALL)
_INDENT = re.compile(r"^[ \t]+|^\n", re.MULTILINE)


def assets() -> Mapping[str, bytes]:
    """Gives the files by name, in the order in which pages load them.

    Scripts lose their comments and indentation, which are a quarter of what a phone would fetch.
    """
    folder = resources.files("transposary.site") / "assets"
    files = sorted((item for item in folder.iterdir() if item.is_file()), key=lambda item: item.name)
    return {item.name: _published(item.name, item.read_bytes()) for item in files}


def _published(name: str, content: bytes) -> bytes:
    return lean(content.decode()).encode() if name.endswith(".js") else content


def lean(script: str) -> str:
    """Leaves out what only contributors read; no text of a script may go over the end of a line."""
    return _INDENT.sub("", _COMMENT.sub("", script))
