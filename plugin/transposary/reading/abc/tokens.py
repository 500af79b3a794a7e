"""Cuts the text of a tune into tokens, each with its offset.

Source of the grammar: the ABC music standard 2.1 (December 2011), sections 2 to 4. The
lexer knows nothing of music: it tells fields from music lines, takes comments and line
continuations away, and marks what no rule of the subset matches.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto


class Kind(Enum):
    """What a token is."""

    FIELD = auto()
    INLINE = auto()
    NOTE = auto()
    REST = auto()
    BAR_REST = auto()
    CHORD_OPEN = auto()
    CHORD_CLOSE = auto()
    GRACE_OPEN = auto()
    GRACE_CLOSE = auto()
    SLUR_OPEN = auto()
    SLUR_CLOSE = auto()
    TUPLET = auto()
    TIE = auto()
    BROKEN = auto()
    STRING = auto()
    DECORATION = auto()
    STACCATO = auto()
    BAR = auto()
    SPACE = auto()
    NEWLINE = auto()
    DIRECTIVE = auto()
    UNCLOSED = auto()
    UNKNOWN = auto()


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of the text.

    Attributes:
        kind: What it is.
        text: As written; of a field the letter, the colon and the value.
        offset: Where it begins in the text, from 0.
    """

    kind: Kind
    text: str
    offset: int

    @property
    def end(self) -> int:
        """Offset behind its last character."""
        return self.offset + len(self.text)


_FIELD_LINE = re.compile(r"([ \t]*)([A-Za-z+]):[^%\n]*")
# Letters that are notes or rests in music: `e:|` begins a music line, `Z:|` is refused by the parser.
_MUSIC_LETTERS = "abcdefgxz"
_LENGTH = r"[0-9]*(?:/+[0-9]*)?"
_CONTINUATION = re.compile(r"\\[ \t]*(?:%[^\n]*)?(?=\n|\Z)")
_COMMENT = re.compile(r"%[^\n]*")
_PATTERNS = (
    (Kind.NEWLINE, r"\n"),
    (Kind.SPACE, r"[ \t\r]+"),
    (Kind.INLINE, r"\[[A-Za-z]:[^\]\n]{0,80}\]"),
    (Kind.BAR, r"\.?(?:\[\||\||:)(?:\||:|\]|\[(?=\|))*(?:\[?[0-9][0-9,-]*)?|\[[0-9][0-9,-]*"),
    (Kind.NOTE, rf"(?:\^\^?|__?|=)?[A-Ga-g][,']*{_LENGTH}"),
    (Kind.REST, rf"[xz]{_LENGTH}"),
    (Kind.BAR_REST, r"[XZ][0-9]*"),
    (Kind.CHORD_OPEN, r"\["),
    (Kind.CHORD_CLOSE, rf"\]{_LENGTH}"),
    (Kind.GRACE_OPEN, r"\{/?"),
    (Kind.GRACE_CLOSE, r"\}"),
    (Kind.TUPLET, r"\([0-9]+(?::[0-9]*){0,2}"),
    (Kind.SLUR_OPEN, r"\("),
    (Kind.SLUR_CLOSE, r"\)"),
    (Kind.TIE, r"-"),
    (Kind.BROKEN, r">+|<+"),
    (Kind.STRING, r'"[^"\n]*"'),
    (Kind.DECORATION, r"![^!\n]*!"),
    (Kind.STACCATO, r"\.(?![(-])"),
    (Kind.UNCLOSED, r'["!][^\n]*'),
)
_MUSIC = re.compile("|".join(f"(?P<{kind.name}>{pattern})" for kind, pattern in _PATTERNS))


def tokens(text: str) -> Iterator[Token]:
    """Cuts a whole text into tokens, fields and music in the order written."""
    offset = 0
    line_start = True
    while offset < len(text):
        if line_start and (field := _field_at(text, offset)) is not None:
            yield field
            offset = _skip_comment(text, field.end)
            line_start = False
            continue
        more = _CONTINUATION.match(text, offset)
        if more is not None:
            offset = more.end() + 1
            line_start = True
            continue
        if text[offset] == "%":
            if text.startswith("%%", offset) and line_start:
                yield Token(Kind.DIRECTIVE, _line(text, offset), offset)
            offset = _skip_comment(text, offset)
            continue
        if text[offset] == "`":
            # Section 4.7: back quotes between beamed notes only make the text easier to read.
            offset += 1
            continue
        token = _music_at(text, offset)
        yield token
        offset = token.end
        line_start = token.kind is Kind.NEWLINE


def _field_at(text: str, offset: int) -> Token | None:
    match = _FIELD_LINE.match(text, offset)
    if match is None or match[2] in _MUSIC_LETTERS:
        return None
    if match[1] and match[2] in "ABCDEFGXZ":
        return None
    return Token(Kind.FIELD, match[0].strip(), match.start(2))


def _music_at(text: str, offset: int) -> Token:
    match = _MUSIC.match(text, offset)
    if match is not None and match.lastgroup is not None:
        return Token(Kind[match.lastgroup], match[0], offset)
    end = offset + 1
    while end < len(text) and text[end] not in "%\\`" and _MUSIC.match(text, end) is None:
        end += 1
    return Token(Kind.UNKNOWN, text[offset:end], offset)


def _skip_comment(text: str, offset: int) -> int:
    match = _COMMENT.match(text, offset)
    return offset if match is None else match.end()


def _line(text: str, offset: int) -> str:
    end = text.find("\n", offset)
    return text[offset:] if end < 0 else text[offset:end]
