"""Charts as pages show them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from tests.site.small import D_MAJOR, song, walk_up
from tests.theory.build import chord
from transposary.glossary import BarRange, Frame
from transposary.passage import Key, Meter
from transposary.pitch import NoteName
from transposary.site.pages.charts import BarView, Sign, section_views
from transposary.site.pages.song import slot_there, where_words
from transposary.song import ChartBar, ChartChord, PlayedBar, Section, Song


def _bar(name: str) -> ChartBar:
    return ChartBar((ChartChord(Fraction(1), Fraction(4), chord(name)),), Meter(4, 4), D_MAJOR)


def _song(*bars: ChartBar, played: tuple[int, ...]) -> Song:
    """A song of one section, with the bars (from 1) as its form plays them; 0 is a pickup."""
    order = tuple(
        PlayedBar(number, "A", 1, within, bars[within - 1] if within else _bar("A7"))
        for number, within in enumerate(played, 0 if played[0] == 0 else 1)
    )
    return replace(song("tune"), sections=(Section("A", bars),), played=order)


def _signs(bar: BarView) -> tuple[str, ...]:
    return tuple(sign.text for sign in bar.notes)


def test_endings_stand_once_and_repeats_have_their_signs() -> None:
    """A chart is shown as written, however often its bars are played."""
    first = replace(_bar("A7"), ending="1", repeat_ended=True)
    bars = (replace(_bar("D"), repeat_begun=True), first, replace(_bar("G"), ending="2"))
    (view,) = section_views(_song(*bars, played=(1, 2, 1, 3)))
    assert [(bar.number, _signs(bar)) for bar in view.bars] == [(1, ()), (2, ("1.",)), (3, ("2.",))]
    assert [bar.repeat_begun for bar in view.bars] == [True, False, False]
    assert [bar.repeat_ended for bar in view.bars] == [False, True, False]


def test_a_pickup_leads_in_as_bar_0() -> None:
    """The bar before the form stands before its first section, and is called what it is."""
    (view,) = section_views(_song(_bar("D"), _bar("G"), played=(0, 1, 2)))
    assert [(bar.number, bar.chords[0].symbol) for bar in view.bars] == [(0, "A7"), (1, "D"), (2, "G")]
    assert [_signs(bar) for bar in view.bars] == [("pickup",), (), ()]


def test_changes_and_marks_stand_over_their_bar() -> None:
    """A player sees where the meter and the key change, and where the form jumps."""
    waltz = replace(_bar("G"), meter=Meter(3, 4), key=Key(NoteName.parse("G")), marks=("coda",))
    (view,) = section_views(_song(_bar("D"), waltz, _bar("D"), played=(1, 2, 3)))
    assert view.bars[1].notes == (Sign("3/4"), Sign("G major", 1), Sign("To coda"))
    assert view.bars[2].notes == (Sign("4/4"), Sign("D major", 2))


def test_a_key_that_goes_on_is_said_once() -> None:
    """The next section says its key where it is not the one above, also when it is the song's again."""
    lifted = replace(_bar("E"), key=Key(NoteName.parse("E")))
    sections = (Section("A", (_bar("D"), lifted)), Section("B", (lifted,)), Section("C", (_bar("D"),)))
    views = section_views(replace(_song(_bar("D"), played=(1,)), sections=sections))
    said = [[_signs(bar) for bar in view.bars] for view in views]
    assert said == [[(), ("E major",)], [()], [("D major",)]]


def test_bars_are_said_once() -> None:
    """Bars that have the same numbers in their section and in the performance are said once."""
    bars = (_bar("D"), _bar("G"))
    once = _song(*bars, played=(1, 2))
    repeat = tuple(replace(one, number=one.number + 2, time=2) for one in once.played)
    twice = replace(once, played=(*once.played, *repeat))
    assert where_words(once, BarRange(1, 2)) == "section A, bars 1–2"
    assert where_words(once, BarRange(1, 2, "A")) == "section A, bars 1–2"
    assert where_words(twice, BarRange(1, 2, "A")) == "section A, bars 1–2 (again as bars 3–4)"
    assert where_words(twice, BarRange(1, 1, "A")) == "section A, bar 1 (again as bar 3)"
    assert where_words(twice, BarRange(3, 4)) == "bars 3–4 (section A, bars 1–2)"
    assert where_words(twice, BarRange(2, 3)) == "bars 2–3 (section A, bar 2 to section A, bar 1)"


def test_what_hangs_on_a_chord_leads_to_the_key_of_that_chord() -> None:
    """A device over one chord sounds in that chord's key, moved as the band moved the chart."""
    over_one = replace(walk_up(), frame=Frame.CHORD)
    e_major = Key(NoteName.parse("E"))
    assert slot_there(over_one, _bar("G7"), D_MAJOR, D_MAJOR) == "G"
    assert slot_there(over_one, _bar("G7"), D_MAJOR, e_major) == "A"
    assert slot_there(over_one, song("tune").sections[0].bars[0], D_MAJOR, D_MAJOR) == ""
    assert slot_there(walk_up(), _bar("G7"), D_MAJOR, e_major) == "E"
