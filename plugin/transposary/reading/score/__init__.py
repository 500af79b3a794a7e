"""Scores: MusicXML and compressed MusicXML, read with music21 behind checks of our own."""

from __future__ import annotations

from transposary.passage import Hand, Passage
from transposary.problems import Place, Problem
from transposary.reading.score.apart import parsed_apart
from transposary.reading.score.container import unpack
from transposary.reading.score.guard import check_score
from transposary.reading.score.values import Report


def read_score(
    data: bytes, filename: str, place: Place, hand: Hand | None
) -> tuple[Passage | None, tuple[Problem, ...]]:
    """Reads the bytes of a `.musicxml`, `.xml` or `.mxl` file.

    The first staff is the right hand's, the second the left hand's.

    Args:
        data: The file's bytes.
        filename: Its name, for its kind and for messages.
        place: Where the author names it; problems stand there.
        hand: The hand of a score on one staff; None to go by its clef.

    Returns:
        The passage, or None where there are errors; and the problems.
    """
    report = Report(filename, place)
    text = unpack(data, filename)
    if not isinstance(text, str):
        report.refuse(text.text, text.hint)
        return None, report.problems
    check_score(text, report)
    if report.has_errors:
        return None, report.problems
    passage, problems = parsed_apart(text, filename, place, hand)
    return passage, tuple(dict.fromkeys((*report.problems, *problems)))
