"""How musical signs are written: for readers with ♭ and ♯, for searchers in both spellings."""

from __future__ import annotations

import re

_SIGN = re.compile(r"(?<![A-Za-z♭♯])([b#]{1,2})(?=[0-9IViv])")
_WORD = re.compile(r"[^\s()|,;:.!?\"“”/–—-]+")
_TO_ASCII = str.maketrans({"♭": "b", "♯": "#"})
# A note name alone or at the head of a chord symbol, or a degree; `Abba` is neither.
_ASCII_NAME = re.compile(
    r"(?<![A-Za-z])[A-G][b#]{1,2}(?=$|[^A-Za-z]|m(?![a-z])|maj|min|dim|aug|sus|add)|[b#]{1,2}(?=\d)"
)


def readable(text: str) -> str:
    """Writes the accidentals of degrees and numerals as ♭ and ♯: `b3`, `#IVø7`, `(b9)`.

    Other letters stay, so that it serves for the author's claims as they stand.
    """
    return _SIGN.sub(lambda match: match[1].replace("b", "♭").replace("#", "♯"), text)


def other_spellings(text: str) -> tuple[str, ...]:
    """Lists the words of a text that are also written otherwise, in that other spelling.

    A search splits texts at spaces, so `♭7` would not be found by somebody who types `b7`, nor
    `Bb` where the page says `B♭`.
    """
    found: dict[str, None] = {}
    for word in _WORD.findall(text):
        for other in (word.translate(_TO_ASCII), _ASCII_NAME.sub(_signed, word)):
            if other != word:
                found[other] = None
    return tuple(found)


def _signed(match: re.Match[str]) -> str:
    return match[0].replace("b", "♭").replace("#", "♯")
