"""Frames: what is written once for all keys of a device."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest

from tests.engraving.samples import SAMPLES, TWO_HANDS
from transposary.engraving import musicxml
from transposary.engraving.musicxml import write_for_engraver, write_musicxml
from transposary.passage import Event, Head, Passage
from transposary.pitch import OCTAVE, Interval
from transposary.theory.transposition import transpose

_INTERVALS = [Interval.of(fifths, fifths * 7 % 12) for fifths in range(-6, 6)]


def _anew(passage: Passage) -> tuple[str, str]:
    """Writes a passage as if it were the first."""
    musicxml._frame.cache_clear()
    return _written(passage)


def _written(passage: Passage) -> tuple[str, str]:
    return write_for_engraver(passage, ()), write_musicxml(passage, title="A title", tempo=90)


@pytest.mark.parametrize("name", SAMPLES)
def test_a_key_comes_out_as_if_it_were_the_first(name: str) -> None:
    """The twelve keys of a passage, written after each other, are those that are written alone."""
    keys = [transpose(SAMPLES[name], interval) for interval in _INTERVALS]
    alone = [_anew(key) for key in keys]
    musicxml._frame.cache_clear()
    assert [_written(key) for key in keys] == alone


def test_the_keys_of_a_passage_share_a_frame() -> None:
    """Twelve keys cost one layout."""
    musicxml._frame.cache_clear()
    for interval in _INTERVALS:
        write_for_engraver(transpose(TWO_HANDS, interval), ())
    found = musicxml._frame.cache_info()
    assert (found.misses, found.hits) == (1, 11)


def _with_head(passage: Passage, change: Callable[[Head], Head]) -> Passage:
    return _with_event(
        passage, lambda event: replace(event, heads=(change(event.heads[0]), *event.heads[1:]))
    )


def _with_event(passage: Passage, change: Callable[[Event], Event]) -> Passage:
    voice, *others = passage.voices
    place = next(place for place, event in enumerate(voice.events) if event.heads)
    events = (*voice.events[:place], change(voice.events[place]), *voice.events[place + 1 :])
    return replace(passage, voices=(replace(voice, events=events), *others))


_CHANGES: dict[str, Callable[[Passage], Passage]] = {
    "finger": lambda given: _with_head(given, lambda head: replace(head, finger=3)),
    "ghost": lambda given: _with_head(given, lambda head: replace(head, ghost=not head.ghost)),
    "slash": lambda given: _with_head(given, lambda head: replace(head, slash=True)),
    "an octave": lambda given: _with_event(
        given,
        lambda event: replace(
            event, heads=(*event.heads, replace(event.heads[-1], pitch=event.heads[-1].pitch.up(OCTAVE)))
        ),
    ),
    "rest": lambda given: _with_event(given, lambda event: replace(event, heads=())),
    "staccato": lambda given: _with_event(given, lambda event: replace(event, staccato=True)),
    "accent": lambda given: _with_event(given, lambda event: replace(event, accent=True)),
    "beam": lambda given: _with_event(given, lambda event: replace(event, beamed=not event.beamed)),
    "last barline": lambda given: replace(
        given, bars=(*given.bars[:-1], replace(given.bars[-1], repeat_ended=True))
    ),
    "common time": lambda given: replace(
        given, bars=tuple(replace(bar, meter=replace(bar.meter, symbol="C")) for bar in given.bars)
    ),
    "no symbols": lambda given: replace(given, symbols=()),
    "late symbol": lambda given: replace(
        given,
        symbols=(
            replace(given.symbols[0], onset=given.symbols[0].onset + Fraction(1, 2)),
            *given.symbols[1:],
        ),
    ),
}


@pytest.mark.parametrize("what", _CHANGES)
def test_another_rhythm_or_mark_has_a_frame_of_its_own(what: str) -> None:
    """Whatever else than the key differs is written, though the passage before was nearly the same."""
    changed = _CHANGES[what](TWO_HANDS)
    alone, before = _anew(changed), _anew(TWO_HANDS)
    assert _written(changed) == alone
    assert alone != before
