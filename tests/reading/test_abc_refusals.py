r"""What the ABC reader refuses, and what it says: place, rule, what is wrong, how to mend it.

The cases stand in `refused/`: the text on one line with `\n` for line breaks, and what is
said below it. All files but `fields.txt` hold music for a header of 4/4, quarter notes and
C major.
"""

from pathlib import Path

import pytest

from transposary.problems import Place, SourceText
from transposary.reading.abc import read_abc

HEAD = "M:4/4\nL:1/4\nK:C\n"
CASES = Path(__file__).parent / "refused"


def _cases(name: str) -> list[tuple[str, str]]:
    found = []
    for block in (CASES / f"{name}.txt").read_text(encoding="utf-8").rstrip("\n").split("\n\n"):
        text, *said = block.split("\n")
        shown = text.replace("\\n", "\n").replace("\\\\", "\\")
        found.append((shown, "\n".join(line.removeprefix("    ") for line in said)))
    return found


def _said(text: str) -> str:
    passage, problems = read_abc(SourceText(text, Place("x")), None)
    assert passage is None
    return "\n".join(str(problem).removeprefix("x:") for problem in problems)


@pytest.mark.parametrize(("text", "said"), _cases("fields"))
def test_refuses_fields_and_voices(text: str, said: str) -> None:
    """A field that says nothing the reader knows, or voices that do not fit, are named."""
    assert _said(text) == said


@pytest.mark.parametrize(("music", "said"), _cases("music"))
def test_refuses_music(music: str, said: str) -> None:
    """Music outside the subset is named where it stands, with a way to mend it."""
    assert _said(HEAD + music) == said


@pytest.mark.parametrize(("music", "said"), _cases("symbols"))
def test_refuses_quoted_text(music: str, said: str) -> None:
    """Quotes hold one readable chord symbol."""
    assert _said(HEAD + music) == said


@pytest.mark.parametrize(("music", "said"), _cases("ties"))
def test_refuses_ties_and_slurs_to_nowhere(music: str, said: str) -> None:
    """Ties and slurs lead from notes to notes."""
    assert _said(HEAD + music) == said


@pytest.mark.parametrize(("music", "said"), _cases("bars"))
def test_refuses_bars_that_do_not_add_up(music: str, said: str) -> None:
    """Bars fill their meter; repeats and endings come in pairs."""
    assert _said(HEAD + music) == said


@pytest.mark.parametrize(("music", "said"), _cases("several"))
def test_finds_all_problems_in_one_run(music: str, said: str) -> None:
    """After a problem the reader goes on; a bar that it could not read is not judged."""
    assert _said(HEAD + music) == said


def test_a_wrong_meter_is_one_problem() -> None:
    """Where most bars are wrong in one way, the meter or the unit length is to blame."""
    said = _said("M:2/4\nL:1/4\nK:C\n" + "CDEF|" * 8)
    assert (
        said == "4:1: reading.bars: 8 of the 8 bars have 4 beats, 2/4 wants 2; mend M: or L:, or those bars"
    )


def test_names_the_place_in_the_markdown_file() -> None:
    """Line and column are those of the entry, indentation counted."""
    source = SourceText("M: 4/4\nL: 1/4\nK: C\nC4 | T D4 |", Place("devices/x.md", 10, 3), indent=2)
    _, problems = read_abc(source, None)
    assert [str(problem.place) for problem in problems] == ["devices/x.md:13:8"]


def test_a_flood_is_cut() -> None:
    """After fifty problems the reader says that there are more."""
    _, problems = read_abc(SourceText(HEAD + "$ " * 200, Place("x")), None)
    assert len(problems) == 51
    assert problems[-1].text == "there are more than 50 problems; the rest is not shown"


@pytest.mark.parametrize(
    ("music", "said"),
    [
        (
            "C " * 30000,
            "1:1: reading.abc: the text has more than 20000 characters; split it into several devices",
        ),
        ("C4|" * 2500, "4:6001: reading.abc: the tune has more than 2000 notes; shorten it"),
        ("Z500|" * 9, "4:21: reading.abc: the tune has more than 2000 notes; shorten it"),
    ],
)
def test_length_is_bounded(music: str, said: str) -> None:
    """Texts and tunes beyond any device are refused."""
    assert _said(HEAD + music) == said
