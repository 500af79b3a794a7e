"""Verovio's traps, each as it is stepped round."""

import re
import threading
from pathlib import Path

import pytest
import verovio

from tests.engraving.samples import SAMPLES, STEPPING_OUT, TWO_HANDS
from transposary.engraving import toolkit
from transposary.engraving.musicxml import break_systems, write_for_engraver
from transposary.engraving.toolkit import Engraver

_SCORE = write_for_engraver(STEPPING_OUT, ())


def _render(engraver: Engraver, score: str = _SCORE, name: str = "a/C") -> str:
    return engraver.render(score, name=name, wide=None, numbered=False)


def test_a_score_that_is_refused_is_an_error_and_no_empty_drawing() -> None:
    """Verovio says False and draws nothing; we raise."""
    with pytest.raises(RuntimeError, match="verovio refuses the score"):
        _render(Engraver(), "<nothing/>")


def test_a_second_page_is_an_error() -> None:
    """Music that would vanish on a second page is noticed."""
    pages = break_systems(write_for_engraver(SAMPLES["eight bars"], ()), 1)
    again = pages.replace('<print new-system="yes"/>', '<print new-page="yes"/>')
    with pytest.raises(RuntimeError, match=r"verovio needs \d pages where one was expected"):
        Engraver().render(again, name="a/C", wide=9000, numbered=False)


def test_another_thread_finds_the_fonts(capfd: pytest.CaptureFixture[str]) -> None:
    """A toolkit made in a thread of `serve` draws the same bytes as in the main thread, and is quiet."""
    drawn: list[str] = []
    thread = threading.Thread(target=lambda: drawn.append(_render(Engraver())))
    thread.start()
    thread.join()
    assert drawn == [_render(Engraver())]
    assert capfd.readouterr() == ("", "")


def test_ids_come_from_the_name() -> None:
    """The same name gives the same bytes, and another key other ids."""
    found = [_render(Engraver(), name=name) for name in ("a/C", "a/C", "a/Db")]
    assert found[0] == found[1]
    ids = [set(re.findall(r'id="(\w+)"', one)) for one in found]
    assert ids[0] & ids[2] == {"n0", "n1", "n2", "n3"}


def test_options_of_one_figure_do_not_stick_to_the_next() -> None:
    """After a wide, numbered figure a small one comes out as from a new toolkit."""
    engraver = Engraver()
    engraver.render(break_systems(write_for_engraver(TWO_HANDS, ()), 1), name="b/C", wide=900, numbered=True)
    assert _render(engraver) == _render(Engraver())


def test_missing_fonts_are_an_error(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A toolkit without its fonts would draw empty pages; we raise instead."""
    monkeypatch.setattr(toolkit, "files", lambda _: tmp_path)
    with pytest.raises(RuntimeError, match="verovio does not find its fonts"):
        Engraver()


def test_no_style_sheet_is_drawn() -> None:
    """Verovio would prefix its rules anew for each drawing, which takes as long as a small drawing."""
    assert "<style" not in _render(Engraver())
    assert "<style" in verovio.toolkit().renderData(_SCORE, {})
