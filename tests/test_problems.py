"""Problems as values, and how they are printed."""

from transposary.problems import Place, Problem, SourceText, errors, in_order, report


def test_report_sorts_and_counts() -> None:
    """All problems of a build come out once, by file, line and column, with a count."""
    late = Problem(Place("devices/b.md", 3, 1), "schema", "expected a key", "write one")
    early = Problem.remark(Place("devices/a.md", 12, 4), "range", "too low")
    assert report([late, early, late]) == (
        "devices/a.md:12:4: remark: range: too low\n"
        "devices/b.md:3:1: schema: expected a key; write one\n"
        "1 error, 1 remark"
    )
    assert errors(in_order([late, early])) == (late,)


def test_source_text_finds_places_in_a_block() -> None:
    """A character of an indented block keeps its line and column in the file."""
    block = SourceText("M: 4/4\nK: G\n", Place("devices/a.md", 10, 3), indent=2)
    assert block.place(0) == Place("devices/a.md", 10, 3)
    assert block.place(7) == Place("devices/a.md", 11, 3)
    assert block.place(10) == Place("devices/a.md", 11, 6)


def test_folded_lines_keep_their_places() -> None:
    """A character behind a fold or an escape keeps its line and column in the file."""
    folded = SourceText("| C | F |", Place("songs/a.md", 6, 7), anchors=((6, 7, 5),))
    assert [folded.place(offset) for offset in (0, 5, 6, 8)] == [
        Place("songs/a.md", 6, 7),
        Place("songs/a.md", 6, 12),
        Place("songs/a.md", 7, 5),
        Place("songs/a.md", 7, 7),
    ]
