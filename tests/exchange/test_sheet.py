"""Hand-outs that stand alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.site.inspect import parse
from transposary.cli import main

DEMO = ("--folder", str(Path(__file__).parents[2]))


def _sheet(tmp_path: Path, *words: str) -> str:
    target = tmp_path / "sheet.html"
    assert main(["sheet", *words, "--output", str(target), *DEMO]) == 0
    return target.read_text(encoding="utf-8")


def test_a_collection_is_one_file_with_everything(tmp_path: Path) -> None:
    """Devices in the keys asked for and songs as charts stand in order, and nothing is loaded or run."""
    text = _sheet(tmp_path, "collection", "winter-concert")
    page = parse(text)
    assert [heading.text for heading in page.all("h2")][:3] == [
        "Greensleeves",
        "Thirds falling into the dominant",
        "Close with a major third",
    ]
    assert page.one("title").text == page.one("h1").text == "Winter concert of the students"
    assert len(page.all("svg", role="img")) == len(page.all("figure"))
    assert page.all("svg", role="img")[0].attrs["aria-label"] == "G minor, 6/8 time."
    assert page.all("script") == []
    assert [link.attrs["href"] for link in page.all("link")] == ["data:,"]
    assert "http" not in text.replace("http://www.w3.org/", "").replace("http-equiv", "")
    ids = [element.split('"')[0] for element in text.split(' id="')[1:]]
    assert len(ids) == len(set(ids))


def test_a_device_in_the_keys_asked_for(tmp_path: Path) -> None:
    """The keys come in the order wanted, a repeated one once; without any it is the author's own."""
    text = _sheet(tmp_path, "device", "walk-up-to-the-four", "--keys", "Eb, F,Eb")
    assert [one.text for one in parse(text).all("figcaption")] == ["E♭ major", "F major"]
    assert "ask a teacher or a clinician" in text
    assert [
        one.text for one in parse(_sheet(tmp_path, "device", "walk-up-to-the-four")).all("figcaption")
    ] == ["G major"]
    assert _sheet(tmp_path, "device", "walk-up-to-the-four", "--keys", "Eb, F,Eb") == text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("device", "walk-up-to-the-four", "--keys", "G,h"), "expected a key such as 'D'"),
        (("device", "walk-up-to-the-four", "--keys", "G Bb"), "; several keys have commas between them"),
        (("collection", "winter"), "expected a collection of the glossary, found `winter`"),
    ],
)
def test_what_is_no_sheet_is_refused(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    """A key or a name that cannot be read is named."""
    assert main(["sheet", *words, *DEMO]) == 2
    assert said in capsys.readouterr().err
