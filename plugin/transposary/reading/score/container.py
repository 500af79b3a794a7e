"""From the bytes of a score file to its MusicXML text, within bounds.

Source: MusicXML 4.0, "Compressed .mxl files" (W3C Music Notation Community Group, 2021):
a ZIP archive whose `META-INF/container.xml` names the score.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib

from transposary.problems import Fault

MAX_BYTES = 2_000_000
"""Size of a file, and of all that an archive holds unpacked; a device has some ten thousand."""
MAX_MEMBERS = 50
"""Files in an archive."""

# What zipfile raises for damaged archives: the first two by its own account, the others where
# headers lie about compression, encryption, sizes or names (measured with mutated archives).
_DAMAGED = (
    *(zipfile.BadZipFile, zipfile.LargeZipFile),
    *(NotImplementedError, RuntimeError, EOFError, OSError, ValueError, zlib.error),
)
# As the standard has it; others unpack in steps that nobody can bound, and have errors of their own.
_PACKED = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ROOT_FILE = re.compile(r"<rootfile\b[^>]*\bfull-path\s*=\s*[\"']([^\"']+)[\"']")
_DECLARED = re.compile(rb"""<\?xml[^>]{0,80}?encoding\s*=\s*["']([A-Za-z0-9._-]{1,20})["']""")
_HINT = "export it as MusicXML (.musicxml) or compressed MusicXML (.mxl)"


def unpack(data: bytes, filename: str) -> str | Fault:
    """Gives the MusicXML text of a `.musicxml`, `.xml` or `.mxl` file."""
    if len(data) > MAX_BYTES:
        return Fault(0, f"the file has {len(data)} bytes, more than {MAX_BYTES}", "export the device alone")
    if not filename.lower().endswith((".musicxml", ".xml", ".mxl")):
        return Fault(0, f"expected a score, found {filename}", _HINT)
    if filename.lower().endswith(".mxl"):
        found = _from_archive(data)
        if isinstance(found, Fault):
            return found
        data = found
    return _decoded(data)


def _from_archive(data: bytes) -> bytes | Fault:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
            # Sizes stand in the directory of the archive: nothing is unpacked before they are added up.
            if len(members) > MAX_MEMBERS or sum(member.file_size for member in members) > MAX_BYTES:
                text = f"the archive unpacks to more than {MAX_BYTES} bytes or {MAX_MEMBERS} files"
                return Fault(0, text, "export the device alone")
            if any(member.compress_type not in _PACKED for member in members):
                return Fault(0, "the archive is neither stored nor deflated", _HINT)
            name = _score_name(archive)
            return Fault(0, "the archive holds no score", _HINT) if name is None else _member(archive, name)
    except _DAMAGED as error:
        return Fault(0, f"the archive cannot be unpacked: {str(error) or type(error).__name__}", _HINT)


def _score_name(archive: zipfile.ZipFile) -> str | None:
    names = archive.namelist()
    if "META-INF/container.xml" in names:
        match = _ROOT_FILE.search(_member(archive, "META-INF/container.xml").decode("utf-8", "replace"))
        if match is not None and match[1] in names:
            return match[1]
    scores = [
        name for name in names if name.endswith((".musicxml", ".xml")) and not name.startswith("META-INF/")
    ]
    return scores[0] if scores else None


def _member(archive: zipfile.ZipFile, name: str) -> bytes:
    with archive.open(name) as member:
        # A header may lie about the size, so reading stops where it should.
        return member.read(MAX_BYTES)


def _decoded(data: bytes) -> str | Fault:
    declared = _DECLARED.match(data.removeprefix(b"\xef\xbb\xbf").lstrip())
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encoding = "utf-16"
    else:
        encoding = declared[1].decode("ascii").lower() if declared is not None else "utf-8"
    if encoding not in ("utf-8", "utf-16", "us-ascii", "ascii", "iso-8859-1", "latin1"):
        return Fault(0, f"the encoding {encoding} is not read", "export the score as UTF-8")
    try:
        return data.decode("utf-8-sig" if encoding == "utf-8" else encoding)
    except UnicodeDecodeError as error:
        return Fault(0, f"the text is not {encoding}: {error.reason}", "export the score as UTF-8")
