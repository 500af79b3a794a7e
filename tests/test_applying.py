"""The command `transposary apply`: a device written into its entry as played in another song."""

from __future__ import annotations

from pathlib import Path

import pytest

from transposary.cli import main

SONG = """---
title: Harbour
aliases: [The Pier]
key: D
meter: 4/4
chart:
  A: "| D7 | G7 | A7 | D |"
  B: "| D7 | Gm7 | A7 | D |"
form: [A, B, A]
---
"""
HEAD = """---
title: Climb
aliases: [the walk]
summary: Three notes and a landing.
role: bass
notation: |
  M: 4/4
  L: 1/4
  K: G clef=bass
  "G7" G,,2 A,, B,, | "C7" C,4 |
"""
BODY = """---
Words — and more.
"""
ITEM = """  - song: harbour
    bars: A 1-2
    key: D
    date: 2026-03-14
    changed: "nothing yet"
    notation: |
      M: 4/4
      L: 1/4
      K: D clef=bass
      "D7"D,,2 E,, F,, | "G7"G,,4 |]
"""
WORDS = """devices/climb.md: Climb now stands in Harbour, bars 1–2.
Nothing clashes.
Kept: degrees and rhythm. Changed: in D major in place of G major.
Mend the notation as you play it, then run  transposary check
"""


def _apply(home: Path, entry: bytes, *words: str) -> int:
    _write(home, entry)
    return _applied(home, *words)


def _write(home: Path, entry: bytes) -> None:
    for name, data in (("songs/harbour.md", SONG.encode()), ("devices/climb.md", entry)):
        path = home / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(data)


def _applied(home: Path, *words: str) -> int:
    return main(["apply", *words, "--date", "2026-03-14", "--folder", str(home)])


def _entry(home: Path) -> bytes:
    return (home / "devices/climb.md").read_bytes()


@pytest.mark.parametrize("names", [("climb", "harbour"), ("The Walk", "the pier"), ("CLIMB", "Harbour")])
def test_a_version_is_written_and_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], names: tuple[str, str]
) -> None:
    """Found by any name, the device gets its version; check passes and says what became of it."""
    assert _apply(tmp_path, (HEAD + BODY).encode(), *names, "A 1-2") == 0
    assert capsys.readouterr().out == WORDS
    assert _entry(tmp_path).decode() == HEAD + "applied_in:\n" + ITEM + BODY
    assert main(["check", str(tmp_path)]) == 0
    assert capsys.readouterr().out == (
        "devices/climb.md:12:5: Climb in Harbour, A 1–2: "
        "Kept: degrees and rhythm. Changed: in D major in place of G major.\n"
        "0 errors, 0 remarks\n"
    )
    assert list(tmp_path.rglob(".*")) == []


