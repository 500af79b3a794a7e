"""A folder whose content is replaced whole, or left as it was."""

from __future__ import annotations

import errno
import json
import os
import re
from collections.abc import Mapping
from pathlib import Path

import pytest

from transposary.replacing import HalfwayError, Replacement, replace_content

OLD = {"index.html": "old", "devices/a.html": "old a", "gone.html": "old", "old/b.html": "old b"}
NEW = {"index.html": "new", "devices/c.html": "new c", "songs/d.html": "new d", "zebra.html": "new"}
HIDDEN = {".gitignore": "*\n", ".well-known/x": "kept"}
MOVES = 4 + 2 + 2  # four new entries, two of them in the place of an old one, and two old ones that go


def _write(folder: Path, content: Mapping[str, str]) -> None:
    for name, text in content.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")


def _read(folder: Path) -> dict[str, str]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8") for path in files}


def _nobody() -> None:
    pytest.fail("somebody else writes there")


def _begun(folder: Path) -> Replacement:
    replacement = replace_content(folder, _nobody)
    _write(replacement.fresh, NEW)
    return replacement


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """An old site with hidden files."""
    _write(tmp_path / "site", OLD | HIDDEN)
    return tmp_path / "site"


def test_the_old_content_stays_until_the_new_is_finished(site: Path) -> None:
    """What is written meanwhile is hidden, and then takes the place of all that is not."""
    before = site.stat().st_ino
    replacement = _begun(site)
    work = replacement.fresh.parent
    seen = {name: text for name, text in _read(site).items() if not name.startswith(work.name)}
    assert seen == OLD | HIDDEN
    assert (work / ".gitignore").read_text(encoding="utf-8") == "*\n"
    replacement.finish()
    assert _read(site) == NEW | HIDDEN
    assert site.stat().st_ino == before


def test_what_is_dropped_leaves_nothing(site: Path) -> None:
    """A build that failed leaves the old content and no file of its own."""
    _begun(site).drop()
    assert _read(site) == OLD | HIDDEN
    assert {path.name for path in site.iterdir()} == {name.split("/")[0] for name in OLD | HIDDEN}


def test_a_folder_that_is_not_there_is_made(tmp_path: Path) -> None:
    """The first build makes its folder, and those above."""
    _begun(tmp_path / "a" / "site").finish()
    assert _read(tmp_path / "a" / "site") == NEW


def test_a_symbolic_link_stays_one(site: Path) -> None:
    """Where the site's folder is a link, the content behind it is replaced."""
    link = site.with_name("public")
    link.symlink_to(site)
    _begun(link).finish()
    assert link.is_symlink()
    assert _read(site) == NEW | HIDDEN


def test_hidden_files_are_replaced_by_new_ones(site: Path) -> None:
    """A hidden file of the new content takes the place of one of its name."""
    replacement = _begun(site)
    _write(replacement.fresh, {".gitignore": "new\n"})
    replacement.finish()
    assert _read(site) == NEW | HIDDEN | {".gitignore": "new\n"}


class _StoppedError(Exception):
    """Stands for the end of the process."""


def _stop_at(monkeypatch: pytest.MonkeyPatch, number: int, error: Exception, *, once: bool) -> None:
    """Lets a rename of an entry fail: of all that are to come, or one."""
    rename = Path.rename
    done = 0

    def counted(path: Path, target: Path) -> Path:
        nonlocal done
        done += 1
        if done == number or (done > number and not once):
            raise error
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", counted)


@pytest.mark.parametrize("number", range(1, MOVES + 1))
def test_an_exchange_that_was_stopped_is_finished_by_the_next_build(
    site: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    """Wherever the process ended, whoever writes next has the new content whole."""
    replacement = _begun(site)
    with monkeypatch.context() as patch:
        _stop_at(patch, number, _StoppedError(), once=False)
        # A killed process clears nothing up.
        patch.setattr(Replacement, "drop", lambda _: None)
        with pytest.raises(_StoppedError):
            replacement.finish()
    # Its end lets the lock go.
    assert replacement._lock is not None
    os.close(replacement._lock)
    replace_content(site, _nobody).drop()
    assert _read(site) == NEW | HIDDEN


@pytest.mark.parametrize("number", range(1, MOVES + 1))
def test_an_exchange_that_is_refused_is_undone(
    site: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    """Where an entry cannot be moved, all that were moved come back, and the error is told."""
    replacement = _begun(site)
    with monkeypatch.context() as patch:
        _stop_at(patch, number, OSError(errno.EBUSY, "it is in use"), once=True)
        with pytest.raises(OSError, match="it is in use"):
            replacement.finish()
    assert _read(site) == OLD | HIDDEN


@pytest.mark.parametrize("number", range(2, MOVES + 1))
def test_an_exchange_that_can_be_neither_ended_nor_undone_loses_nothing(
    site: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    """Where entries cannot be moved back either, old and new ones stay, and the next build ends it."""
    replacement = _begun(site)
    with monkeypatch.context() as patch:
        _stop_at(patch, number, OSError(errno.EIO, "the disk is gone"), once=False)
        with pytest.raises(HalfwayError, match="the disk is gone"):
            replacement.finish()
    assert set((OLD | NEW).values()) <= set(_read(site).values())
    replace_content(site, _nobody).drop()
    assert _read(site) == NEW | HIDDEN


def test_what_a_stranger_left_reaches_nothing_outside(site: Path, tmp_path: Path) -> None:
    """Names that are no names of entries move nothing, and links are not followed."""
    _write(tmp_path, {"outside/secret": "mine"})
    left = site / ".transposary-build-x"
    _write(left, {"whole.json": json.dumps(["../outside"]), "fresh/a": "bad", "old/b": "bad"})
    (site / ".transposary-build-y").symlink_to(tmp_path / "outside")
    replace_content(site, _nobody).drop()
    assert _read(tmp_path / "outside") == {"secret": "mine"}
    assert not left.exists()
    assert _read(site) == OLD | HIDDEN


def test_a_folder_taken_away_meanwhile_is_told(site: Path) -> None:
    """Whoever removes the folder during a build is not given half a site."""
    replacement = _begun(site)
    site.rename(site.with_name("away"))
    site.mkdir()
    with pytest.raises(OSError, match="it was taken away meanwhile"):
        replacement.finish()
    assert _read(site) == {}


def test_a_file_in_place_of_the_folder_is_told(tmp_path: Path) -> None:
    """Where the folder is a file, the system's own error says so."""
    _write(tmp_path, {"site": "a file"})
    with pytest.raises(FileExistsError, match=re.escape(str(tmp_path / "site"))):
        replace_content(tmp_path / "site", _nobody)
