"""What builds keep on disk for each other."""

import os
import shutil
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from transposary.cache import Cache, Limits, Packs, code_of, key_of
from transposary.cli import main

KEY = key_of("one")


@pytest.fixture
def cache(tmp_path: Path) -> Cache:
    """An empty cache in a folder that does not exist yet."""
    return Cache(tmp_path / ".cache" / "transposary")


def _files(cache: Cache) -> list[Path]:
    assert cache.folder is not None
    return sorted(path for path in cache.folder.glob("*/*") if path.is_file())


def test_what_is_kept_is_found_again(cache: Cache) -> None:
    """A result is found under its key and no other, and version control does not see it."""
    assert cache.get(KEY) is None
    cache.put(KEY, b"result")
    assert Cache(cache.folder).get(KEY) == b"result"
    assert cache.get(key_of("two")) is None
    assert cache.folder is not None
    assert (cache.folder / ".gitignore").read_text(encoding="utf-8") == "*\n"


def test_a_cache_without_a_folder_keeps_nothing() -> None:
    """Where the cache is switched off, nothing is written or found."""
    Cache().put(KEY, b"result")
    assert Cache().get(KEY) is None
    assert Cache().clear() == 0


def test_keys_depend_on_where_parts_end() -> None:
    """Parts that read the same when joined have different keys."""
    assert len({key_of("ab", "c"), key_of("a", "bc"), key_of("abc"), key_of("abc", "")}) == 4


def test_code_and_libraries_are_told_apart() -> None:
    """Other modules and other libraries give another digest."""
    assert len({code_of("pitch.py"), code_of("passage.py"), code_of("pitch.py", libraries=("verovio",))}) == 3


@pytest.mark.parametrize("put", [os.mkfifo, lambda path: path.symlink_to("/dev/zero"), Path.mkdir])
def test_what_is_no_file_counts_as_missing(cache: Cache, put: Callable[[Path], object]) -> None:
    """A pipe, a link to what never ends or a folder in the place of a result is not opened."""
    cache.put(KEY, b"result")
    (path,) = _files(cache)
    path.unlink()
    put(path)
    assert cache.get(KEY) is None


@pytest.mark.parametrize("damage", [b"", b"short", b"not a file of the cache at all"])
def test_a_corrupt_file_counts_as_missing(cache: Cache, damage: bytes) -> None:
    """A file that was cut off or is somebody else's is ignored and written again."""
    cache.put(KEY, b"result")
    (path,) = _files(cache)
    path.write_bytes(damage)
    assert cache.get(KEY) is None
    cache.put(KEY, b"result")
    assert cache.get(KEY) == b"result"


def test_files_that_were_exchanged_count_as_missing(cache: Cache) -> None:
    """A result stands under its own key only."""
    other = key_of("two")
    cache.put(KEY, b"one")
    cache.put(other, b"two")
    assert cache.folder is not None
    (cache.folder / KEY[:2] / KEY).replace(cache.folder / other[:2] / other)
    assert cache.get(other) is None


def test_a_cache_that_cannot_be_written_stays_empty(tmp_path: Path) -> None:
    """Where no folder can be made the build goes on without."""
    (tmp_path / ".cache").write_text("in the way", encoding="utf-8")
    cache = Cache(tmp_path / ".cache" / "transposary")
    cache.put(KEY, b"result")
    assert cache.get(KEY) is None
    cache.prune(Limits())


def test_a_link_is_not_followed(tmp_path: Path) -> None:
    """A cache that leads elsewhere is not written to, and nothing is taken out there."""
    elsewhere = Cache(tmp_path / "elsewhere")
    elsewhere.put(KEY, b"result")
    (tmp_path / "cache").symlink_to(tmp_path / "elsewhere")
    cache = Cache(tmp_path / "cache")
    cache.put(key_of("two"), b"result")
    cache.prune(Limits(days=-1))
    assert cache.clear() == 0
    assert [path.name for path in _files(elsewhere)] == [KEY]


def test_what_is_old_goes_first(cache: Cache) -> None:
    """Pruning takes out what no build has used for long, and the oldest where there is too much."""
    keys = [key_of(str(number)) for number in range(4)]
    now = time.time()
    for age, key in enumerate(keys):
        cache.put(key, bytes(400_000))
        assert cache.folder is not None
        os.utime(cache.folder / key[:2] / key, (now, now - age * 86400 * 10))
    cache.prune(Limits(days=25))
    assert {path.name for path in _files(cache)} == {*keys[:3]}
    cache.prune(Limits(megabytes=1))
    assert {path.name for path in _files(cache)} == {*keys[:2]}


def test_use_keeps_young(cache: Cache) -> None:
    """What a build has found counts as used now."""
    cache.put(KEY, b"result")
    (path,) = _files(cache)
    os.utime(path, (0, 0))
    assert cache.get(KEY) == b"result"
    cache.prune(Limits(days=1))
    assert cache.get(KEY) == b"result"


def test_only_our_files_are_taken_out(cache: Cache) -> None:
    """Clearing leaves alone what nobody of us has written, and takes out files left half written."""
    cache.put(KEY, b"result")
    assert cache.folder is not None
    (cache.folder / KEY[:2] / "notes.txt").write_text("mine", encoding="utf-8")
    (cache.folder / KEY[:2] / f"{KEY}.ab_12.part").write_bytes(b"half")
    assert cache.clear() == 2
    assert [path.name for path in _files(cache)] == ["notes.txt"]


def test_the_command_empties_the_cache(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`transposary check --clean-cache` takes out what builds have kept beside mkdocs.yml."""
    (tmp_path / "devices").mkdir()
    cache = Cache(tmp_path / ".cache" / "transposary")
    cache.put(KEY, b"result")
    assert main(["check", "--clean-cache", str(tmp_path)]) == 0
    assert cache.get(KEY) is None
    assert capsys.readouterr().out == "0 errors, 0 remarks\n"


def test_packs_lie_in_the_cache_where_it_takes_them(cache: Cache) -> None:
    """What a build wants again is found by the next one, but for what is of this build alone."""
    packs = Packs(cache)
    packs.put(KEY, b"result")
    packs.put(key_of("two"), b"failed", lasting=False)
    assert [packs.get(KEY), packs.get(key_of("two"))] == [b"result", b"failed"]
    assert [Packs(cache).get(KEY), Packs(cache).get(key_of("two"))] == [b"result", None]


def test_without_a_cache_packs_lie_elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is none, or it is closed, packs are kept as long as somebody wants them, and then gone."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    (tmp_path / "closed").write_text("in the way", encoding="utf-8")
    for cache in (Cache(), Cache(tmp_path / "closed")):
        packs = Packs(cache)
        packs.put(KEY, b"result")
        (folder,) = tmp_path.glob("transposary-*")
        assert Packs(Cache(), packs.spare).get(KEY) == b"result"
        del packs
        assert not folder.exists()


def test_without_any_room_packs_are_held(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing can be written at all, a build comes out whole."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "nowhere"))
    packs = Packs()
    packs.put(KEY, b"result")
    assert packs.get(KEY) == b"result"
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    packs = Packs()
    packs.put(KEY, b"result")
    (folder,) = tmp_path.glob("transposary-*")
    for path in folder.iterdir():
        shutil.rmtree(path)
        path.write_text("in the way", encoding="utf-8")
    packs.put(KEY, b"again")
    assert packs.get(KEY) == b"again"
