"""Entries made to do harm, or that once did: each is refused by name, or read as what it says."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from transposary.check import check_reading
from transposary.engraving.midi import write_midi
from transposary.problems import Place, Problem, SourceText
from transposary.reading import read_entry, read_glossary
from transposary.reading.abc import read_abc
from transposary.reading.reader import MOST_ENTRIES
from transposary.settings import Settings

DEVICE = (
    "---\ntitle: Walk\nsummary: Four notes.\nrole: bass\nnotation: |\n"
    '  M: 4/4\n  L: 1/4\n  K: G clef=bass\n  "G"G,, A,, B,, C,|\n---\nWords.\n'
)
SONG = '---\ntitle: Tide\nkey: G\nmeter: 4/4\ntempo: 60\nchart:\n  A: "| G |"\n---\nWords.\n'


def _problems(root: Path, path: str, data: bytes) -> list[str]:
    file = root / path
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(data)
    found = check_reading(read_glossary(root), Settings())
    return [str(problem).removeprefix(f"{path}:") for problem in found]


@pytest.mark.parametrize(
    ("sign", "number"),
    [("\x80", "0080"), ("\x1b", "001B"), ("\ufffe", "FFFE"), ("\uffff", "FFFF"), ("\u202e", "202E")],
)
def test_signs_that_no_text_has(tmp_path: Path, sign: str, number: str) -> None:
    """Control characters, what is no character, and marks that turn the text are refused by name."""
    assert _problems(tmp_path, "devices/x.md", DEVICE.replace("Walk", f"Wa{sign}lk").encode()) == [
        (
            f"2:10: entry.character: an invisible character (U+{number}) stands here, where only text may "
            "stand; delete it; it may have come along when the text was copied"
        )
    ]


@pytest.mark.parametrize(
    ("escape", "number"),
    [(r"\0", "0000"), (r"\e", "001B"), (r"\ud800", "D800"), (r"\u202e", "202E"), (r"\L", "2028")],
)
def test_signs_that_no_text_has_written_as_escapes(tmp_path: Path, escape: str, number: str) -> None:
    """An escape of YAML brings in nothing that could not stand there itself."""
    assert _problems(tmp_path, "devices/x.md", DEVICE.replace("Walk", f'"Wa{escape}lk"').encode()) == [
        (
            f"2:11: entry.character: this stands for an invisible character (U+{number}), where only text "
            "may stand; delete it, or write two backslashes where one is meant"
        )
    ]


def test_an_escape_beyond_the_last_character(tmp_path: Path) -> None:
    """A number that Unicode does not have is no reason to fall over."""
    assert _problems(tmp_path, "devices/x.md", DEVICE.replace("Walk", r'"Wa\U00110000lk"').encode()) == [
        (
            "2:13: entry.syntax: a backslash in double quotation marks begins a sign that YAML does not "
            "know; write the backslash twice, or put the text into single quotation marks"
        )
    ]


def test_words_of_other_directions_and_scripts_are_words(tmp_path: Path) -> None:
    """Hebrew, Arabic and their own marks are text like any other."""
    title = "שלום \u200fعليكم\u200e"
    assert _problems(tmp_path, "songs/x.md", SONG.replace("Tide", title).encode()) == []


def test_a_message_is_one_line_that_a_terminal_does_not_obey() -> None:
    """Whatever stands in a text or in a file's name is shown, not carried out."""
    problem = Problem(Place("a\x1b[2Jb.md"), "entry.value", "found `a\nb\u202ec`", "write é\x07")
    assert str(problem) == r"a\x1b[2Jb.md:1:1: entry.value: found `a\nb\u202ec`; write é\x07"


def test_an_entry_of_ten_megabytes(tmp_path: Path) -> None:
    """It is refused by its size alone."""
    assert _problems(tmp_path, "devices/x.md", DEVICE.encode() + b"a" * 10_000_000) == [
        (
            "1:1: entry.size: expected an entry of at most 1,000,000 bytes, found 10,000,127; "
            "is it an entry at all? Other files belong outside this folder"
        )
    ]


def test_a_flood_of_fields(tmp_path: Path) -> None:
    """A chart that a minute would not read is refused by the length of its fields."""
    chart = SONG.replace("| G |", "| G " * 100_000 + "|")
    assert _problems(tmp_path, "songs/x.md", chart.encode()) == [
        (
            "1:1: entry.size: expected an entry of at most 100,000 characters of fields, found 400,053; "
            "is it an entry at all? Other files belong outside this folder"
        )
    ]


@pytest.mark.parametrize(
    ("music", "found"),
    [
        ("z4|" * 65, "expected a device of at most 64 bars, found 65"),
        ("[CEGB]4|" * 63 + "[CDEFGABcde]/" * 8 * 10, ""),
        (f"{'[CEGBdf]/' * 8}|" * 25, "expected a device of at most 1,000 notes and rests, found 1,200"),
    ],
)
def test_more_music_than_an_idea_has(tmp_path: Path, music: str, found: str) -> None:
    """Bars and notes are counted before anything is done with them twelve times."""
    entry = DEVICE.replace('"G"G,, A,, B,, C,|', music)
    said = _problems(tmp_path, "devices/x.md", entry.encode())
    assert [one.split(": ", 2)[2].partition(";")[0] for one in said if "entry.length" in one] == (
        [found] if found else []
    )


