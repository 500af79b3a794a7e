"""The author's record: what is read, and what is said about lines at fault."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.site.small import walk_up
from transposary.practice import Take, read_record

HEAD = "device,slot,date,tempo,slips\n"
TAKE = Take("walk-up", "Eb", date(2026, 3, 14), 84, 1)


def _said(text: str) -> list[str]:
    return [str(problem) for problem in read_record(text.encode(), (walk_up(),))[1]]


def test_lines_are_takes_by_date() -> None:
    """Each line is a take; those of one day keep their order."""
    lines = "walk-up,C,2026-03-15,80,0\nwalk-up,Eb,2026-03-14,84,1\n\nwalk-up,F,2026-03-14,70,2\n"
    takes, problems = read_record((HEAD + lines).encode(), (walk_up(),))
    assert problems == ()
    assert [take.slot for take in takes] == ["Eb", "F", "C"]
    assert takes[0] == TAKE


@pytest.mark.parametrize(
    "line",
    [
        "walk-up,Eb,2026-03-14,84,1",
        "Walk up,D#,2026-03-14,84,1",
        "stroll,E♭,2026-03-14,84,1",
        '"walk-up" , "Eb", 2026-03-14, 84, 1 ',
    ],
)
def test_devices_and_keys_go_by_any_of_their_names(line: str) -> None:
    """A device is named by its file, its title or an alias, a key by any spelling of its tonic."""
    assert read_record(f"\ufeff{HEAD}{line}".encode(), (walk_up(),)) == ((TAKE,), ())


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            "walk-upp,Eb,2026-03-14,84,1",
            (
                "2:1: practice.device: expected a device of the glossary, found 'walk-upp'; "
                "write walk-up, if you mean that"
            ),
        ),
        (
            "rumba,Eb,2026-03-14,84,1",
            (
                "2:1: practice.device: expected a device of the glossary, found 'rumba'; "
                "name it, or take the line out"
            ),
        ),
        (
            "walk-up,H,2026-03-14,84,1",
            "2:9: practice.slot: expected a tonic such as Eb, found 'H'; write it as C, Db, D, Eb and so on",
        ),
        (
            "walk-up,Eb,2026-02-30,84,1",
            "2:12: practice.date: expected a day of the calendar, found '2026-02-30'; write it as 2026-03-14",
        ),
        (
            "walk-up,Eb,2026-03-14,401,1",
            "2:23: practice.tempo: expected beats a minute from 1 to 400, found '401'",
        ),
        (
            "walk-up,Eb,2026-03-14,84,-1",
            "2:26: practice.slips: expected a whole number from 0 to 999, found '-1'",
        ),
        (
            "walk-up,Eb",
            "2:1: practice.line: expected 5 values, found 2; write device,slot,date,tempo,slips",
        ),
    ],
)
def test_a_line_at_fault_is_said_with_its_place(line: str, said: str) -> None:
    """Every value that cannot be read is named with line and column, and the line is left out."""
    assert _said(HEAD + line) == [f"practice.csv:{said}"]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (
            b"",
            (
                "practice.csv:1:1: practice.columns: expected the columns device,slot,date,tempo,slips, "
                "found nothing; make `device,slot,date,tempo,slips` the first line"
            ),
        ),
        (
            b"device;slot\n",
            (
                "practice.csv:1:1: practice.columns: expected the columns device,slot,date,tempo,slips, "
                "found device;slot; make `device,slot,date,tempo,slips` the first line"
            ),
        ),
        (
            b"\xff\xfe",
            (
                "practice.csv:1:1: practice.file: expected text in UTF-8, found other bytes; "
                "save it as CSV in UTF-8"
            ),
        ),
    ],
)
def test_a_file_of_another_kind_is_refused(data: bytes, said: str) -> None:
    """Without its columns nothing of a file is read."""
    takes, problems = read_record(data, (walk_up(),))
    assert (takes, [str(problem) for problem in problems]) == ((), [said])


def test_a_record_of_more_years_than_anybody_lives_is_refused() -> None:
    """A file is read up to 5 MB."""
    assert [str(one) for one in read_record(b" " * 5_000_001, ())[1]] == [
        (
            "practice.csv:1:1: practice.size: expected a record of at most 5 MB, which is some 100,000 "
            "lines; found more; put the years that are past into another file"
        )
    ]


def test_after_a_hundred_lines_at_fault_no_more_is_read() -> None:
    """Something else is wrong then than a slip of the pen."""
    takes, problems = read_record((HEAD + "x\n" * 120 + "walk-up,C,2026-03-14,90,0\n").encode(), (walk_up(),))
    assert (takes, len(problems)) == ((), 101)
    assert str(problems[-1]) == (
        "practice.csv:101:1: practice.faults: 100 lines up to here are at fault; what follows is not read; "
        "mend these first"
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            HEAD + "x" * 401,
            (
                "practice.csv:2:1: practice.line: expected a line of at most 400 characters, found 401; "
                "write device,slot,date,tempo,slips"
            ),
        ),
        (
            "x" * 401,
            (
                "practice.csv:1:1: practice.columns: expected the columns device,slot,date,tempo,slips, "
                "found a line without end; make `device,slot,date,tempo,slips` the first line"
            ),
        ),
    ],
)
def test_a_line_without_end_is_not_repeated(text: str, said: str) -> None:
    """What is printed stays short."""
    assert [str(one) for one in read_record(text.encode(), (walk_up(),))[1]] == [said]


@given(st.text(max_size=60), st.binary(max_size=40))
def test_no_file_breaks_the_reader(text: str, data: bytes) -> None:
    """Whatever stands in it, a file gives takes and problems."""
    for content in (data, (HEAD + text).encode()):
        takes, problems = read_record(content, (walk_up(),))
        assert all(take.device == "walk-up" for take in takes)
        assert all(problem.place.file == "practice.csv" for problem in problems)
