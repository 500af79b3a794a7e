"""Quoted words of old tune books, read from music21's package at test time.

Ryan's Mammoth Collection (1,059 tunes) has no chord symbols: what stands in quotation marks are
directions, dynamics, names of keys and fingerings. The Nottingham tunes have chords in the old
style, with small basses and `+` for a sharp.
"""

import re
from pathlib import Path

import music21

from transposary.problems import Fault
from transposary.theory.chords import parse_chord

CORPUS = Path(music21.__file__).parent / "corpus"
_FIELD = re.compile(r"[A-Za-z]:")


def _quoted(folder: str) -> set[str]:
    found: set[str] = set()
    for path in sorted((CORPUS / folder).glob("*.abc")):
        for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
            if _FIELD.match(line) is None:
                found.update(re.findall(r'"([^"]*)"', line))
    return found


def test_words_are_never_taken_for_chords() -> None:
    """D.C., Segno, A MINOR, 4 and some ninety others are all refused."""
    words = _quoted("ryansMammoth")
    assert len(words) > 80
    assert {"D.C.", "A MINOR", "4", "SEGUE"} <= words
    assert [word for word in words if not isinstance(parse_chord(word), Fault)] == []


def test_chords_in_the_old_style_are_refused_with_the_form_to_write() -> None:
    """Plain symbols are read; small basses are offered as capitals, `+` as a sharp."""
    read = {text: parse_chord(text) for text in _quoted("nottingham-dataset")}
    refused = {text: found.hint for text, found in read.items() if isinstance(found, Fault)}
    assert refused == {
        "Am/c": "write 'Am/C'",
        "Am/e": "write 'Am/E'",
        "Am/g": "write 'Am/G'",
        "G7/b": "write 'G7/B'",
        "D/f+": "write 'D/F#'",
    }
    assert set(read) - set(refused) == {"D", "Am", "A7", "E7", "C", "Em", "Dm", "A", "F"}
