"""An entry's file as text: decoding, line ends, and the cut between front matter and prose."""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass

from transposary.problems import Place, Problem

LONGEST_FILE = 1_000_000
"""Bytes that an entry may have; more is never an entry, and would only cost time."""

MOST_LINES = 2_000
"""Lines of fields that an entry may have."""

MOST_CHARACTERS = 100_000
"""Characters that its fields may have; those of a device have some two thousand."""

_FENCE = re.compile(r"---[ \t]*")
_CLOSING = re.compile(r"(?:---|\.\.\.)[ \t]*")
_FIELD_OR_LIST = re.compile(r"[A-Za-z_][\w .-]*:(?:\s|$)|-(?:\s|$)|#|[ \t]|[\]}\"']")
UNWANTED = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufeff\ufffe\uffff]"
)
"""What no field may hold.

Control characters and what is no character at all; U+0085, U+2028 and U+2029, which YAML counts as
line ends and editors do not; and the marks that turn the order of all text behind them.

Source: Unicode Standard Annex 9 (explicit directional embeddings, overrides and isolates).
"""


@dataclass(frozen=True, slots=True)
class EntryText:
    """A file cut in two.

    Attributes:
        file: Path of the file, as problems name it.
        lines: The lines of the file as far as the fields go; the first is the opening `---`.
        prose: The Markdown below.
    """

    file: str
    lines: tuple[str, ...]
    prose: str


def split_entry(data: bytes, file: str) -> tuple[EntryText | None, tuple[Problem, ...]]:
    """Decodes a file and cuts it into front matter and prose.

    A byte order mark and the line ends of other systems are taken as they come.

    Returns:
        The parts, or None where there is no front matter to read, and what is wrong.
    """
    if len(data) > LONGEST_FILE:
        return None, (too_large(len(data), file),)
    text, trouble = _decode(data, file)
    if text is None:
        return None, trouble
    lines = text.split("\n")
    if not _FENCE.fullmatch(lines[0]):
        return None, (_no_fence(lines, file),)
    end = next((i for i, line in enumerate(lines[1:], 1) if _CLOSING.fullmatch(line)), None)
    trouble = ()
    below = 1
    if end is None:
        end = _likely_end(lines)
        trouble = (_not_closed(end, file),)
        below = 0
    if end > MOST_LINES:
        return None, (_too_long(f"{MOST_LINES:,} lines of fields", f"{end:,}", file),)
    size = sum(map(len, lines[:end]))
    if size > MOST_CHARACTERS:
        return None, (_too_long(f"{MOST_CHARACTERS:,} characters of fields", f"{size:,}", file),)
    fields = tuple(UNWANTED.sub(" ", line) for line in lines[:end])
    entry = EntryText(file, fields, "\n".join(lines[end + below :]))
    return entry, (*trouble, *_invisible(lines[:end], file))


def _decode(data: bytes, file: str) -> tuple[str | None, tuple[Problem, ...]]:
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return None, (_not_utf8(Place(file), "UTF-16"),)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        good = data[: error.start].decode("utf-8-sig", errors="replace")
        place = Place(file, good.count("\n") + 1, len(good) - good.rfind("\n"))
        return None, (_not_utf8(place, f"the byte {data[error.start]:#04x}"),)
    return text.replace("\r\n", "\n").replace("\r", "\n"), ()


def _not_utf8(place: Place, found: str) -> Problem:
    return Problem(
        place,
        "entry.encoding",
        f"expected a text in UTF-8, found {found}",
        "save the file again with the encoding UTF-8",
    )


def too_large(size: int, file: str) -> Problem:
    """Refuses a file of so many bytes."""
    return _too_long(f"{LONGEST_FILE:,} bytes", f"{size:,}", file)


def _too_long(most: str, found: str, file: str) -> Problem:
    text = f"expected an entry of at most {most}, found {found}"
    hint = "is it an entry at all? Other files belong outside this folder"
    return Problem(Place(file), "entry.size", text, hint)


def _no_fence(lines: list[str], file: str) -> Problem:
    first = next((i for i, line in enumerate(lines) if line.strip()), None)
    if first is not None and _FENCE.fullmatch(lines[first].strip()):
        hint = "take out what stands above and before the line `---`"
    else:
        hint = "begin the file with a line `---`, then the fields, then another line `---`"
    text = "expected the line `---` at the beginning, found none"
    return Problem(Place(file), "entry.front-matter", text, hint)


def _not_closed(end: int, file: str) -> Problem:
    return Problem(
        Place(file),
        "entry.front-matter",
        "the fields that begin with this line `---` have no closing line `---`",
        f"put a line `---` below the last field, before line {end + 1}",
    )


def _likely_end(lines: list[str]) -> int:
    """Guesses where the fields end, so that the other problems in them come out as well."""
    for i, line in enumerate(lines[1:], 1):
        heading = line.startswith("# ") and not lines[i - 1].strip()
        if heading or (line.strip() and not _FIELD_OR_LIST.match(line)):
            return i
    return len(lines)


def _invisible(lines: list[str], file: str) -> tuple[Problem, ...]:
    return tuple(
        Problem(
            Place(file, number, match.start() + 1),
            "entry.character",
            f"an invisible character (U+{ord(match[0]):04X}) stands here, where only text may stand",
            "delete it; it may have come along when the text was copied",
        )
        for number, line in enumerate(lines, 1)
        for match in UNWANTED.finditer(line)
    )
