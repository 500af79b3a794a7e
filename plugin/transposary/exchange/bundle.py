"""Entries as an archive that another glossary can import."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterable
from io import BytesIO
from pathlib import Path

from transposary.glossary import Concept, Entry
from transposary.importing.archive import FORMAT, MANIFEST
from transposary.reading.scorefiles import score_of

# The first day of the format: a file's own date would make other bytes on every machine.
_DAY = (1980, 1, 1, 0, 0, 0)


def may_leave(entry: Entry) -> bool:
    """Whether an entry may be handed on: no draft is, and no concept that nobody wrote."""
    return not entry.draft and not (isinstance(entry, Concept) and not entry.defined)


def write_bundle(root: Path, entries: Iterable[Entry], credit: tuple[str, str, str]) -> bytes:
    """Packs the files of entries, and the scores that they name, as they are.

    The same files give the same bytes on every machine, so nothing is compressed: what
    compression gives differs from one library to the next.

    Args:
        root: The folder of the entries.
        entries: Which of them.
        credit: What the glossary calls itself, whose it is and where it is published.
    """
    title, author, address = credit
    manifest = {"format": FORMAT, "title": title, "author": author, "address": address}
    members = {MANIFEST: f"{json.dumps(manifest, ensure_ascii=False, indent=2)}\n".encode()}
    for entry in entries:
        file = entry.place.file
        members[file] = (root / file).read_bytes()
        score = score_of(root, file, members[file])
        if score is not None:
            members[score] = (root / score).read_bytes()
    stream = BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_STORED) as archive:
        for name, content in sorted(members.items()):
            info = zipfile.ZipInfo(name, _DAY)
            info.create_system = 3
            info.external_attr = 0o100644 << 16
            archive.writestr(info, content)
    return stream.getvalue()
