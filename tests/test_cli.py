"""The command `transposary`."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings

from tests.strategies import sketch_options
from transposary.cli import main

WALK = ("--key", "G", "--degrees", "1 2 3 | 4", "--rhythm", "1 3 4 | 1", "--chords", "G7 | C7")


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A folder with mkdocs.yml and no entries yet."""
    (tmp_path / "mkdocs.yml").write_text("docs_dir: entries\n", encoding="utf-8")
    (tmp_path / "entries").mkdir()
    return tmp_path


def run(home: Path, *words: str) -> int:
    """Runs `transposary new` for a folder."""
    return main(["new", *words, "--folder", str(home)])


def test_the_first_entry_makes_the_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The folder that mkdocs.yml names need not be there yet."""
    (tmp_path / "mkdocs.yml").write_text("docs_dir: entries\n", encoding="utf-8")
    assert run(tmp_path, "device", "Walk", *WALK) == 0
    path = tmp_path / "entries" / "devices" / "walk.md"
    assert path.is_file()
    assert capsys.readouterr().out == f"{path} is written: fill it in, then run  transposary check\n"


def test_new_entries_of_every_kind_pass_check(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What `new` writes has no errors, and check reminds of what is left to write."""
    assert run(home, "device", "Walking: up #1", *WALK) == 0
    assert run(home, "song", "Low Tide") == 0
    assert run(home, "concept", 'The "walk-up"') == 0
    assert run(home, "collection", "Monday") == 0
    capsys.readouterr()
    assert main(["check", str(home)]) == 0
    begun = "is still the one that a new {} begins with"
    write = "write your own words below the second line `---`"
    assert capsys.readouterr().out.splitlines() == [
        *(
            f"{kind}s/{name}.md:1:1: remark: entry.unwritten: the {what} {begun.format(kind)}; {hint}"
            for kind, name, what, hint in (
                ("collection", "monday", "prose", write),
                ("concept", "the-walk-up", "prose", write),
                ("device", "walking-up-1", "prose", write),
                ("device", "walking-up-1", "summary", "say in a sentence what it is"),
                ("song", "low-tide", "prose", write),
            )
        ),
        "0 errors, 5 remarks",
    ]
    written = sorted(path.relative_to(home / "entries").as_posix() for path in home.rglob("*.md"))
    assert written == [
        "collections/monday.md",
        "concepts/the-walk-up.md",
        "devices/walking-up-1.md",
        "songs/low-tide.md",
    ]


def test_a_new_device_is_written_out(home: Path) -> None:
    """The notes are those that were counted, and each claim stands in quotation marks."""
    run(home, "device", "Walking up", *WALK)
    text = (home / "entries/devices/walking-up.md").read_text(encoding="utf-8")
    assert text.startswith('---\ntitle: "Walking up"\nsummary: "Walking up, in one sentence."\nrole: bass\n')
    assert text[text.index("notation") : text.index("# heard_in")] == (
        "notation: |\n"
        "  M: 4/4\n"
        "  L: 1/4\n"
        "  K: G clef=bass\n"
        '  "G7"G,,2 A,, B,, | "C7"C,4 |]\n'
        "theory:\n"
        '  degrees: "1 2 3 | 4"\n'
        '  harmony: "I7 | IV7"\n'
        '  rhythm: "1 3 4 | 1"\n'
    )


@settings(max_examples=60, deadline=None)
@given(sketch_options())
def test_whatever_is_sketched_passes_check(options: dict[str, str]) -> None:
    """A draft of any degrees, rhythm, chords, key and meter is proved by its own claims."""
    with TemporaryDirectory() as folder:
        home = Path(folder)
        (home / "devices").mkdir()
        words = [word for name, value in options.items() for word in (f"--{name}", value)]
        assert run(home, "device", "Draft", *words) == 0
        assert main(["check", folder]) == 0


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [
        (
            "--degrees",
            "1 2 | 4",
            (
                "--degrees:1:1: new.device: bar 1 has 2 degrees for 3 places of the rhythm; "
                "notes struck together are written (1 3 5)"
            ),
        ),
        (
            "--degrees",
            "1 2 3",
            (
                "--chords:1:1: new.device: the degrees have 1 bar, the chords have 2; "
                "part the bars of both by `|`\n"
                "--rhythm:1:1: new.device: the degrees have 1 bar, the rhythm has 2; "
                "part the bars of both by `|`"
            ),
        ),
        (
            "--degrees",
            "1 9 {3} | 4",
            "--degrees:1:3: new.device: expected a degree from 1 to 7, found `9`; write 2",
        ),
        (
            "--degrees",
            "1 {2} 3 | 4",
            (
                "--degrees:1:4: new.device: expected degrees, found a grace note; "
                "write grace notes into the notation afterwards"
            ),
        ),
        (
            "--degrees",
            "| 1 2 x | 4 |",
            "--degrees:1:7: new.device: expected a degree such as 1, b3 or #4, found `x`",
        ),
        (
            "--degrees",
            "1 (2 | 4",
            (
                "--degrees:1:3: new.device: '(' is never closed in its bar; "
                "write (1 3 5) for notes together, {b3} for a grace note"
            ),
        ),
        ("--rhythm", "1 3 5 | 1", "--rhythm:1:5: new.device: a bar of 4/4 has 4 beats, found `5`"),
        (
            "--rhythm",
            "1 4 3 | 1",
            "--rhythm:1:5: new.device: expected a place behind 4, found `3`; part the bars by `|`",
        ),
        (
            "--rhythm",
            "1 1trip 1& | 1",
            (
                "--rhythm:1:9: new.device: a draft cannot divide the beat at `1&`; "
                "leave it out, and add it to the notation afterwards"
            ),
        ),
        (
            "--chords",
            "G7 | Cmaj77",
            (
                "--chords:1:11: song.chart: 'Cmaj77' is no chord symbol: cannot read '7'; "
                "did you mean 'Cmaj7' or 'Cmaj'?"
            ),
        ),
        (
            "--key",
            "g",
            (
                "--key:1:1: new.device: expected a key such as 'D', 'B minor' or 'D dorian', found 'g'; "
                "write the tonic as a capital: 'G'"
            ),
        ),
        ("--meter", "4-4", "--meter:1:1: new.device: expected a meter such as 4/4 or 12/8, found `4-4`"),
    ],
)
def test_a_sketch_that_contradicts_itself_is_explained(
    home: Path, capsys: pytest.CaptureFixture[str], option: str, value: str, said: str
) -> None:
    """Counts that disagree, and words that cannot be read, are pointed at in their option."""
    assert run(home, "device", "Walking up", *WALK, option, value) == 2
    assert capsys.readouterr().err.splitlines()[:-1] == said.splitlines()
    assert list(home.rglob("*.md")) == []


