"""Scores: MusicXML and compressed MusicXML, read with music21 behind checks of our own."""

from __future__ import annotations

from transposary.passage import Clef, Hand, Passage
from transposary.problems import Place, Problem
from transposary.reading.score.container import unpack
from transposary.reading.score.guard import check_score
from transposary.reading.score.join import join
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
    passage = _parsed(text, hand, report)
    return (None if report.has_errors else passage), report.problems


def _parsed(text: str, hand: Hand | None, report: Report) -> Passage | None:
    # music21 takes two seconds to import, which only a glossary with scores should pay.
    from transposary.reading.score.parts import read_staves  # noqa: PLC0415 - see above

    staves = read_staves(text, report)
    if staves is None:
        return None
    if len(staves) == 2:
        return join({Hand.RIGHT: staves[0], Hand.LEFT: staves[1]}, report)
    clefs = [clef for measure in staves[0] for _, clef in measure.clefs]
    by_clef = Hand.LEFT if clefs[:1] == [Clef.BASS] else Hand.RIGHT
    return join({hand or by_clef: staves[0]}, report)
