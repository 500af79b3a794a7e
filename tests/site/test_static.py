"""The scripts and style sheets as they are published."""

from __future__ import annotations

import gzip
import re
import shutil
import subprocess
from collections.abc import Iterator
from importlib import resources
from pathlib import Path

import pytest
import tree_sitter_javascript
from tree_sitter import Language, Node, Parser

from transposary.site.offline import worker
from transposary.site.static import SCRIPT, assets, lean, shared, wanted

EVERYWHERE = 18_000
WHOLE = 27_000
ALL = 40_000
SITE = resources.files("transposary.site")
SOURCES = sorted(Path(str(SITE)).rglob("*.js"))
WANTS = re.compile(r"(?:data-scripts=|want\()\"([a-z. -]+)\"")


def _size(content: bytes) -> int:
    return len(gzip.compress(content, mtime=0))


def _scripts() -> dict[str, bytes]:
    return {name: text for name, text in {**assets(), **wanted()}.items() if name.endswith(".js")}


def test_scripts_are_light() -> None:
    """The scripts that every page loads stay under 18 kB as a server sends them."""
    assert _size(assets()[SCRIPT]) < EVERYWHERE


def test_no_page_loads_many_scripts() -> None:
    """With what a page wants besides, its scripts stay under 27 kB as a server sends them."""
    files = [*(SITE / "templates").iterdir(), *(SITE / "assets").iterdir()]
    texts = [file.read_text("utf-8") for file in files if file.is_file()]
    asked = {found for text in texts for found in WANTS.findall(text)}
    assert asked == {"find.js", "listen.js", "notedown.js", "practice.js"}
    scripts = _scripts()
    loaded = {name: _size(scripts[SCRIPT]) + _size(scripts[f"wanted/{name}"]) for name in asked}
    assert max(loaded.values()) < WHOLE, loaded


def test_all_scripts_together_are_light() -> None:
    """All that we have written for browsers stays under 40 kB as a server sends it, file by file."""
    sizes = {name: _size(text) for name, text in {**_scripts(), "offline-worker.js": worker(())}.items()}
    assert sum(sizes.values()) < ALL, sizes


def test_scripts_keep_their_words_and_lose_their_comments() -> None:
    """What is said to readers stays as it is written; what is said to contributors is left out."""
    player = shared()["hear.js"].decode()
    assert "Play it as played" in player
    assert "The controls of the player" not in player


def test_the_common_ground_loads_first() -> None:
    """Every other script may use what base.js makes."""
    assert next(iter(shared())) == "base.js"


def test_a_script_that_fails_stops_no_other() -> None:
    """All shared scripts are one file, in their order, and each of them fails alone."""
    fence = "try{%s}catch(error){reportError(error)}\n"
    assert assets()[SCRIPT].decode() == "".join(fence % text.decode() for text in shared().values())


def test_what_is_wanted_together_is_one_file() -> None:
    """A folder of scripts is published under its name, in the order of the names in it."""
    text = wanted()["wanted/find.js"].decode()
    places = [text.index(sign) for sign in ("rank,having", "read,tones", "form.tp-seek")]
    assert places == sorted(places)


def _said(script: str) -> Iterator[tuple[int, str, bytes]]:
    """Gives what a script says, by how deep it stands, without comments and white space."""

    def walk(node: Node, depth: int) -> Iterator[tuple[int, str, bytes]]:
        if node.type == "comment":
            return
        whole = not node.children or node.type in {"string", "template_string", "regex"}
        yield depth, node.type, (node.text or b"") if whole else b""
        for child in () if whole else node.children:
            yield from walk(child, depth + 1)

    tree = Parser(Language(tree_sitter_javascript.language())).parse(script.encode())
    assert not tree.root_node.has_error
    return walk(tree.root_node, 0)


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.name)
def test_only_what_contributors_read_is_left_out(path: Path) -> None:
    """A published script says the same as its source, as an independent grammar reads both."""
    source = path.read_text("utf-8")
    assert list(_said(lean(source))) == list(_said(source))


@pytest.mark.skipif(shutil.which("node") is None, reason="needs node")
def test_published_scripts_can_be_read(tmp_path: Path) -> None:
    """Every file is a script to the engine that most browsers have."""
    for name, text in _scripts().items():
        file = tmp_path / Path(name).name
        file.write_bytes(text)
        told = subprocess.run(("node", "--check", str(file)), capture_output=True, text=True, check=False)
        assert told.stderr == ""
