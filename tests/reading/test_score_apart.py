"""music21 in a process of its own."""

from __future__ import annotations

import os
import time
from multiprocessing import current_process

import pytest

from transposary.passage import Passage
from transposary.problems import Place
from transposary.processes import Processes
from transposary.reading.score import apart
from transposary.reading.score.apart import parsed, parsed_apart

PLACE = Place("devices/x.md", 7, 8)
HINT = "export it again, or write ABC"


class _Crash(str):
    """A text that ends the process which receives it."""

    __slots__ = ()

    def __reduce__(self) -> tuple[object, tuple[object, ...]]:
        return os._exit, (1,)


class _Hang(str):
    """A text that keeps the process which receives it."""

    __slots__ = ()

    def __reduce__(self) -> tuple[object, tuple[object, ...]]:
        return time.sleep, (600.0,)


SCORE = (
    '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part></part-list>'
    '<part id="P1"><measure number="1"><attributes><divisions>1</divisions><key><fifths>0</fifths></key>'
    "<time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef>"
    "</attributes><note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration>"
    "<voice>1</voice><type>whole</type></note></measure></part></score-partwise>"
)


@pytest.mark.parametrize(
    ("text", "patience", "what"), [(_Crash(), 60.0, "crashed"), (_Hang(), 1.0, "did not finish in time")]
)
def test_a_score_that_costs_its_process_costs_nothing_else(
    monkeypatch: pytest.MonkeyPatch, text: str, patience: float, what: str
) -> None:
    """A crash or a hang is a problem of the entry that names the score, and the next score is read."""
    with Processes(1, patience) as readers:
        monkeypatch.setattr(apart, "_readers", lambda _: readers)
        passage, problems = parsed_apart(text, "take.musicxml", PLACE, None)
        assert passage is None
        said = f"take.musicxml: music21, which reads scores, {what} over this one; {HINT}"
        assert [str(problem) for problem in problems] == [f"devices/x.md:7:8: reading.score: {said}"]
        monkeypatch.undo()
    assert isinstance(parsed_apart(SCORE, "take.musicxml", PLACE, None)[0], Passage)


def test_where_no_process_starts_scores_are_read_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """A daemonic process, or a machine without room for another, does without the other process."""
    with Processes(1, 60.0) as readers:
        monkeypatch.setattr(current_process(), "_config", {**current_process()._config, "daemon": True})
        monkeypatch.setattr(apart, "_readers", lambda _: readers)
        assert parsed_apart(SCORE, "a.xml", PLACE, None) == parsed(SCORE, "a.xml", PLACE, None)
