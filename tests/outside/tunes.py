"""A hundred fiddle tunes in the public domain, from the corpus inside music21's package.

Source: Ryan's Mammoth Collection (Boston, 1883), transcribed in ABC; read from the installed
package at test time and never copied here.
"""

import re
from functools import cache
from pathlib import Path

import music21

from transposary.passage import Passage
from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc

_FOLDER = Path(music21.__file__).parent / "corpus" / "ryansMammoth"
_COUNT = 100
_STEP = 10


@cache
def tunes() -> dict[str, Passage]:
    """Gives every tenth tune; where the print is at fault (bars too short), the next sound one."""
    files = sorted(_FOLDER.glob("*.abc"))
    found: dict[str, Passage] = {}
    for first in range(0, _COUNT * _STEP, _STEP):
        readable = ((path.stem, _read(path)) for path in files[first : first + _STEP])
        name, passage = next((name, passage) for name, passage in readable if passage is not None)
        found[name] = passage
    return found


def _read(path: Path) -> Passage | None:
    text = "\n".join(map(_tidy, path.read_text(encoding="utf-8", errors="replace").splitlines()))
    passage, problems = read_abc(SourceText(text, Place(path.name)), None)
    return None if problems else passage


def _tidy(line: str) -> str:
    """Leaves out what our subset refuses by name: bowings, words, signs of the print; never a note."""
    if re.match(r"%%|[QwW]:", line):
        return ""
    if re.match(r"[A-Za-z]:", line):
        return re.sub(r"^(K: *[A-G][b#]?)M\b", r"\1", line)  # one file writes E major as EM
    plain = re.sub(r'"[^"]*"|![^!]*!|=(?:20)?$|[h-wH-W~]', "", line)
    return re.sub(r"\[\|\]?(?=\|)", "", plain).replace("[|", "|")
