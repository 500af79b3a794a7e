"""`transposary check` in its other forms, and what stands around it while an author writes."""

from __future__ import annotations

import json
import re
from pathlib import Path
from urllib.parse import unquote

import pytest
import yaml

import transposary.cli.check
from transposary.cli import main
from transposary.glossary import Kind
from transposary.problems import Place, Problem, report, report_for_github
from transposary.reading.editors import editor_files
from transposary.watching import changes

ROOT = Path(__file__).parent.parent.parent
SONG = '---\ntitle: "Low Tide"\nkey: C\nmeter: 4/4\nchart:\n  A: "| C |"\nform: [A, B]\n---\n'
TOLD = "songs/low-tide.md:7:11: song.form: expected a section of the chart, found `B`; the chart has A"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of a glossary with one song, whose form is wrong; the command runs in it."""
    (tmp_path / "mkdocs.yml").write_text("docs_dir: book\n", encoding="utf-8")
    (tmp_path / "book/songs").mkdir(parents=True)
    (tmp_path / "book/songs/low-tide.md").write_text(SONG, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_annotations_name_files_from_the_top_of_the_repository(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A pull request shows each problem beside its line: the file's name is that of the repository."""
    assert home.is_dir()
    assert main(["check", "--format", "github"]) == 1
    assert capsys.readouterr().out == (
        "::error file=book/songs/low-tide.md,line=7,col=11,title=song.form"
        "::expected a section of the chart, found `B`; the chart has A\n"
    )


def test_annotations_are_escaped() -> None:
    """What would end a property or a line is written in percents, as the runner's documentation asks.

    Source: GitHub documentation, "Workflow commands for GitHub Actions", and `command.ts` of the
    toolkit it names, which escapes %, CR and LF in data, and `:` and `,` in properties as well.
    """
    odd = Problem.remark(Place("songs/a,b:c.md", 2, 3), "song.form", "100 % wrong\nand: more, too")
    assert report_for_github([odd], ".") == (
        "::notice file=songs/a%2Cb%3Ac.md,line=2,col=3,title=song.form::100 %25 wrong%0Aand: more, too"
    )
    assert unquote(report_for_github([odd], ".").split("::")[2]) == odd.text


def test_a_watch_sees_files_change_come_and_go(tmp_path: Path) -> None:
    """It looks at once, and again only when something is different."""
    page, other = tmp_path / "songs/a.md", tmp_path / "songs/b.md"
    page.parent.mkdir()
    page.write_text("one", encoding="utf-8")
    done: list[str] = []

    def pause() -> None:
        match len(done):
            case 1:
                done.append("nothing")
            case 2:
                page.write_text("longer", encoding="utf-8")
                done.append("changed")
            case 4:
                other.write_text("new", encoding="utf-8")
                done.append("came")
            case 6:
                other.unlink()
                done.append("went")

    for _ in changes(lambda: (tmp_path,), pause):
        done.append("seen")
        if len(done) > 7:
            break
    assert done == ["seen", "nothing", "changed", "seen", "came", "seen", "went", "seen"]


def test_watching_checks_until_the_author_ends_it(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every change is checked, and the exit status is that of the last check."""
    song = home / "book/songs/low-tide.md"

    def pause(_: float) -> None:
        if "[A]" in song.read_text(encoding="utf-8"):
            raise KeyboardInterrupt
        song.write_text(SONG.replace("[A, B]", "[A]"), encoding="utf-8")

    monkeypatch.setattr(transposary.cli.check.time, "sleep", pause)
    assert main(["check", "--watch"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "checking .",
        TOLD,
        "1 error, 0 remarks",
        "checking .",
        "0 errors, 0 remarks",
    ]


def test_editor_settings_are_written_once_and_kept_current(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Schemas and snippets follow the program; settings that the author has changed stay as they are."""
    assert main(["editor"]) == 0
    capsys.readouterr()
    assert main(["editor", "--check"]) == 0
    schema, settings = home / ".schemas/song.schema.json", home / ".vscode/settings.json"
    schema.write_text("{}", encoding="utf-8")
    settings.write_text("{}", encoding="utf-8")
    assert main(["editor", "--check"]) == 1
    assert main(["editor"]) == 0
    assert settings.read_text(encoding="utf-8") == "{}"
    assert capsys.readouterr().out.splitlines()[:4] == [
        "all is current",
        ".schemas/song.schema.json is not current; run  transposary editor",
        ".schemas/song.schema.json is written",
        ".vscode/settings.json is yours and left as it is; it lacks:",
    ]


@pytest.mark.parametrize("name", sorted(editor_files("entries")))
def test_the_files_for_editors_of_this_repository_are_current(name: str) -> None:
    """What is in the repository is what `transposary editor` writes; run it where this fails."""
    assert (ROOT / name).read_text(encoding="utf-8") == editor_files("entries")[name]


def test_an_editor_finds_every_problem_in_the_report() -> None:
    """The lines of `check` are matched by the pattern of their severity and by no other."""
    place = Place("devices/a.md", 14, 12)
    problems = (
        Problem(place, "theory.degrees", "b3 is written: the notes have 3", "write 3"),
        Problem.remark(place, "playability.low-interval", "a low third"),
    )
    tasks = json.loads(editor_files("entries")[".vscode/tasks.json"])
    matchers = tasks["tasks"][0]["problemMatcher"]
    lines = report(problems).splitlines()
    found = [[bool(re.match(one["pattern"]["regexp"], line)) for one in matchers] for line in lines]
    assert found == [[False, True], [True, False], [False, False]]
    first = re.match(matchers[0]["pattern"]["regexp"], lines[1])
    assert first is not None
    assert first.groups() == (
        "devices/a.md",
        "14",
        "12",
        "theory.degrees",
        "b3 is written: the notes have 3; write 3",
    )
    assert [bool(re.match(matchers[0]["background"]["endsPattern"], line)) for line in lines] == [
        False,
        False,
        True,
    ]


def test_the_hook_runs_where_entries_change() -> None:
    """The pre-commit hook runs the command, for files of entries and for the options alone."""
    (hook,) = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
    program, *words = hook["entry"].split()
    assert (program, hook["pass_filenames"]) == ("transposary", False)
    assert main([*words, str(ROOT)]) == 0
    names = ["mkdocs.yml", *(f"entries/{kind.value}/a.md" for kind in Kind), "README.md", "plugin/a.py"]
    assert [bool(re.search(hook["files"], name)) for name in names] == [True] * 5 + [False] * 2
