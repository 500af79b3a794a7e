"""The compact SVG."""

import re
from collections import Counter
from dataclasses import replace
from xml.etree.ElementTree import Element, fromstring, tostring

import pytest

from tests.engraving.samples import HELD_UNDER_MOVING, SAMPLES, STEPPING_OUT, TWO_HANDS
from tests.theory.abc import passage
from transposary.engraving.musicxml import write_for_engraver
from transposary.engraving.svg import Drawing, compact, drawn_bars
from transposary.engraving.toolkit import Engraver
from transposary.notes import notes
from transposary.passage import Passage

_ENGRAVER = Engraver()


def _raw(given: Passage, labels: tuple[str, ...] = (), *, numbered: bool = False) -> str:
    return _ENGRAVER.render(write_for_engraver(given, labels), name="x/C", wide=None, numbered=numbered)


def _draw(given: Passage, labels: tuple[str, ...] = (), *, numbered: bool = False) -> Drawing:
    return compact(_raw(given, labels, numbered=numbered), given, numbered=numbered)


def _svg(given: Passage, labels: tuple[str, ...] = (), *, numbered: bool = False) -> Element:
    return fromstring(_draw(given, labels, numbered=numbered).svg)


def _texts(element: Element) -> list[str | None]:
    return [text.text for text in element.iter("text")]


def _data(svg: Element, name: str) -> list[int]:
    return [int(group.get(f"data-{name}", "")) for group in svg.iter("g") if f"data-{name}" in group.attrib]


@pytest.mark.parametrize("name", SAMPLES)
def test_every_note_symbol_and_bar_is_found_in_the_drawing(name: str) -> None:
    """Each written note has a group with its index, each chord symbol and bar its own, in order."""
    given = SAMPLES[name]
    svg = _svg(given)
    assert set(_data(svg, "note")) == set(range(len(notes(given))))
    assert _data(svg, "symbol") == list(range(len(given.symbols)))
    assert _data(svg, "bar") == [bar.number for bar in given.bars]


def test_the_parts_of_a_divided_note_share_its_index() -> None:
    """A note drawn as two tied ones can be found, and lit up, as one."""
    svg = _svg(passage("M:4/4\nL:1/8\nK:C\nC3D2C3 |]\n"))
    assert Counter(_data(svg, "note")) == {0: 1, 1: 2, 2: 1}


def test_nothing_is_left_that_a_page_cannot_share_or_colour() -> None:
    """No ids, classes, styles, fonts, foreign links, fixed colours or empty groups."""
    for given in SAMPLES.values():
        svg = _draw(given, ("♭3",) * len(notes(given))).svg
        assert not re.search(r"\b(?:id|class|style|xlink:\w+|xmlns(?::\w+)?)=|<style|<desc|url\(|data:", svg)
        assert not re.search("[\ue000-\uf8ff]", svg)
        assert set(re.findall(r'(?:fill|stroke|color)="([^"]*)"', svg)) <= {"currentColor", "none"}
        assert not re.search(r"<g[^>]*/>|<g[^>]*></g>", svg)
        assert set(re.findall(r'href="([^"]*)"', svg)) == {f"#{name}" for name, _ in _draw(given).glyphs}


def test_the_drawing_scales_and_can_be_named() -> None:
    """It begins so that the page can add its name, has a view box, and a size in ems of the same shape."""
    svg = _draw(STEPPING_OUT).svg
    assert svg.startswith('<svg role="img" viewBox="')
    root = fromstring(svg)
    _, _, width, height = map(float, root.get("viewBox", "").split())
    ems = [float(root.get(side, "").removesuffix("em")) for side in ("width", "height")]
    assert ems[0] / ems[1] == pytest.approx(width / height, rel=0.01)


def test_glyphs_are_the_same_in_every_drawing() -> None:
    """A glyph's id and definition do not depend on the figure, so that a page needs it once."""
    found: dict[str, set[str]] = {}
    for given in SAMPLES.values():
        for name, definition in _draw(given).glyphs:
            found.setdefault(name, set()).add(definition)
    assert found
    assert all(len(definitions) == 1 for definitions in found.values())


def test_chord_symbols_are_ordinary_text_with_flats_and_sharps() -> None:
    """`Ebm7b5/A` reads E♭m7♭5/A, and N.C. stands as it is."""
    groups = [group for group in _svg(HELD_UNDER_MOVING).iter("g") if "data-symbol" in group.attrib]
    assert [_texts(group) for group in groups] == [["A♭7"], ["D♭6"], ["E♭m7♭5/A"], ["N.C."]]


