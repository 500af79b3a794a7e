"""The offline copy of a site: a service worker that knows every file of one build.

The worker is a script at the site's root. Its version comes from the contents alone, so that the
same files give the same worker, and any change gives another one, which replaces it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from hashlib import sha256
from importlib import resources
from pathlib import Path
from urllib.parse import quote

from transposary.site.static import lean

WORKER = "offline-worker.js"
"""Where the worker lies; its folder is what it can answer for."""

_DIGITS = 16
# Downloads are large and rarely wanted; the rest is for machines.
_LEFT_OUT = (".mid", ".musicxml", ".map", ".xml", ".gz", ".zip", ".schema.json", WORKER)


def is_kept(address: str) -> bool:
    """Tells whether the offline copy has a file: pages and what they load, but no downloads."""
    return not address.endswith(_LEFT_OUT)


def kept_files(root: Path) -> Iterator[tuple[str, bytes]]:
    """Reads the files of a finished site that belong to the offline copy, one after another."""
    paths = ((path, path.relative_to(root).as_posix()) for path in root.rglob("*") if path.is_file())
    return ((address, path.read_bytes()) for path, address in paths if is_kept(address))


def worker(files: Iterable[tuple[str, bytes]]) -> bytes:
    """Writes the worker that keeps these files.

    Args:
        files: Addresses from the site's root, with the contents.
    """
    digests = {
        address: sha256(content).hexdigest()[:_DIGITS] for address, content in files if is_kept(address)
    }
    quoted = {quote(address): digest for address, digest in sorted(digests.items())}
    listed = json.dumps(quoted, separators=(",", ":"))
    version = sha256(listed.encode()).hexdigest()[:_DIGITS]
    text = _read("offline-worker.js").replace("%VERSION%", version).replace('"%FILES%"', listed)
    return text.encode()


def end_of_worker() -> bytes:
    """Gives the worker that takes an earlier one away, for a site that has no offline copy."""
    return _read("offline-end.js").encode()


def _read(name: str) -> str:
    return lean(resources.files(__package__).joinpath(name).read_text(encoding="utf-8"))
