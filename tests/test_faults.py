"""What a build leaves that is killed, finds no room, or meets another; and damaged caches."""

from __future__ import annotations

import gc
import os
import re
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from time import monotonic

import pytest
from mkdocs.commands.build import build
from mkdocs.exceptions import Abort, PluginError
from mkdocs.livereload import LiveReloadServer

from tests.faults import Bytes, built, command, files_of, glossary, kill_and_rebuild, small_disk
from tests.site.book import ENTRIES, write
from tests.site.published import configure, publish
from transposary.replacing import replace_content

LEFT = "; the old site is left as it was"


@dataclass(frozen=True)
class Undisturbed:
    """The small glossary, built in peace; the seconds that it took, and what it left in the cache."""

    site: Bytes
    length: float
    cache: Path


@pytest.fixture(scope="module")
def reference(tmp_path_factory: pytest.TempPathFactory) -> Undisturbed:
    """The small glossary, built without disturbance."""
    book = glossary(tmp_path_factory.mktemp("reference"))
    began = monotonic()
    return Undisturbed(built(book), monotonic() - began, book / ".cache")


def test_a_strict_build_that_fails_leaves_the_old_site(tmp_path: Path) -> None:
    """A glossary with an error does not replace the site of the one that had none."""
    publish(configure(tmp_path, ENTRIES))
    site = tmp_path / "site"
    before = files_of(site)
    wrong = {"devices/climb.md": ENTRIES["devices/climb.md"].replace('"1 2 3 | 4"', '"1 2 b3 | 4"')}
    config = configure(tmp_path, ENTRIES | wrong, strict=True)
    with pytest.raises(Abort, match="Aborted with 1 warnings in strict mode!"):
        publish(config)
    assert files_of(site) == before
    assert config.site_dir == str(site)
    assert not [path.name for path in site.iterdir() if path.name.startswith(".")]


def test_serve_clean_writes_where_it_serves_from(tmp_path: Path) -> None:
    """`serve --clean` calls itself a build: its site is there before it is served, and later ones too."""
    config = configure(tmp_path, ENTRIES)
    site = tmp_path / "site"
    threshold = gc.get_threshold()
    config.plugins.on_startup(command="build", dirty=False)
    build(config)
    assert files_of(site) == {}
    server = LiveReloadServer(builder=lambda: None, host="127.0.0.1", port=0, root=str(site))
    server.server_close()
    config.plugins.on_serve(server, config=config, builder=server.builder)
    assert config.site_dir == str(site)
    assert gc.get_threshold() == threshold
    assert "index.html" in files_of(site)
    (site / "index.html").unlink()
    build(config)
    assert "index.html" in files_of(site)
    config.plugins.on_shutdown()


def test_an_executor_that_is_none_is_one_error(tmp_path: Path) -> None:
    """What cannot engrave is told by name, without a traceback, and the old site is left."""
    config = configure(tmp_path, ENTRIES, plugins=[{"transposary": {"executor": "os:getpid"}}])
    write(tmp_path / "site", {"index.html": "old"})
    said = f"`executor`: os:getpid gives no concurrent.futures.Executor{LEFT}"
    with pytest.raises(PluginError, match=re.escape(said)):
        publish(config)
    assert files_of(tmp_path / "site") == {"index.html": b"old"}


def test_a_killed_build_leaves_the_old_site_whole(tmp_path: Path, reference: Undisturbed) -> None:
    """Killed halfway and late, a build has changed nothing, and the next one is as any other.

    `python -m tests.bench.killing` kills at twenty moments.
    """
    moments = [share * reference.length for share in (0.5, 0.9)]
    *left, last = kill_and_rebuild(glossary(tmp_path), reference.site, moments, cold=True)
    # Killed in its very last moment, a build has written the new site whole.
    assert set(left) <= {"old", "new"}
    assert last == "same"


def test_two_builds_at_once_write_one_whole_site(tmp_path: Path, reference: Undisturbed) -> None:
    """Both end well, and neither finds files of the other."""
    book = glossary(tmp_path)
    both = [command(book, "build", "-q", "--strict") for _ in range(2)]
    outputs = [process.communicate()[0] for process in both]
    assert [process.returncode for process in both] == [0, 0], outputs
    assert files_of(book / "site") == reference.site


def test_a_build_waits_for_another_and_says_so(tmp_path: Path, reference: Undisturbed) -> None:
    """Whoever finds a build at work on the site waits until it has ended."""
    book = glossary(tmp_path)
    other = replace_content(book / "site", lambda: None)
    process = command(book, "build")
    assert process.stdout is not None
    said = f"INFO    -  transposary: another build writes {book / 'site'}: waiting for its end\n"
    assert said in iter(process.stdout.readline, "")
    other.drop()
    process.communicate()
    assert process.returncode == 0
    assert files_of(book / "site") == reference.site


def test_a_file_that_cannot_be_written_is_one_error(tmp_path: Path) -> None:
    """Where the machine refuses a file, its name and the reason are told, and the old site is left."""
    book = glossary(tmp_path)
    write(book / "site", {"index.html": "old"})
    process = command(book, "build", "-q", within=("prlimit", "--fsize=20000"))
    output, _ = process.communicate()
    assert process.returncode == 1
    assert "Traceback" not in output
    assert output.endswith(f"File too large{LEFT}\n")
    assert files_of(book / "site") == {"index.html": b"old"}


def test_a_full_disk_is_one_error(tmp_path: Path) -> None:
    """Where the disk is full, the build says so and the old site is left; the cache is no error."""
    with small_disk(tmp_path, 2_000_000) as mounted:
        if not mounted:
            # Only who may mount has a small disk; the build meets it as it does the refused file above.
            assert os.environ.get("CI") is None or os.geteuid(), "root cannot mount here"
            pytest.skip("only root can mount a small disk")
        book = glossary(tmp_path)
        write(book / "site", {"index.html": "old"})
        process = command(book, "build", "-q")
        output, _ = process.communicate()
        assert process.returncode == 1
        assert "Traceback" not in output
        assert output.endswith(f"No space left on device{LEFT}\n")
        assert files_of(book / "site") == {"index.html": b"old"}


def _truncate(files: list[Path]) -> None:
    for number, path in enumerate(files):
        os.truncate(path, path.stat().st_size * number // len(files))


def _swap(files: list[Path]) -> None:
    contents = [path.read_bytes() for path in files]
    for path, content in zip(files, contents[1:] + contents[:1], strict=True):
        path.write_bytes(content)


def _close(files: list[Path]) -> None:
    for path in files:
        path.unlink()
        # Neither a file to read nor one to replace, also for root, whom permissions do not stop.
        path.mkdir()
        (path / "in the way").touch()
    for folder in {path.parent for path in files}:
        folder.chmod(0o500)


@pytest.mark.parametrize("damage", [_truncate, _swap, _close])
def test_a_damaged_cache_changes_nothing(
    tmp_path: Path, reference: Undisturbed, damage: Callable[[list[Path]], None]
) -> None:
    """Files of the cache that are cut off, exchanged, or can be neither read nor written."""
    book = glossary(tmp_path)
    shutil.copytree(reference.cache, book / ".cache")
    files = sorted(path for path in (book / ".cache" / "transposary").glob("*/*") if path.is_file())
    assert len(files) > 2
    damage(files)
    assert built(book) == reference.site
    for folder in {path.parent for path in files}:
        folder.chmod(0o700)
