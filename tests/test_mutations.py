"""No slip of a key makes the reader or the checks fall over."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.strategies import slips_in
from transposary.check import check_reading
from transposary.glossary import Kind
from transposary.problems import Problem
from transposary.reading import read_glossary
from transposary.settings import Settings

ENTRIES = Path(__file__).parent.parent / "entries"
TEXTS = {
    path.relative_to(ENTRIES).as_posix(): path.read_text(encoding="utf-8")
    for kind in Kind
    for path in sorted((ENTRIES / kind.value).glob("*.md"))
}


@settings(max_examples=120, deadline=None)
@given(st.sampled_from(sorted(TEXTS)), st.data())
def test_slips_are_reported_where_they_are(name: str, data: st.DataObject) -> None:
    """Whatever is mistyped, nothing raises, and every problem points into the file."""
    text = data.draw(slips_in(TEXTS[name]))
    with TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.parent.mkdir()
        path.write_bytes(text.encode())
        problems = check_reading(read_glossary(Path(folder)), Settings())
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    assert [problem for problem in problems if not _points_into(problem, name, lines)] == []


def _points_into(problem: Problem, name: str, lines: list[str]) -> bool:
    place = problem.place
    return (
        place.file == name
        and 1 <= place.line <= len(lines)
        and 1 <= place.column <= len(lines[place.line - 1]) + 1
        and problem.text != ""
    )