def test_without_rhythm_notes_fall_evenly(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Notes share a bar evenly; where they cannot, the author is asked for the rhythm."""
    assert run(home, "device", "Even", "--degrees", "1 2 3 4 | 5 1", "--chords", "C | G") == 0
    text = (home / "entries/devices/even.md").read_text(encoding="utf-8")
    assert '"C"C, D, E, F, | "G"G,2 C2 |]' in text
    capsys.readouterr()
    assert run(home, "device", "Odd", "--degrees", "1 2 3 4 5", "--chords", "C") == 2
    assert capsys.readouterr().err == (
        "--degrees:1:1: new.device: 5 notes do not fall evenly on the 4 beats of bar 1; "
        'say where they fall, such as --rhythm "1 3 4"\n1 error, 0 remarks\n'
    )


@pytest.mark.parametrize("title", ["Low Tide", "low-tide", "LÖW TIDE", "Ebb"])
def test_an_entry_is_never_overwritten(home: Path, capsys: pytest.CaptureFixture[str], title: str) -> None:
    """A title that names an entry already, by title, slug or alias, is refused."""
    song = home / "entries/songs/low-tide.md"
    song.parent.mkdir()
    song.write_text(
        '---\ntitle: Low Tide\naliases: [Ebb]\nkey: C\nmeter: 4/4\nchart:\n  A: "| C |"\n---\n',
        encoding="utf-8",
    )
    before = song.read_bytes()
    assert run(home, "song", title) == 2
    assert capsys.readouterr().err == "there is a song of that name already: songs/low-tide.md\n"
    assert song.read_bytes() == before


def test_what_cannot_be_named_or_filled_is_refused(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A title needs letters for its file, and a collection something to list."""
    assert run(home, "concept", "間") == 2
    assert run(home, "collection", "Monday") == 2
    assert capsys.readouterr().err.splitlines() == [
        "a title has letters a to z or digits, found '間'",
        "a collection lists songs and devices: write one of them first",
    ]


def test_check_fails_on_errors_and_prints_for_programs(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Errors give the exit status 1, and JSON has what the text has."""
    run(home, "song", "Low Tide")
    song = home / "entries/songs/low-tide.md"
    song.write_text(song.read_text(encoding="utf-8").replace("form: [A]", "form: [B]"), encoding="utf-8")
    capsys.readouterr()
    assert main(["check", str(home), "--format", "json"]) == 1
    first, second = json.loads(capsys.readouterr().out)
    assert (first["severity"], second["severity"]) == ("remark", "error")
    assert second == {
        "file": "songs/low-tide.md",
        "line": 10,
        "column": 8,
        "rule": "song.form",
        "severity": "error",
        "text": "expected a section of the chart, found `B`",
        "hint": "the chart has A",
    }


def test_a_folder_without_a_glossary_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where there is nothing to check, the command says so."""
    assert main(["check", str(tmp_path)]) == 2
    assert capsys.readouterr().err == f"neither mkdocs.yml nor a folder of entries is in {tmp_path}\n"


def test_a_reader_that_has_enough_ends_the_command() -> None:
    """Behind a closed pipe the command ends in silence, as behind `head`."""
    reader, writer = os.pipe()
    os.close(reader)
    code = "from transposary.cli import main; raise SystemExit(main(['schema', 'device']))"
    with os.fdopen(writer, "wb") as pipe:
        done = subprocess.run((sys.executable, "-c", code), stdout=pipe, stderr=subprocess.PIPE, check=False)
    assert (done.returncode, done.stderr) == (1, b"")
