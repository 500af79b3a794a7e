"""Where each character of a YAML text stood, for texts that do not run on as in the file."""

from __future__ import annotations

import re
from collections.abc import Sequence

from transposary.problems import Place, SourceText

# Source: YAML 1.1, section 5.6 (escape sequences).
_ESCAPE = re.compile(r"\\(?:x..|u....|U........|.)")


def anchored(value: str, start: Place, lines: Sequence[str], style: str) -> SourceText:
    """Pairs a text as YAML gives it with the characters of the file.

    Args:
        value: The text without quotation marks, escapes and line folds.
        start: Place of its first character.
        lines: The lines of the file.
        style: How YAML calls its style: a quotation mark, `>`, or empty.
    """
    line, column = start.line - 1, start.column - 1
    if lines[line : line + 1] and lines[line].startswith(value, column):
        return SourceText(value, start)
    anchors: list[tuple[int, int, int]] = []
    expected = (line, column)
    for offset, character in enumerate(value):
        if not character.isspace():
            line, column = _next_visible(lines, line, column, style)
        elif style == '"':
            line, column = _past_join(lines, line, column)
        if line >= len(lines):
            break
        if (line, column) != expected:
            anchors.append((offset, line + 1, column + 1))
        expected = (line, column + 1)
        column += _width(lines[line], column, style, blank=character.isspace())
    return SourceText(value, start, 0, tuple(anchors))


def _next_visible(lines: Sequence[str], line: int, column: int, style: str) -> tuple[int, int]:
    """Skips white space, line ends, and the backslash that joins lines in double quotation marks."""
    while line < len(lines):
        text = lines[line]
        while column < len(text) and text[column].isspace():
            column += 1
        if column < len(text) and not (style == '"' and _is_join(text, column)):
            break
        line, column = line + 1, 0
    return line, column


def _past_join(lines: Sequence[str], line: int, column: int) -> tuple[int, int]:
    """Skips a backslash at the end of a line with the white space that begins the next one."""
    while line < len(lines) and _is_join(lines[line], column):
        line += 1
        column = len(lines[line]) - len(lines[line].lstrip()) if line < len(lines) else 0
    return line, column


def _is_join(text: str, column: int) -> bool:
    return column == len(text) - 1 and text[column] == "\\"


def _width(text: str, column: int, style: str, *, blank: bool) -> int:
    """Counts the characters of the file that make up one character of the text."""
    if style == '"' and (match := _ESCAPE.match(text, column)):
        return len(match[0])
    if blank and column < len(text) and not text[column].isspace():
        # A line end that folding has left over; the file has no character for it here.
        return 0
    return 2 if style == "'" and text.startswith("''", column) else 1
