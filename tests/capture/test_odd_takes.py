"""Takes that make no musical sense still become entries, or are refused."""

from fractions import Fraction
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from transposary.capture.entry import Heading, draft_entry, in_players_words
from transposary.capture.transcribing import Captured, Wanted, transcribe
from transposary.capture.values import Clock, Played, Take
from transposary.glossary import Device
from transposary.passage import Meter
from transposary.problems import Fault, errors
from transposary.reading import read_entry
from transposary.theory.claims import check_claims

_GAPS = st.sampled_from([0.0, 0.001, 0.03, 0.1, 0.27, 0.5, 1.1, 6.0])
_LENGTHS = st.sampled_from([0.001, 0.1, 0.5, 2.0, 8.0])
_KEYS = st.sampled_from([21, 36, 48, 60, 61, 64, 67, 72, 108])
_METERS = st.sampled_from([Meter(4, 4), Meter(6, 8), Meter(5, 8), Meter(3, 2)])


@settings(max_examples=40, deadline=None)
@given(
    struck=st.lists(st.tuples(_GAPS, _KEYS, _LENGTHS), min_size=1, max_size=10),
    meter=_METERS,
    tempo=st.sampled_from([None, 60.0, 399.0]),
)
def test_any_take_becomes_an_entry_whose_claims_hold(
    struck: list[tuple[float, int, float]], meter: Meter, tempo: float | None
) -> None:
    """Whatever was struck, the draft can be read and nothing it claims is untrue."""
    notes, now = [], 0.0
    for gap, number, length in struck:
        now += gap
        notes.append(Played(number, now, now + length, 80))
    take = Take(tuple(sorted(notes, key=lambda one: (one.start, one.number))), (), Clock(((0.0, 0.0, 0.5),)))
    captured = transcribe(take, Wanted(meter=meter, tempo=tempo))
    assert isinstance(captured, Captured)
    assert in_players_words(captured)
    text = draft_entry(captured, Heading("Odd", None, None), ())
    entry, problems = read_entry(Path(), "devices/odd.md", text.encode())
    assert not errors(problems)
    assert isinstance(entry, Device)
    assert not errors(check_claims(entry))


_SHORT_METERS = st.sampled_from([Meter(5, 16), Meter(6, 16), Meter(3, 32), Meter(6, 32), Meter(3, 8)])
_PICKUPS = st.sampled_from([Fraction(1, 3), Fraction(1, 2), Fraction(1, 7), Fraction(2, 9)])


@settings(max_examples=40, deadline=None)
@given(
    struck=st.lists(st.tuples(_GAPS, _KEYS, _LENGTHS), min_size=1, max_size=8),
    meter=_SHORT_METERS,
    pickup=_PICKUPS,
)
def test_what_no_note_value_shows_is_refused(
    struck: list[tuple[float, int, float]], meter: Meter, pickup: Fraction
) -> None:
    """Whatever meter and pickup are said, there is a draft, or it is said which bar cannot be written."""
    notes, now = [], 0.0
    for gap, number, length in struck:
        now += gap
        notes.append(Played(number, now, now + length, 80))
    take = Take(tuple(sorted(notes, key=lambda one: (one.start, one.number))))
    captured = transcribe(take, Wanted(meter=meter, tempo=120.0, pickup=pickup))
    if isinstance(captured, Fault):
        assert captured.text.startswith(f"in {meter}, notes of bar ")
        assert captured.hint == "give another --pickup, --meter or --tempo"
    else:
        assert draft_entry(captured, Heading("Odd", None, None), ())
