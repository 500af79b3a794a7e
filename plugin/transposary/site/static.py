"""The style sheets and scripts of the pages, as they are published."""

from __future__ import annotations

import re
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

SCRIPT = "transposary.js"
SHIM = "iframe-worker.js"
MOVED = "moved.js"
THEME = Path(__file__).parent / "theme"
"""Templates that stand in for those of the theme."""
# The first is loaded before the theme's scripts, whose offline plugin leaves a shim of this name
# alone; the second belongs to pages of old addresses.
ALONE = (SHIM, MOVED)

# Comments that have their lines to themselves, and indentation. Nothing else is touched: what
# looks like white space inside a line may be a word of a text or a part of a pattern.
_COMMENT = re.compile(r"^[ \t]*(?:/\*.*?\*/[ \t]*|//[^\n]*)\n", re.MULTILINE | re.DOTALL)
_INDENT = re.compile(r"^[ \t]+|^\n", re.MULTILINE)


def shared() -> dict[str, bytes]:
    """Gives the scripts that every page runs, by name, in the order in which they run.

    Scripts lose their comments and indentation, which are a quarter of what a phone would fetch.
    """
    return {
        name: content for name, content in _beside().items() if name.endswith(".js") and name not in ALONE
    }


def assets() -> dict[str, bytes]:
    """Gives the style sheets of every page by name, in their order, and the scripts.

    The shared scripts are one file: a phone asks once, and it packs better than each by itself.
    """
    scripts = shared()
    others = {name: content for name, content in _beside().items() if name not in scripts}
    return others | {SCRIPT: b"".join(map(_apart, scripts.values()))}


def _apart(script: bytes) -> bytes:
    """Lets a script that fails stop none of those after it, as if it had a file to itself."""
    return b"try {\n" + script + b"} catch (error) { reportError(error); }\n"


def _beside() -> dict[str, bytes]:
    return _files(resources.files("transposary.site") / "assets")


def wanted() -> dict[str, bytes]:
    """Gives the scripts that some pages load when they want them (see `wanted.js`)."""
    found = _files(resources.files("transposary.site") / "assets" / "wanted")
    return {f"wanted/{name}": content for name, content in found.items()}


def _files(folder: Traversable) -> dict[str, bytes]:
    files = sorted((item for item in folder.iterdir() if item.is_file()), key=lambda item: item.name)
    return {item.name: _published(item.name, item.read_bytes()) for item in files}


def _published(name: str, content: bytes) -> bytes:
    return lean(content.decode()).encode() if name.endswith(".js") else content


def lean(script: str) -> str:
    """Leaves out what only contributors read; no text of a script may go over the end of a line."""
    return _INDENT.sub("", _COMMENT.sub("", script))
