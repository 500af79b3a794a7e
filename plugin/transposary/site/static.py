"""The style sheets and scripts of the pages, as they are published."""

from __future__ import annotations

from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

import rjsmin

SCRIPT = "transposary.js"
SHIM = "iframe-worker.js"
MOVED = "moved.js"
THEME = Path(__file__).parent / "theme"
"""Templates that stand in for those of the theme."""
# The first is loaded before the theme's scripts, whose offline plugin leaves a shim of this name
# alone; the second belongs to pages of old addresses.
ALONE = (SHIM, MOVED)


def shared() -> dict[str, bytes]:
    """Gives the scripts that every page runs, by name, in the order in which they run."""
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
    return b"try{" + script + b"}catch(error){reportError(error)}\n"


def _beside() -> dict[str, bytes]:
    return _files(resources.files("transposary.site") / "assets")


def wanted() -> dict[str, bytes]:
    """Gives the scripts that some pages load when they want them (see `wanted.js`).

    What lies in a folder is always wanted together: it is one file with the name of the folder.
    """
    folder = resources.files("transposary.site") / "assets" / "wanted"
    together = sorted((one for one in folder.iterdir() if one.is_dir()), key=lambda one: one.name)
    found = _files(folder) | {f"{one.name}.js": b"\n".join(_files(one).values()) for one in together}
    return {f"wanted/{name}": content for name, content in found.items()}


def _files(folder: Traversable) -> dict[str, bytes]:
    files = sorted((item for item in folder.iterdir() if item.is_file()), key=lambda item: item.name)
    return {item.name: _published(item.name, item.read_bytes()) for item in files}


def _published(name: str, content: bytes) -> bytes:
    return lean(content.decode()).encode() if name.endswith(".js") else content


def lean(script: str) -> str:
    """Leaves out what only contributors read: comments, and white space between words."""
    text: str = rjsmin.jsmin(script)
    return text
