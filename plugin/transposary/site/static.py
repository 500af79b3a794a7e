"""The style sheets and scripts that every page loads, as they are published."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import resources

from rjsmin import jsmin


def assets() -> Mapping[str, bytes]:
    """Gives the files by name, in the order in which pages load them.

    Scripts lose their comments and indentation, which are a third of what a phone would fetch.
    """
    folder = resources.files("transposary.site") / "assets"
    files = sorted((item for item in folder.iterdir() if item.is_file()), key=lambda item: item.name)
    return {item.name: _published(item.name, item.read_bytes()) for item in files}


def _published(name: str, content: bytes) -> bytes:
    return jsmin(content.decode()).encode() if name.endswith(".js") else content
