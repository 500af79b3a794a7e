"""YAML's syntax errors in a musician's words, each with the line to write instead."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import yaml

from transposary.problems import Place, Problem
from transposary.reading.tree import quoted

_FIELD = re.compile(r"([ ]*(?:- )?[^\s:#'\"\[{-][^:#]*:)[ \t]+(\S.*)")
_NO_SPACE = re.compile(r"([ ]*(?:- )?[A-Za-z_][\w-]*):(?=[^\s/:])")
_QUOTES = "'\""


@dataclass(frozen=True, slots=True)
class _Stumble:
    """Where YAML stumbled: its own words, the mark that counts, and the lines around."""

    words: str
    line: int
    column: int
    lines: Sequence[str]

    @property
    def text(self) -> str:
        return self.lines[self.line] if self.line < len(self.lines) else ""

    @property
    def quoted_line(self) -> str:
        """The line with its value in quotation marks, ready to paste."""
        match = _FIELD.fullmatch(self.text.rstrip())
        if match is None or match[2].startswith(("[", "{")):
            return "put the text into quotation marks"
        return f"write `{match[1].strip()} {quoted(match[2])}`"


_Verdict = tuple[int, int, str, str]
"""Line and column from 0, what is wrong, how to mend it."""


def syntax_problem(error: yaml.MarkedYAMLError, file: str, lines: Sequence[str], above: int) -> Problem:
    """Says what YAML stumbled over.

    Args:
        error: What YAML raised.
        file: The file, for the problem's place.
        lines: The lines of the file.
        above: How many of them stand above those that YAML was given.
    """
    words = str(error.problem)
    said = f"{error.context}: {words}"
    judge, of_context = next((judge, first) for needle, judge, first in _JUDGES if needle in said)
    mark = error.context_mark if of_context and error.context_mark else error.problem_mark
    line, column = (above + mark.line, mark.column) if mark else (above, 0)
    if line >= len(lines):
        # YAML looked for more below the last line.
        line = len(lines) - 1
        column = len(lines[line])
    stumble = _Stumble(words, line, column, lines)
    line, column, text, hint = judge(stumble)
    return Problem(Place(file, line + 1, column + 1), "entry.syntax", text, hint)


def _tab(stumble: _Stumble) -> _Verdict:
    clean = stumble.text.replace("\t", "  ").rstrip()
    text = "a tab stands here, where YAML takes only spaces"
    return stumble.line, stumble.column, text, f"write `{clean}`, with spaces for the tab"


def _unclosed_quote(stumble: _Stumble) -> _Verdict:
    mark = stumble.text[stumble.column : stumble.column + 1]
    text = f"the quotation mark {mark} that opens here is never closed"
    return stumble.line, stumble.column, text, f"write `{stumble.text.strip()}{mark}`"


def _colon(stumble: _Stumble) -> _Verdict:
    """A `: ` where none can be: inside a text, or in a line indented too deep."""
    match = _FIELD.fullmatch(stumble.text.rstrip())
    if match and stumble.column >= len(match[1]):
        text = "a colon with a space behind it stands inside a text without quotation marks"
        return stumble.line, stumble.column, text, stumble.quoted_line
    above = stumble.line - 1
    while above > 0 and not stumble.lines[above].strip():
        above -= 1
    no_space = _NO_SPACE.match(stumble.lines[above])
    if no_space:
        return _no_space(stumble, above, no_space)
    indent = len(stumble.text) - len(stumble.text.lstrip())
    text = (
        f"this line is indented deeper than the field above it, which has a value already (line {above + 1})"
    )
    return stumble.line, indent, text, "give both lines the same number of spaces before them"


def _no_space(stumble: _Stumble, line: int, match: re.Match[str]) -> _Verdict:
    rest = stumble.lines[line][match.end() :].strip()
    text = "expected a space behind the colon, found none"
    return line, match.end() - 1, text, f"write `{match[1].strip()}: {rest}`"


def _no_colon(stumble: _Stumble) -> _Verdict:
    no_space = _NO_SPACE.match(stumble.text)
    if no_space:
        return _no_space(stumble, stumble.line, no_space)
    text = "expected a line `field: value`, found a text without a field"
    hint = (
        "if it goes on from the line above, indent it by two spaces; "
        "if the prose begins here, put a line `---` above it"
    )
    return stumble.line, stumble.column, text, hint


def _misplaced(stumble: _Stumble) -> _Verdict:
    before = stumble.text[: stumble.column].rstrip()
    if before.endswith(tuple(_QUOTES)):
        mark = before[-1]
        field, _, value = stumble.text.partition(":")
        text = f"the text ends at the quotation mark {mark} before this, and more follows"
        inner = value.strip().strip(mark) if value.strip().endswith(mark) else value.strip()
        return stumble.line, stumble.column, text, f"write `{field.strip()}: {quoted(inner)}`"
    text = "this line does not fit the lines above it: it begins further to the left or right than they do"
    hint = "give the fields of one group the same number of spaces before them"
    return stumble.line, stumble.column, text, hint


def _unclosed_bracket(stumble: _Stumble) -> _Verdict:
    opening = stumble.text[stumble.column : stumble.column + 1]
    closing = {"[": "]", "{": "}"}.get(opening, "]")
    text = f"the list that opens here with `{opening}` is not closed, or a comma is missing in it"
    if " #" in stumble.text[stumble.column :]:
        return (
            stumble.line,
            stumble.column,
            text,
            "` #` begins a comment: put a text with `#` into quotation marks",
        )
    if stumble.text.rstrip().endswith(closing):
        return (
            stumble.line,
            stumble.column,
            text,
            "part its items by commas; put a text with `:`, `[` or `{` into quotation marks",
        )
    return stumble.line, stumble.column, text, f"write `{stumble.text.strip()}{closing}`"


def _bad_beginning(stumble: _Stumble) -> _Verdict:
    sign = stumble.text[stumble.column : stumble.column + 1]
    if sign == "\t":
        return _tab(stumble)
    if not sign:
        text = "the fields end here, where a value should go on"
        return stumble.line, stumble.column, text, "close the bracket or the quotation mark that is open"
    return (
        stumble.line,
        stumble.column,
        f"a text without quotation marks cannot begin with `{sign}`",
        stumble.quoted_line,
    )


def _block_header(stumble: _Stumble) -> _Verdict:
    match = _FIELD.match(stumble.text)
    column = match.start(2) if match else stumble.column
    text = "a text without quotation marks cannot begin with `|` or `>`, which announce a block of lines"
    return stumble.line, column, text, stumble.quoted_line


def _escape(stumble: _Stumble) -> _Verdict:
    text = "a backslash in double quotation marks begins a sign that YAML does not know"
    hint = "write the backslash twice, or put the text into single quotation marks"
    return stumble.line, stumble.column, text, hint


def _dash(stumble: _Stumble) -> _Verdict:
    text = "a list cannot begin on the same line as its field"
    hint = f"put each `- item` on a line of its own below; or, if it is a text, {stumble.quoted_line}"
    return stumble.line, stumble.column, text, hint


def _too_deep(stumble: _Stumble) -> _Verdict:
    text = "values are nested deeper than any entry needs"
    return stumble.line, stumble.column, text, "close the brackets, or write it flatter"


def _other(stumble: _Stumble) -> _Verdict:
    text = "YAML cannot read this line"
    hint = "write `field: value`, with the value in quotation marks unless it is plain words"
    return stumble.line, stumble.column, text, hint


# The first whose words occur in YAML's "context: problem"; the second value tells whether the
# beginning of what YAML was reading counts, or the point at which it gave up.
_JUDGES: tuple[tuple[str, Callable[[_Stumble], _Verdict], bool], ...] = (
    ("found character '\\t'", _tab, False),
    ("scanning a quoted scalar", _unclosed_quote, True),
    ("mapping values are not allowed", _colon, False),
    ("could not find expected ':'", _no_colon, True),
    ("expected ',' or", _unclosed_bracket, True),
    ("that cannot start any token", _bad_beginning, False),
    ("expected the node content", _bad_beginning, False),
    ("scanning a block scalar", _block_header, True),
    ("double-quoted scalar", _escape, False),
    ("sequence entries are not allowed", _dash, False),
    ("expected <block end>", _misplaced, False),
    ("expected '<document start>'", _misplaced, False),
    ("nested too deep", _too_deep, False),
    ("", _other, False),
)
