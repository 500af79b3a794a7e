"""Laws of passages that are laid into other bars."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import passages
from tests.theory.build import build
from transposary.notes import attacks
from transposary.passage import Bar, Event, Meter, Passage
from transposary.problems import Fault
from transposary.theory.rebarring import Frame, rebar

SIMPLE, COMPOUND = Meter(4, 4), Meter(12, 8)
_LENGTHS = st.sampled_from([Fraction(one, 4) for one in (1, 2, 2, 3, 4, 4, 6, 8)])


def _frame(passage: Passage, meter: Meter, end: Fraction) -> Frame:
    count = -(-end // meter.length)
    bars = tuple(Bar(n + 1, n * meter.length, meter.length, meter) for n in range(count))
    return Frame(bars, ((Fraction(0), passage.key),), ())


def _laid(passage: Passage, ratio: Fraction, meter: Meter) -> Passage:
    frame = _frame(passage, meter, passage.end * ratio)
    found = rebar(passage, lambda moment: moment * ratio, frame)
    assert isinstance(found, Passage), found
    return found


def _sounding(passage: Passage, ratio: Fraction) -> list[tuple[object, ...]]:
    return [
        (note.voice, note.grace, note.pitch, note.onset * ratio, note.duration * ratio)
        for note in attacks(passage)
    ]


@st.composite
def _rolling(draw: st.DrawFn) -> Passage:
    """A line in 12/8 of eighths and sixteenths, over beats and barlines as they come."""
    lengths = draw(st.lists(_LENGTHS, min_size=1, max_size=14))
    names = draw(st.lists(st.sampled_from(["C4", "D4", "r", "G4"]), min_size=len(lengths)))
    line = " ".join(f"{name}:{length}" for name, length in zip(names, lengths, strict=False))
    return build(f"{line} C5:{6 - sum(lengths) % 6}", meter="12/8")


def _fills(passage: Passage) -> bool:
    """Whether every voice fills the bars without a gap, and nothing crosses a barline."""
    for voice in passage.voices:
        now = passage.bars[0].onset
        for event in voice.events:
            if event.onset != now or event.end > passage.bar_at(event.onset).end:
                return False
            now = event.end
        if now != passage.bars[-1].end:
            return False
    return True


@given(passages())
def test_the_same_bars_change_nothing(passage: Passage) -> None:
    """Laid into its own bars a passage sounds as before."""
    laid = _laid(passage, Fraction(1), SIMPLE)
    assert _sounding(laid, Fraction(1)) == _sounding(passage, Fraction(1))
    assert _fills(laid)


@given(passages())
def test_from_simple_to_compound_time_and_back(passage: Passage) -> None:
    """Quarters become dotted quarters, beat for beat, and come back as they were."""
    there = _laid(passage, Fraction(3, 2), COMPOUND)
    assert _fills(there)
    assert _sounding(there, Fraction(2, 3)) == _sounding(passage, Fraction(1))
    assert _sounding(_laid(there, Fraction(2, 3), SIMPLE), Fraction(1)) == _sounding(passage, Fraction(1))


@given(_rolling(), st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(2)]))
def test_from_compound_to_simple_time_and_back(passage: Passage, speed: Fraction) -> None:
    """Thirds become triplets that fill whole beats, at any speed, and come back as they were."""
    there = _laid(passage, Fraction(2, 3) * speed, SIMPLE)
    assert _fills(there)
    assert _sounding(there, Fraction(3, 2) / speed) == _sounding(passage, Fraction(1))
    back = _laid(there, Fraction(3, 2) / speed, COMPOUND)
    assert _sounding(back, Fraction(1)) == _sounding(passage, Fraction(1))


@given(_rolling(), st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(2)]))
def test_triplets_are_whole(passage: Passage, speed: Fraction) -> None:
    """Each triplet begins and ends on a beat, and lasts one or two of them."""
    groups: list[list[Event]] = []
    for event in _laid(passage, Fraction(2, 3) * speed, SIMPLE).voices[0].events:
        if event.tuplet is not None:
            groups += [[]] if event.tuplet.first else []
            groups[-1].append(event)
            assert (event.tuplet.actual, event.tuplet.normal) == (3, 2)
    for group in groups:
        assert group[-1].tuplet is not None
        assert group[-1].tuplet.last
        assert group[0].onset.denominator == 1
        assert group[-1].end - group[0].onset in (1, 2)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("C4:1/5 D4:4/5 E4", "a part of a beat has no place in its beats"),
        ("C4:1/9 D4:8/9 E4", "a part of a beat has no place in its beats"),
    ],
)
def test_what_cannot_be_written_is_refused(line: str, said: str) -> None:
    """Fifths and ninths of a beat have no value, and no triplet shows them."""
    passage = build(line)
    found = rebar(passage, lambda moment: moment, _frame(passage, SIMPLE, passage.end))
    assert isinstance(found, Fault)
    assert found.text == said


def test_what_has_no_time_left_is_left_out() -> None:
    """A note between two moments that fall together is dropped, and nothing is tied into it."""
    passage = build("C4:3 D4~ D4 E4:3")
    laid = rebar(
        passage,
        lambda moment: min(moment, 4) if moment < 5 else moment - 1,
        _frame(passage, SIMPLE, Fraction(8)),
    )
    assert isinstance(laid, Passage)
    assert [(str(one.pitch), one.onset, one.duration) for one in attacks(laid)] == [
        ("C4", 0, 3),
        ("D4", 3, 1),
        ("E4", 4, 3),
    ]


def test_a_tuplet_is_not_torn() -> None:
    """Where only a part of a tuplet would have time the passage is refused."""
    triple = _laid(build("C4:1/2 D4:1/2 E4:1/2 F4:9/2", meter="12/8"), Fraction(2, 3), SIMPLE)
    assert triple.voices[0].events[0].tuplet is not None
    cut = Fraction(2, 3)
    found = rebar(
        triple,
        lambda moment: min(moment, cut) if moment <= 1 else moment,
        _frame(triple, SIMPLE, Fraction(4)),
    )
    assert isinstance(found, Fault)
    assert found.text == "a tuplet has no place in its bars"
