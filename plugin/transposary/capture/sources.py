"""What can be captured, by the ending of a file's name: MIDI, MusicXML, ABC."""

from __future__ import annotations

from pathlib import Path

from transposary.capture.midi import read_midi
from transposary.capture.transcribing import Captured, Wanted, from_passage, transcribe
from transposary.problems import Fault, Place, Problem, SourceText
from transposary.reading.abc import read_abc
from transposary.reading.bounds import check_length
from transposary.reading.score import read_score

RULE = "capture"
MIDI = (".mid", ".midi", ".smf")
SCORES = (".musicxml", ".mxl", ".xml")
ABC = (".abc", ".txt")
STANDARD_INPUT = "-"
MOST_BYTES = 4_000_000
"""Of a file of any kind; each kind has a narrower bound of its own."""


def capture(data: bytes, name: str, wanted: Wanted) -> tuple[Captured | None, tuple[Problem, ...]]:
    """Makes a passage of what was played or written.

    Args:
        data: The content of a file, or of standard input.
        name: The file's name, for its kind and for messages; `-` is ABC from standard input.
        wanted: What the player says.
    """
    ending = Path(name).suffix.lower()
    place = Place(name)
    if len(data) > MOST_BYTES:
        text = f"the file has {len(data)} bytes, at most {MOST_BYTES} are read"
        return None, (Problem(place, RULE, text, "cut the idea out of it first"),)
    if ending in MIDI:
        take = read_midi(data)
        made = take if isinstance(take, Fault) else transcribe(take, wanted)
        return _or_problem(made, place)
    if ending in SCORES:
        passage, problems = read_score(data, name, place, None)
    elif name == STANDARD_INPUT or ending in ABC:
        try:
            source = SourceText(data.decode("utf-8-sig"), place)
        except UnicodeDecodeError as error:
            return None, (Problem(place, RULE, f"the text is not UTF-8: {error.reason}"),)
        passage, problems = read_abc(source, None)
    else:
        endings = ", ".join((*MIDI, *SCORES, *ABC))
        return None, (Problem(place, RULE, f"expected a file that ends in {endings}"),)
    if passage is None:
        return None, problems
    captured, more = _or_problem(from_passage(passage, wanted), place)
    return captured, (*problems, *more)


def _or_problem(made: Captured | Fault, place: Place) -> tuple[Captured | None, tuple[Problem, ...]]:
    if isinstance(made, Fault):
        return None, (Problem(place, RULE, made.text, made.hint),)
    if long := check_length(made.passage):
        return None, (Problem(place, RULE, long.text, "name the bars of the idea with --bars"),)
    return made, ()
