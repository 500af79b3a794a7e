"""The archive in which a glossary is handed on: what it may hold, and how it is unpacked.

An archive comes from a stranger. It is looked through before a byte of it is unpacked, and
whatever no glossary needs refuses the whole of it.
"""

from __future__ import annotations

import json
import re
import stat
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from pathlib import Path
from zipfile import ZipInfo

from transposary.glossary import Kind, Source
from transposary.problems import Fault

MANIFEST = "transposary.json"
"""The member that says whose entries these are."""

FORMAT = 1
"""The format of the archives that are written; the only one there has been."""

MOST_FILES = 5_000
MOST_BYTES = 50_000_000
"""What all members may have together, unpacked: a thousand entries with their scores have less."""

_ENTRY = re.compile(rf"(?:{'|'.join(Kind)})/[a-z0-9-]+\.md")
_SCORE = re.compile(r"[^/]+(?:/[^/]+)*\.(?:musicxml|mxl|xml)", re.IGNORECASE)
# Those that every program writes; the others unpack in steps whose size nobody can bound.
_PACKED = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
# What zipfile raises for damaged archives; names that are not in the encoding they claim are a ValueError.
_DAMAGED = (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, ValueError, zlib.error)
_UNSAFE = re.compile(r"[\x00-\x1f\x7f\\\\:]")


def unpack(path: Path, folder: Path) -> Fault | None:
    """Unpacks an archive into an empty folder.

    Returns:
        Why it is refused; then nothing of it is unpacked.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            members = archive.infolist()
            refused = next(_refusals(members), None)
            if refused is not None:
                return refused
            for member in members:
                _write(archive, member, folder)
    except _DAMAGED as error:
        return Fault(0, f"it is no zip archive that can be read: {error}")
    except OSError as error:
        return Fault(0, f"it cannot be read: {error.strerror}")
    return None


def _refusals(members: list[ZipInfo]) -> Iterator[Fault]:
    if len(members) > MOST_FILES:
        yield Fault(0, f"expected at most {MOST_FILES:,} files, found {len(members):,}")
    size = sum(member.file_size for member in members)
    if size > MOST_BYTES:
        yield Fault(0, f"expected at most {MOST_BYTES:,} bytes when unpacked, found {size:,}")
    seen: set[str] = set()
    for member in members:
        yield from _of_member(member)
        folded = member.filename.casefold()
        if folded in seen:
            yield Fault(0, f"it holds {_shown(member)} twice")
        seen.add(folded)


def _of_member(member: ZipInfo) -> Iterator[Fault]:
    name = member.filename
    parts = name.split("/")
    if _UNSAFE.search(name) or name.startswith("/") or any(part in ("", ".", "..") for part in parts):
        yield Fault(0, f"{_shown(member)} would lie outside of its folder")
    elif stat.S_IFMT(member.external_attr >> 16) not in (0, stat.S_IFREG):
        yield Fault(0, f"{_shown(member)} is no file but a link or a device")
    elif member.flag_bits & 1:
        yield Fault(0, f"{_shown(member)} is encrypted")
    elif member.compress_type not in _PACKED:
        yield Fault(0, f"{_shown(member)} is neither stored nor deflated")
    elif name != MANIFEST and not _ENTRY.fullmatch(name) and not _SCORE.fullmatch(name):
        yield Fault(0, f"{_shown(member)} is neither an entry nor a score")


def _shown(member: ZipInfo) -> str:
    return f"`{ascii(member.filename)[1:-1][:80]}`"


def _write(archive: zipfile.ZipFile, member: ZipInfo, folder: Path) -> None:
    target = folder / member.filename
    target.parent.mkdir(parents=True, exist_ok=True)
    with archive.open(member) as packed:
        # Reading ends at the size that was declared and counted. Without a size, zipfile would unpack
        # gigabytes before it looks.
        target.write_bytes(packed.read(member.file_size))
        # At its end the content is held against its checksum.
        packed.read(1)


def read_manifest(folder: Path, name: str) -> Source | Fault:
    """Reads who is to be credited for an unpacked archive.

    Args:
        folder: Where it was unpacked.
        name: What this glossary calls the source.
    """
    try:
        found = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Fault(0, f"it holds no {MANIFEST}", "write it with  transposary export")
    except (ValueError, RecursionError):
        return Fault(0, f"its {MANIFEST} is no JSON", "write it again with  transposary export")
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        given = found.get("format") if isinstance(found, dict) else None
        text = f"it is written in format {ascii(given)[:20]}, and format {FORMAT} is read"
        return Fault(0, text, "write it again with a version of transposary like this one")
    title, author, address = (_text(found, field) for field in ("title", "author", "address"))
    return Source(name, title or name, author, address)


def _text(found: Mapping[str, object], field: str) -> str:
    value = found.get(field)
    return value if isinstance(value, str) else ""
