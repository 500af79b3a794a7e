"""The command `capture`, from a take to an entry that passes the check."""

from pathlib import Path

import pytest

from tests.outside.played import Known, demo_pieces, play
from transposary.cli import main

MKDOCS = "site_name: Small\ndocs_dir: entries\nplugins:\n  - transposary\n"
TUNE = 'M: 4/4\nL: 1/4\nK: F\n"F" F A c A | "C7" B G E C | "F" F4 |\n'


def _glossary(folder: Path) -> Path:
    (folder / "entries" / "devices").mkdir(parents=True)
    (folder / "mkdocs.yml").write_text(MKDOCS, encoding="utf-8")
    return folder


def _take(folder: Path, name: str) -> Path:
    piece = next(one for one in demo_pieces() if one.name == name)
    path = folder / f"{name}.mid"
    path.write_bytes(play(piece, 0.01, Known.CLICK))
    return path


def test_a_take_becomes_an_entry_that_passes_the_check(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What was played stands in a new entry, whose claims hold; the command says it in words."""
    root = _glossary(tmp_path)
    assert main(["capture", str(_take(tmp_path, "gospel-eight")), "--folder", str(root)]) == 0
    said = capsys.readouterr().out
    assert said.startswith("D♭ major, 4/4 time.\nBar 1. Chords D♭ on beat 1, D♭7/F on beat 3. ")
    assert "Key: D♭ major (sure); if not, " in said
    assert "Tempo: 66 beats a minute, straight.\n" in said
    text = (root / "entries/devices/gospel-eight.md").read_text(encoding="utf-8")
    assert '  harmony: "I I7/3 | IV #ivo7 | I/5 VI7 | ii7 V7 | I"\n' in text
    assert '    LH: "1 3 | 4 #4 | 5 6 | 2 5 | 1"\n' in text
    assert main(["check", str(root)]) == 0


def test_nothing_is_overwritten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A second take of one title is refused, and the entry stays as it is."""
    root = _glossary(tmp_path)
    path = root / "entries/devices/two-feel.md"
    path.write_text("mine", encoding="utf-8")
    assert main(["capture", str(_take(tmp_path, "two-feel")), "--folder", str(root)]) == 2
    assert capsys.readouterr().err == f"{path} exists already, and is left as it is; give another --title\n"
    assert path.read_text(encoding="utf-8") == "mine"


def test_notation_is_captured_too_and_bars_cut_out_of_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of written notes, the bars wanted stand in the entry as they were, counted from 1."""
    root = _glossary(tmp_path)
    path = tmp_path / "tune.abc"
    path.write_text(TUNE, encoding="utf-8")
    words = ["capture", str(path), "--bars", "2-3", "--title", "Two bars", "--role", "ending"]
    assert main([*words, "--folder", str(root)]) == 0
    assert capsys.readouterr().out.startswith("F major, 4/4 time.\nBar 1. Chord C7. ")
    text = (root / "entries/devices/two-bars.md").read_text(encoding="utf-8")
    assert "role: ending\n" in text
    assert '  "C7"B G E C | "F"F4 |' in text
    assert main(["check", str(root)]) == 0


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            ["--key", "H"],
            "--key:1:1: capture: expected a key such as 'D', 'B minor' or 'D dorian', found 'H'",
        ),
        (["--tempo", "2000"], "--tempo:1:1: capture: expected 20 to 400 beats a minute, found 2000"),
        (
            ["--bars", "B 3-4"],
            "--bars:1:1: capture: a take has no sections, found `B 3-4`; write bars as 5-6",
        ),
        (
            ["--pickup", "x"],
            "--pickup:1:1: capture: expected less than 12 beats, such as 1, 1/2 or 0, found `x`",
        ),
        (["--bars", "90"], "nothing is struck in bar 90; the notes lie in bars 2 to 5"),
        (["--song", "Nobody's"], 'the glossary has no song "Nobody\'s"'),
    ],
)
def test_what_cannot_be_followed_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: list[str], message: str
) -> None:
    """A wish that makes no sense ends the command with what was expected."""
    root = _glossary(tmp_path)
    take = str(_take(tmp_path, "two-feel"))
    assert main(["capture", take, "--folder", str(root), *words]) == 2
    assert message in capsys.readouterr().err
    assert not list((root / "entries/devices").iterdir())


def test_the_player_knows_the_pickup_better_than_the_click(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`--pickup` draws the barlines of a take to a click, too; the tempo of the click leaves its bars."""
    root = _glossary(tmp_path)
    take = str(_take(tmp_path, "two-feel"))
    assert main(["capture", take, "--folder", str(root), "--tempo", "138", "--title", "Told"]) == 0
    assert main(["capture", take, "--folder", str(root), "--pickup", "1", "--title", "Later"]) == 0
    said = capsys.readouterr().out
    assert "Where the bars begin was found by ear" not in said
    told, later = ((root / f"entries/devices/{one}.md").read_text("utf-8") for one in ("told", "later"))
    assert '  rhythm: "1 3 | 1 3 | 1 3 | 1 3 4"\n' in told
    assert '  rhythm: "4 | 2 4 | 2 4 | 2 4 | 2 3"\n' in later


def test_chords_that_are_guessed_make_no_cadence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Of a bare bass line no cadence is proposed, and how sure the key is stands in words."""
    root = _glossary(tmp_path)
    assert main(["capture", str(_take(tmp_path, "walk-up-to-the-four")), "--folder", str(root)]) == 0
    said = capsys.readouterr().out
    text = (root / "entries/devices/walk-up-to-the-four.md").read_text(encoding="utf-8")
    assert "cadence" not in text
    assert "Tempo: 88 beats a minute, straight.\n" in said


def test_wishes_that_notation_cannot_follow_are_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Written notes keep their key, meter and barlines, and the command says so; a tempo is written."""
    root = _glossary(tmp_path)
    path = tmp_path / "tune.abc"
    path.write_text(TUNE, encoding="utf-8")
    wishes = ["--key", "G", "--meter", "3/4", "--pickup", "1", "--tempo", "92"]
    assert main(["capture", str(path), *wishes, "--folder", str(root)]) == 0
    assert capsys.readouterr().out.endswith(
        "Tempo: 92 beats a minute, straight.\n"
        "Not sure:\n"
        "- The notation is in F major, and --key did not move it.\n"
        "- The notation is in 4/4, and --meter did not change it.\n"
        "- The notation has its own barlines, and --pickup did not move them.\n"
        f"{root / 'entries/devices/tune.md'} is written: look it over, then run  transposary check\n"
    )
    assert "tempo: 92\n" in (root / "entries/devices/tune.md").read_text(encoding="utf-8")