def test_a_band_may_play_in_another_key(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The chart moves into the key of the band, and the entry says which that was."""
    assert _apply(tmp_path, (HEAD + BODY).encode(), "climb", "harbour", "A 1-2", "--key", "F") == 0
    moved = ITEM.replace("key: D", "key: F").replace("K: D", "K: F")
    moved = moved.replace('"D7"D,,2 E,, F,, | "G7"G,,4', '"F7"F,,2 G,, A,, | "Bb7"B,,4')
    assert _entry(tmp_path).decode() == HEAD + "applied_in:\n" + moved + BODY
    assert main(["check", str(tmp_path)]) == 0
    assert "Changed: in F major in place of G major." in capsys.readouterr().out


KNOWN = "applied_in:   # mine\n- song: harbour\n  bars: 1-2\n  # so be it\n\n# level: 2\nlevel: 3\n"
UNINDENTED = ITEM.replace("\n  ", "\n").removeprefix("  ")


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (KNOWN, KNOWN.replace("so be it\n", "so be it\n" + UNINDENTED)),
        (
            "applied_in:\n    - song: harbour\n      bars: 1-2\nlevel: 3\n",
            "applied_in:\n    - song: harbour\n      bars: 1-2\n"
            + "".join(f"  {line}\n" for line in ITEM.splitlines())
            + "level: 3\n",
        ),
    ],
    ids=["dashes at the margin", "deeper dashes"],
)
@pytest.mark.parametrize("ends", ["\n", "\r\n"], ids=["unix", "windows"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "byte order mark"])
def test_the_rest_of_the_file_stays_byte_for_byte(
    tmp_path: Path, before: str, after: str, ends: str, mark: bytes
) -> None:
    """The item comes last in its list, indented as the others and with the line ends of the file."""
    wanted = mark + (HEAD + after + BODY).replace("\n", ends).encode()
    given = mark + (HEAD + before + BODY).replace("\n", ends).encode()
    assert _apply(tmp_path, given, "climb", "harbour", "A 1-2") == 0
    assert _entry(tmp_path) == wanted


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("climp", "harbour", "1-2"),
            "expected a device of the glossary, found `climp`; did you mean `climb`?",
        ),
        (
            ("climb", "harbour", "1-2", "--key", "F minor"),
            "expected a key in major, as that of Harbour, found F minor",
        ),
        (
            ("climb", "harbour", "1-2", "--key", "H"),
            (
                "expected a key such as 'D', 'B minor' or 'D dorian', found 'H'; the note H is called B "
                "here: write 'B'"
            ),
        ),
        (
            ("climb", "the peer", "1-2"),
            "expected a song of the glossary, found `the peer`; did you mean `The Pier`?",
        ),
        (
            ("climb", "elsewhere", "1-2"),
            "expected a song of the glossary, found `elsewhere`; they are harbour",
        ),
        (
            ("climb", "harbour", "C 1-2"),
            "Harbour does not have the bars C 1–2; it has the bars 1 to 12, or A 1-4, B 1-4",
        ),
        (
            ("climb", "harbour", "A 4-5"),
            "Harbour does not have the bars A 4–5; it has the bars 1 to 12, or A 1-4, B 1-4",
        ),
        (
            ("climb", "harbour", "12-13"),
            "Harbour does not have the bars 12–13; it has the bars 1 to 12, or A 1-4, B 1-4",
        ),
        (
            ("climb", "harbour", "B 1-2", "--time", "2"),
            "the bars B 1–2 come once in Harbour, found no time 2",
        ),
        (
            ("climb", "harbour", "five"),
            "expected bars such as 5-6, or B 3-4 for those of a section, found `five`",
        ),
    ],
)
def test_what_is_not_there_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    """Names and bars that the glossary does not have are answered with those that it has."""
    assert _apply(tmp_path, (HEAD + BODY).encode(), *words) == 2
    assert capsys.readouterr().err == f"{said}\n"
    assert _entry(tmp_path).decode() == HEAD + BODY


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            "applied_in: [{song: harbour, bars: 1-2}]\n",
            (
                "devices/climb.md: `applied_in` is written on one line, where nothing can be added; "
                "write it below `applied_in:`, each item on lines of its own behind a dash"
            ),
        ),
        ("level: nine\n", "devices/climb.md has errors; mend them first, transposary check names them"),
        (
            '"applied_in":\n  - song: harbour\n    bars: 1-2\n',
            "devices/climb.md would not be the same device with this version, and is left as it is; "
            "add it by hand:\napplied_in:\n" + ITEM.rstrip(),
        ),
    ],
    ids=["on one line", "broken before", "a quoted name"],
)
def test_a_file_is_never_broken(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], more: str, said: str
) -> None:
    """Where the version cannot be added safely, the file stays as it is."""
    assert _apply(tmp_path, (HEAD + more + BODY).encode(), "climb", "harbour", "A 1-2") == 2
    assert capsys.readouterr().err == f"{said}\n"
    assert _entry(tmp_path).decode() == HEAD + more + BODY


def test_clashes_and_changes_are_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Over other chords the player learns what the chart has and which notes clash."""
    assert _apply(tmp_path, (HEAD + BODY).encode(), "climb", "harbour", "A 3-4") == 0
    assert capsys.readouterr().out.splitlines()[1:-2] == [
        "To change: the chart has A7 D, the device stands on I7 IV7.",
        "D clashes with A7 on beat 1.",
        "G clashes with D on beat 1.",
    ]


def test_what_stands_there_already_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A second version at the same bars is written, and the first one shown."""
    known = "applied_in:\n  - song: harbour\n    bars: A 1-2\n"
    assert _apply(tmp_path, (HEAD + known + BODY).encode(), "climb", "harbour", "A 1-2") == 0
    assert capsys.readouterr().out.splitlines()[:2] == [
        "devices/climb.md: Climb now stands in Harbour, bars 1–2.",
        "It stood there already, devices/climb.md:12:5: take out what you do not play.",
    ]
    assert _entry(tmp_path).decode() == HEAD + known + ITEM + BODY


def test_a_file_that_cannot_be_written_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What the system refuses is said in a line, and the entry stays as it is."""
    (tmp_path / "devices/.climb.md.new").mkdir(parents=True)
    assert _apply(tmp_path, (HEAD + BODY).encode(), "climb", "harbour", "A 1-2") == 2
    assert capsys.readouterr().err == "devices/climb.md cannot be written: Is a directory\n"
    assert _entry(tmp_path).decode() == HEAD + BODY


def test_a_file_that_its_author_closed_is_not_replaced(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A read-only entry stays, though its folder would let another file take its place."""
    _write(tmp_path, (HEAD + BODY).encode())
    (tmp_path / "devices/climb.md").chmod(0o444)
    assert _applied(tmp_path, "climb", "harbour", "A 1-2") == 2
    assert capsys.readouterr().err == "devices/climb.md cannot be written: the file is read-only\n"
    assert _entry(tmp_path).decode() == HEAD + BODY


def test_a_day_is_a_date(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A day that no calendar has is answered with how one is written."""
    with pytest.raises(SystemExit):
        main(["apply", "climb", "harbour", "A 1-2", "--date", "2026-02-30", "--folder", str(tmp_path)])
    said = capsys.readouterr().err.splitlines()[-1]
    assert said.endswith("argument --date: expected a day such as 2026-03-14, found `2026-02-30`")