def test_more_entries_than_a_glossary_has(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Those beyond the bound are not read, and the first of them is named."""
    assert MOST_ENTRIES == 10_000
    monkeypatch.setattr("transposary.reading.reader.MOST_ENTRIES", 2)
    folder = tmp_path / "concepts"
    folder.mkdir()
    for name in "abcd":
        (folder / f"{name}.md").write_text(f"---\ntitle: {name}\n---\nWords.\n", encoding="utf-8")
    found = read_glossary(tmp_path).problems
    assert [str(one) for one in found if one.rule == "glossary.size"] == [
        (
            "concepts/c.md:1:1: glossary.size: expected at most 2 entries, found 4; "
            "this entry and those behind it are not read"
        )
    ]


def test_an_entry_that_is_a_link_out_of_the_folder(tmp_path: Path) -> None:
    """What it leads to is not opened."""
    secret = tmp_path / "secret.md"
    secret.write_text(DEVICE, encoding="utf-8")
    root = tmp_path / "entries"
    (root / "devices").mkdir(parents=True)
    (root / "devices/x.md").symlink_to(secret)
    (problem,) = read_glossary(root).problems
    assert str(problem) == (
        "devices/x.md:1:1: entry.file: the file is a link that leads out of the folder of the glossary; "
        "put a copy of the file here in place of the link"
    )


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("../../secret.musicxml", "expected a score within the folder of the glossary, found `NAME`"),
        ("/etc/passwd.xml", "expected a score within the folder of the glossary, found `NAME`"),
        ("link.musicxml", "expected a score within the folder of the glossary, found `NAME`"),
        ("pipe.musicxml", "expected a file, found something else under the name `NAME`"),
        ("folder.xml", "expected a file, found something else under the name `NAME`"),
        ("huge.mxl", "the file has 3000000000 bytes, more than 2000000"),
        ("https://example.org/a.mxl", "there is no file `NAME` beside the entry"),
    ],
)
def test_a_score_that_is_none_of_the_glossary(tmp_path: Path, name: str, said: str) -> None:
    """A path out of the folder, through a link as well, a pipe and a huge file are not opened."""
    (tmp_path / "secret.musicxml").write_text("<score-partwise/>", encoding="utf-8")
    folder = tmp_path / "entries/devices"
    folder.mkdir(parents=True)
    (folder / "link.musicxml").symlink_to(tmp_path / "secret.musicxml")
    os.mkfifo(folder / "pipe.musicxml")
    (folder / "folder.xml").mkdir()
    with (folder / "huge.mxl").open("wb") as file:
        file.truncate(3_000_000_000)
    entry = DEVICE[: DEVICE.index("notation")] + f'over: "I"\nscore: {name}\n---\nWords.\n'
    (folder / "x.md").write_text(entry, encoding="utf-8")
    (problem,) = read_glossary(tmp_path / "entries").problems
    assert (problem.rule, problem.text) == ("entry.score", said.replace("NAME", name))


def test_fields_that_end_in_an_open_bracket(tmp_path: Path) -> None:
    """Where YAML looks for more below the last line, the message stands at its end."""
    assert _problems(tmp_path, "concepts/x.md", b"---\ntitle: One\naliases: [")[-1:] == [
        (
            "3:11: entry.syntax: the fields end here, where a value should go on; "
            "close the bracket or the quotation mark that is open"
        )
    ]


def test_a_block_that_begins_with_a_blank_line(tmp_path: Path) -> None:
    """A message about the whole of it stands on a column that the line has."""
    entry = DEVICE.replace("  M: 4/4\n", "\n")
    assert _problems(tmp_path, "devices/x.md", entry.encode())[:1] == [
        "6:1: reading.abc: the header has no M:; give the meter, such as M: 4/4"
    ]


def test_the_slowest_tempo_can_be_written() -> None:
    """A beat slower than a MIDI file can say is written as the slowest that it can."""
    passage, _ = read_abc(SourceText("M:6/8\nL:1/8\nK:G\nGAB c3|", Place("x.md")), None)
    assert passage is not None
    assert b"\xff\x51\x03\xff\xff\xff" in write_midi(passage, tempo=1, title="Slow")


def test_aliases_that_would_multiply(tmp_path: Path) -> None:
    """A bomb of YAML's cross-references is refused before anything is repeated."""
    rows = "".join(f"b{n}: &b{n} [*b{n - 1}, *b{n - 1}]\n" for n in range(1, 40))
    entry, problems = read_entry(tmp_path, "devices/x.md", f"---\nb0: &b0 [a, a]\n{rows}---\n".encode())
    assert entry is None
    assert "`&b0` is a cross-reference of YAML, which entries do not use" in [one.text for one in problems]


def test_names_that_differ_by_case_or_form_only(tmp_path: Path) -> None:
    """A title in capitals, or with its accents written apart, is the same name, and is refused."""
    (tmp_path / "devices").mkdir()
    for slug, title in (("one", "Café"), ("two", "CAFE\u0301")):
        (tmp_path / f"devices/{slug}.md").write_text(DEVICE.replace("Walk", title), encoding="utf-8")
    (tmp_path / "devices/One.md").write_text(DEVICE, encoding="utf-8")
    (tmp_path / "devices/e\u0301.md").write_text(DEVICE, encoding="utf-8")
    found = read_glossary(tmp_path)
    assert [str(one).partition(";")[0] for one in found.problems] == [
        (
            "devices/One.md:1:1: entry.slug: a file name has only a to z, 0 to 9, `-` and the ending .md, "
            "found `One.md`"
        ),
        (
            "devices/e\u0301.md:1:1: entry.slug: a file name has only a to z, 0 to 9, `-` and the ending "
            ".md, found `e\u0301.md`"
        ),
        (
            "devices/two.md:2:8: entry.name: the title `CAFE\u0301` is taken: it is the title of another "
            "entry (devices/one.md:2)"
        ),
    ]
