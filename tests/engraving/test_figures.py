"""Figures: systems, numbers and failures."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings

from tests.engraving.samples import SAMPLES, STEPPING_OUT
from tests.strategies import tunes
from transposary.engraving import Engraving, EngravingFailure, Job, engrave
from transposary.engraving.figures import bars_to_a_system
from transposary.notes import notes
from transposary.passage import Event, Passage
from transposary.pitch import Pitch


def _draw(given: Passage) -> Engraving:
    (drawn,) = engrave([Job("device", "C", given, ("",) * len(notes(given)))], 1)
    assert isinstance(drawn, Engraving), drawn
    return drawn


@settings(max_examples=25)
@given(tunes())
def test_whatever_notation_holds_is_drawn(tune: Passage) -> None:
    """No tune that an author can write makes the engraver fail or lose a note."""
    found = {int(index) for index in re.findall(r'data-note="(\d+)"', _draw(tune).svg)}
    assert found == set(range(len(notes(tune))))


@pytest.mark.parametrize(
    ("bars", "width", "expected"),
    [
        (8, 40000, 2),
        (8, 30000, 4),
        (6, 20000, 3),
        (7, 20000, 4),
        (5, 40000, 1),
        (12, 45000, 4),
        (2, 90000, 1),
    ],
)
def test_systems_are_even_where_the_bars_allow(bars: int, width: int, expected: int) -> None:
    """Eight bars stand in fours or twos, seven in four and three."""
    assert bars_to_a_system(bars, width) == expected


def test_wide_music_breaks_into_systems_of_one_width() -> None:
    """Eight full bars stand in four systems, each of which ends at the right margin."""
    drawn = _draw(SAMPLES["eight bars"])
    assert float(re.findall(r'width="([\d.]+)em"', drawn.svg)[0]) < 42
    ends = [int(end) for end in re.findall(r'<path d="M\d+ \d+H(\d+)M', drawn.svg)]
    assert sum(end == max(ends) for end in ends) == 8


def test_music_to_be_compared_has_the_same_systems() -> None:
    """A few bars beside wide music are stretched to its systems, but for what stands before them."""
    wide, short = SAMPLES["eight bars"], STEPPING_OUT
    blank = [("",) * len(notes(passage)) for passage in (wide, short)]
    jobs = [
        Job("one", "a", wide, blank[0], beside=(short, blank[1])),
        Job("one", "b", short, blank[1], beside=(wide, blank[0])),
    ]
    over, under = (_width(one) for one in engrave(jobs, 1) if isinstance(one, Engraving))
    assert _width(_draw(short)) < 0.8 * over
    assert abs(under - over) < 0.05 * over


def test_keys_that_share_a_measure_share_their_systems() -> None:
    """Bars stand in systems of one width in every key that is like another one."""
    wide = SAMPLES["eight bars"]
    blank = ("",) * len(notes(wide))
    alone = _draw(wide)
    again, short = engrave(
        [
            Job("device", "C", wide, blank, like=(wide, blank)),
            Job("device", "D", STEPPING_OUT, ("",) * len(notes(STEPPING_OUT)), like=(wide, blank)),
        ],
        1,
    )
    assert again == alone
    assert isinstance(short, Engraving)
    assert abs(_width(short) - _width(alone)) < 0.05 * _width(alone)


def _width(drawn: Engraving) -> float:
    """Gives the width of a figure in em."""
    return float(re.findall(r'width="([\d.]+)em"', drawn.svg)[0])


def test_few_bars_go_unnumbered() -> None:
    """Two bars carry no numbers, three do."""
    assert "font-style" not in _draw(STEPPING_OUT).svg
    assert 'font-style="italic">3</text>' in _draw(SAMPLES["six eight"]).svg


def test_what_cannot_be_engraved_is_named() -> None:
    """A passage that cannot be written is a value with its device and key, and costs no other."""
    voice = STEPPING_OUT.voices[0]
    head = replace(voice.events[0].heads[0], pitch=Pitch(14, 4))
    event: Event = replace(voice.events[0], heads=(head,))
    bad = replace(STEPPING_OUT, voices=(replace(voice, events=(event, *voice.events[1:])),))
    jobs = [Job("bad", "Eb", bad, ("",) * 4), Job("good", "C", STEPPING_OUT, ("",) * 4)]
    failure, drawn = engrave(jobs, 1)
    assert failure == EngravingFailure("bad", "Eb", "there is no accidental for 4 semitones")
    assert isinstance(drawn, Engraving)
