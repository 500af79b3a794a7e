"""A new item of a list in an entry's front matter, the rest of the file byte for byte as it was."""

from __future__ import annotations

import re
from collections.abc import Sequence

from transposary.problems import Fault

_FENCE = re.compile(r"(?:---|\.\.\.)[ \t]*")
_LINES = re.compile(r"[^\r\n]*(?:\r\n|\r|\n|\Z)")


def insert_item(data: bytes, name: str, item: Sequence[str]) -> bytes | Fault:
    """Adds an item to a list of the front matter, at its end; makes the list where there is none.

    Args:
        data: The file, in UTF-8, with its front matter closed.
        name: The field that holds the list.
        item: Lines of the item, without the dash and the indentation.

    Returns:
        The file with the item, its line ends like those of the first line; or why not.
    """
    lines = [line for line in _LINES.findall(data.decode("utf-8")) if line]
    ends = lines[0][len(lines[0].rstrip("\r\n")) :]
    close = next((at for at, line in enumerate(lines[1:], 1) if _FENCE.fullmatch(line.rstrip("\r\n"))), None)
    if close is None:
        return Fault(0, "the front matter is not closed", "put a line `---` below its last field")
    head = next((at for at in range(1, close) if re.match(rf"{name}\s*:", lines[at])), None)
    if head is None:
        new = [f"{name}:", *_indented(item, "  ")]
        at = close
    else:
        value = lines[head].partition(":")[2].partition("#")[0].strip()
        if value:
            hint = f"write it below `{name}:`, each item on lines of its own behind a dash"
            return Fault(0, f"`{name}` is written on one line, where nothing can be added", hint)
        at = _end(lines, head, close)
        dash = next((line for line in lines[head + 1 : at] if line.lstrip(" ").startswith("-")), "  -")
        new = _indented(item, dash[: len(dash) - len(dash.lstrip(" "))])
    text = "".join([*lines[:at], *(line + ends for line in new), *lines[at:]])
    return text.encode("utf-8")


def _indented(item: Sequence[str], indent: str) -> list[str]:
    return [f"{indent}{'- ' if number == 0 else '  '}{line}" for number, line in enumerate(item)]


def _end(lines: Sequence[str], head: int, close: int) -> int:
    """Finds the line behind a list: its own lines are indented or begin with a dash."""
    end = head + 1
    for at in range(head + 1, close):
        if lines[at].startswith((" ", "-")) and lines[at].strip():
            end = at + 1
        elif lines[at].strip() and not lines[at].startswith("#"):
            break
    return end