def test_labels_stand_with_their_notes_in_one_column_a_chord() -> None:
    """A word belongs to its note's group; those of a chord with a second are not pushed aside."""
    given = passage("M:4/4\nL:1/4\nK:C\n[CDG]2 [EF]2 |]\n")
    svg = _svg(given, ("1", "2", "5", "3", "4"))
    groups = [group for group in svg.iter("g") if "data-note" in group.attrib]
    assert sorted((g.get("data-note", ""), *_texts(g)) for g in groups) == [
        ("0", "1"),
        ("1", "2"),
        ("2", "5"),
        ("3", "3"),
        ("4", "4"),
    ]
    columns = [text.get("x") for group in groups for text in group.iter("text")]
    assert len(set(columns[:3])) == 1
    assert len(set(columns[3:])) == 1


@pytest.mark.parametrize(("numbered", "numbers"), [(False, []), (True, ["1", "2", "3"])])
def test_bars_are_numbered_only_when_asked(numbered: bool, numbers: list[str]) -> None:  # noqa: FBT001 - a parameter
    """Verovio numbers the first bar of a system anyway; it is left out of short figures."""
    assert _texts(_svg(SAMPLES["changes"], numbered=numbered)) == numbers


def test_numbers_of_bars_stand_close_above_their_staff() -> None:
    """A long chord symbol at the end of a bar runs over the next bar's number and not into it."""
    svg = _svg(SAMPLES["close chords"], numbered=True)
    numbers = [int(t.get("y", "")) for t in svg.iter("text") if t.get("font-style") == "italic"]
    symbols = [
        int(t.get("y", "")) for g in svg.iter("g") if "data-symbol" in g.attrib for t in g.iter("text")
    ]
    assert min(numbers) - max(symbols) > 240


def test_fingers_stand_clear_of_stems() -> None:
    """A finger over a note whose stem leaves the staff stands above the end of that stem."""
    svg = _svg(passage('M:4/4\nL:1/4\nK:C clef=bass\n"C" !5!G,, !3!B,, !1!C, !2!A, |]\n'))
    fingers = {text.text: int(text.get("y", "")) for text in svg.iter("text") if text.get("font-weight")}
    stems = re.findall(r'd="M\d+ (\d+)V(\d+)" stroke-width="18"', tostring(svg, encoding="unicode"))
    ends = [min(map(int, stem)) for stem in stems]
    assert fingers["1"] == ends[2] - 40
    assert fingers["1"] < fingers["5"]


def test_fingers_stand_clear_of_chord_symbols() -> None:
    """Where a stem reaches up to a chord symbol the finger stays below the symbol."""
    svg = _svg(passage('M:4/4\nL:1/4\nK:A\nV:LH\n"A7" !2!E !1!F !1!=G !1!F\nV:LH2\n!5!A,4 |]\n'))
    drawn = {text.text: int(text.get("y", "")) for text in svg.iter("text")}
    assert drawn["2"] - drawn["A7"] == 250
    assert drawn["1"] < drawn["2"]


def test_a_drawing_of_something_else_is_refused() -> None:
    """Lost bars or chord symbols do not go unnoticed."""
    raw = _raw(STEPPING_OUT)
    with pytest.raises(ValueError, match="verovio drew 2 bars and 2 chord symbols of 3 and 5"):
        compact(
            raw, replace(TWO_HANDS, symbols=(*STEPPING_OUT.symbols, *TWO_HANDS.symbols[:3])), numbered=False
        )
    with pytest.raises(ValueError, match="verovio drew another chord symbol where Bbm was expected"):
        compact(raw, TWO_HANDS, numbered=False)


def test_the_width_of_each_bar_is_known_before_the_drawing_is_made_small() -> None:
    """The widths decide about systems; a bar of two staves counts once."""
    assert [width > 0 for width in drawn_bars(_raw(TWO_HANDS))] == [True, True, True]
    assert sum(drawn_bars(_raw(SAMPLES["eight bars"]))) > 2 * sum(drawn_bars(_raw(STEPPING_OUT)))


@pytest.mark.parametrize(
    ("found", "instead", "message"),
    [
        ('<svg class="definition-scale"', '<g class="definition-scale"', "verovio drew nothing"),
        ('"translate(550, 200)"', '"rotate(90)"', "the page of verovio's drawing has no margin"),
        ('<g class="notehead">', '<image/><g class="notehead">', "verovio drew an unknown element: image"),
        ('id="n0"', 'id="other"', "verovio drew a note without our id"),
        ('<use href="#E', '<use href="#other', "verovio placed a glyph in an unknown way"),
        (">1</tspan>", ">\ueca5</tspan>", "verovio wrote a character of its music font: '\\ueca5'"),
        (' y="', ' y="0.', "verovio placed a text in an unknown way"),
    ],
)
def test_a_drawing_that_another_verovio_might_make_is_refused(found: str, instead: str, message: str) -> None:
    """What is not known from this version is an error that says what, and no broken figure."""
    raw = _raw(STEPPING_OUT, ("1", "2", "3", "4"))
    assert found in raw
    doctored = raw.replace(found, instead)
    if found.startswith("<svg"):
        doctored = doctored.replace("</svg></svg>", "</g></svg>")
    with pytest.raises(ValueError, match=re.escape(message)):
        compact(doctored, STEPPING_OUT, numbered=False)
