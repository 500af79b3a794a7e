"""music21 in a process of its own, where a score that it cannot bear costs nothing but itself."""

from __future__ import annotations

from functools import cache

from transposary.passage import Clef, Hand, Passage
from transposary.problems import Place, Problem
from transposary.processes import Processes, WorkerAbsentError, WorkerLostError
from transposary.reading.score.join import join
from transposary.reading.score.values import Report

_PATIENCE = 60.0
"""Seconds that a score may take; the largest that is let through takes a few."""

Read = tuple[Passage | None, tuple[Problem, ...]]


def parsed_apart(text: str, filename: str, place: Place, hand: Hand | None) -> Read:
    """Reads a MusicXML text that was checked, in another process; in this one where none starts.

    Args:
        text: The MusicXML.
        filename: The name of its file, for messages.
        place: Where the author names it; problems stand there.
        hand: The hand of a score on one staff; None to go by its clef.
    """
    try:
        return _readers(_PATIENCE).submit(parsed, text, filename, place, hand).result()
    except WorkerAbsentError:
        return parsed(text, filename, place, hand)
    except WorkerLostError as error:
        report = Report(filename, place)
        report.refuse(f"music21, which reads scores, {error} over this one", "export it again, or write ABC")
        return None, report.problems


@cache
def _readers(patience: float) -> Processes:
    """Gives the one process that reads scores: it stays, since music21 takes seconds to start."""
    return Processes(1, patience)


def parsed(text: str, filename: str, place: Place, hand: Hand | None) -> Read:
    """Reads a MusicXML text that was checked; the arguments are those of `parsed_apart`."""
    # music21 takes two seconds to import, which only a glossary with scores should pay.
    from transposary.reading.score.parts import read_staves  # noqa: PLC0415 - see above

    report = Report(filename, place)
    staves = read_staves(text, report)
    if staves is None:
        return None, report.problems
    if len(staves) == 2:
        passage = join({Hand.RIGHT: staves[0], Hand.LEFT: staves[1]}, report)
    else:
        clefs = [clef for measure in staves[0] for _, clef in measure.clefs]
        by_clef = Hand.LEFT if clefs[:1] == [Clef.BASS] else Hand.RIGHT
        passage = join({hand or by_clef: staves[0]}, report)
    return (None if report.has_errors else passage), report.problems
