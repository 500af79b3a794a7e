"""Charts and forms: bars of chords, and the order in which they are played."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.strategies import chart_texts
from transposary.passage import Key, Meter, Mode
from transposary.pitch import NoteName
from transposary.problems import Place, SourceText
from transposary.reading.chart import read_chart, read_pickup
from transposary.reading.form import play
from transposary.song import ChartBar, PlayedBar, Section

C = Key(NoteName.parse("C"))
FOUR = Meter(4, 4)
START = Place("songs/x.md", 5, 7)
CHART_BARS = (
    *("| C", "| F7 Gm7b5/Bb", "| %", "| N.C.", "|: C F", ":| Bbmaj7/D", "|1 C", ":|2 F", "|: A :|", "|| Am"),
    *(
        "| [M:4/4] C / F G",
        "| [M:3/4] C / F",
        "| [M:3/4] / F /",
        "| [K:Eb] Eb",
        "| !fine! C",
        "| [K:F#m] F#m",
    ),
)


def bars(text: str, meter: Meter = FOUR) -> tuple[ChartBar, ...]:
    """Reads a chart in which nothing is wrong."""
    found, problems = read_chart(SourceText(text, START), meter, C)
    assert problems == ()
    return found


def written(text: str, meter: Meter = FOUR) -> list[str]:
    """Gives the bars of a chart as `chord@beat+length`, lengths in quarter notes."""
    return [
        " ".join(f"{chord}@{chord.beat}+{chord.length}" for chord in bar.chords) for bar in bars(text, meter)
    ]


@pytest.mark.parametrize(
    ("text", "meter", "expected"),
    [
        ("| C |", FOUR, ["C@1+4"]),
        ("C | F", FOUR, ["C@1+4", "F@1+4"]),
        ("| C F |", FOUR, ["C@1+2 F@3+2"]),
        ("| C F G A |", FOUR, ["C@1+1 F@2+1 G@3+1 A@4+1"]),
        ("| C / F G |", FOUR, ["C@1+2 F@3+1 G@4+1"]),
        ("| C / / / | / G / / |", FOUR, ["C@1+4", "C@1+1 G@2+3"]),
        ("| C7 | % | N.C. | nc |", FOUR, ["C7@1+4", "C7@1+4", "N.C.@1+4", "N.C.@1+4"]),
        ("| Cm7b5/Gb |", FOUR, ["Cm7b5/Gb@1+4"]),
        ("| C F G |", Meter(3, 4), ["C@1+1 F@2+1 G@3+1"]),
        ("| C / F |", Meter(3, 4), ["C@1+2 F@3+1"]),
        ("| C F |", Meter(6, 8), ["C@1+3/2 F@2+3/2"]),
        ("| C / F G |", Meter(12, 8), ["C@1+3 F@3+3/2 G@4+3/2"]),
        ("| C / / F / |", Meter(5, 4), ["C@1+3 F@4+2"]),
        ("| C F |", Meter(2, 2), ["C@1+2 F@2+2"]),
        ("| C [M:3/4] |", FOUR, None),
    ],
)
def test_chords_share_a_bar_by_its_beats(text: str, meter: Meter, expected: list[str] | None) -> None:
    """Chords share a bar evenly, or by `/` for each further beat, counted in the meter's own beats."""
    if expected is None:
        assert read_chart(SourceText(text, START), meter, C)[1] != ()
    else:
        assert written(text, meter) == expected


def test_key_and_meter_change_within_a_section() -> None:
    """`[K:…]` and `[M:…]` hold from their bar to the end of the section."""
    found = bars("| C | [K:Bbm] [M:3/4] F / Gm | F |")
    assert [str(bar.meter) for bar in found] == ["4/4", "3/4", "3/4"]
    assert found[2].key == Key(NoteName.parse("Bb"), Mode.MINOR)


def test_places_of_chords_are_those_in_the_file() -> None:
    """A chord and its bar know where they stand."""
    second = bars("| C | F G |")[1]
    assert [str(one.place) for one in (second, *second.chords)] == [
        "songs/x.md:5:13",
        "songs/x.md:5:13",
        "songs/x.md:5:15",
    ]


def test_a_pickup_is_counted_to_its_end() -> None:
    """The beats of a pickup are the last ones of a bar."""
    bar, problems = read_pickup(SourceText("G7 / C", START), FOUR, C)
    assert problems == ()
    assert bar is not None
    assert [(str(one), one.beat, one.length) for one in bar.chords] == [
        ("G7", Fraction(2), Fraction(2)),
        ("C", Fraction(4), Fraction(1)),
    ]


def played(form: str, pickup: ChartBar | None = None, **charts: str) -> list[PlayedBar]:
    """Plays sections in the order of a form, items parted by commas."""
    sections = [Section(name, bars(text)) for name, text in charts.items()]
    items = [SourceText(item.strip(), START) for item in form.split(",") if item.strip()]
    result, problems = play(sections, items, pickup)
    assert [problem for problem in problems if problem.rule != "song.unplayed"] == []
    return list(result.played)


def order(form: str, **charts: str) -> str:
    """Gives the chords of the bars as they are played."""
    return " ".join(str(bar.bar.chords[0]) for bar in played(form, **charts))


@pytest.mark.parametrize(
    ("form", "charts", "expected"),
    [
        ("", {"A": "| C | F |", "B": "| G |"}, "C F G"),
        ("A, B, A", {"A": "| C | F |", "B": "| G |"}, "C F G C F"),
        ("a, Mid-dle", {"A": "| C |", "middle": "| G |"}, "C G"),
        ("A", {"A": "|: C | F :| G |"}, "C F C F G"),
        ("A", {"A": "C | F :| G |"}, "C F C F G"),
        ("A", {"A": "| C |: F :|: G :|"}, "C F F G G"),
        ("A", {"A": "|: C |1 F :|2 G | A |"}, "C F C G A"),
        ("A", {"A": "|: C | [1 F | G :| [2 A |: B :|"}, "C F G C A B B"),
        ("A, B, D.C.", {"A": "| C | F |", "B": "| G |"}, "C F G C F G"),
        ("A, B, D.C. al Fine, A", {"A": "|: C | F !fine! :|", "B": "| G |"}, "C F C F G C F"),
        ("A, B, D.C.", {"A": "| C | F !fine! |", "B": "| G |"}, "C F G C F"),
        (
            "A, B, DS al Coda, Out",
            {"A": "| C | !segno! F |", "B": "| G !coda! | A |", "Out": "| E |"},
            "C F G A F G E",
        ),
        ("A, D.S. al fine", {"A": "|: !segno! C |1 F :|2 G !fine! | A |"}, "C F C G A C G"),
    ],
)
def test_forms_are_played_out(form: str, charts: dict[str, str], expected: str) -> None:
    """Sections, repeats, endings, D.C. and D.S. give the bars as the band plays them."""
    assert order(form, **charts) == expected


def test_bars_are_numbered_through_the_form() -> None:
    """A bar has its number in the form, its time round, and its number in the section as written."""
    pickup, _ = read_pickup(SourceText("G7", START), FOUR, C)
    found = played("A, B, A", pickup, A="| C |1 F :|2 G |", B="| A |")
    assert [(bar.number, bar.section, bar.time, bar.within) for bar in found] == [
        (0, "A", 1, 0),
        (1, "A", 1, 1),
        (2, "A", 1, 2),
        (3, "A", 2, 1),
        (4, "A", 2, 3),
        (5, "B", 1, 1),
        (6, "A", 3, 1),
        (7, "A", 3, 2),
        (8, "A", 4, 1),
        (9, "A", 4, 3),
    ]


def test_an_endless_form_is_refused() -> None:
    """A form that would play thousands of bars is an error, and costs no time."""
    section = Section("A", bars("| " + "C | " * 500))
    _, problems = play([section], [SourceText("A", START)] * 5, None)
    assert [problem.text for problem in problems] == ["a song has at most 2000 bars, found 2500"]


def _printed(chart: tuple[ChartBar, ...], meter: Meter, key: Key) -> str:
    """Writes a chart out: a chord a beat with its `/`, or the chords alone where they share a bar evenly."""
    words: list[str] = []
    ended = False
    for bar in chart:
        words.append((":" if ended else "") + "|" + (":" if bar.repeat_begun else "") + bar.ending)
        words += [f"[M:{bar.meter}]"] if bar.meter != meter else []
        words += [f"[K:{bar.key}]"] if bar.key != key else []
        words += [f"!{mark}!" for mark in bar.marks]
        even = len({one.length for one in bar.chords}) == 1
        for one in bar.chords:
            words.append(str(one))
            words += [] if even else ["/"] * (int(one.length / bar.meter.beat) - 1)
        meter, key, ended = bar.meter, bar.key, bar.repeat_ended
    return " ".join((*words, ":|" if ended else "|"))


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.sampled_from(CHART_BARS), min_size=1, max_size=8).map(" ".join),
    st.sampled_from([FOUR, Meter(6, 8)]),
)
def test_a_chart_that_is_printed_is_read_as_the_same(text: str, meter: Meter) -> None:
    """Chords, their beats, repeats, endings, marks and changes of key and meter come back."""
    found, problems = read_chart(SourceText(text, START), meter, C)
    assume(not problems)
    again, said = read_chart(SourceText(_printed(found, meter, C), START), meter, C)
    assert said == ()
    assert again == found


@settings(max_examples=150, deadline=None)
@given(chart_texts(), st.sampled_from([FOUR, Meter(3, 4), Meter(6, 8), Meter(5, 4)]))
def test_a_bar_is_full_or_at_fault(text: str, meter: Meter) -> None:
    """Whatever is written, the chords of each bar fill it, or a problem is reported; forms come to an end."""
    found, problems = read_chart(SourceText(text, START), meter, C)
    lengths = [(sum(one.length for one in bar.chords), bar.meter.length) for bar in found]
    assert problems or all(have == want for have, want in lengths)
    assert all(have in {0, want} for have, want in lengths)
    section = Section("A", found)
    result, _ = play([section], [SourceText("A", START), SourceText("D.C. al Fine", START)], None)
    assert len(result.played) <= 3 * len(found)
