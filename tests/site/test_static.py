"""The scripts and style sheets as they are published."""

from __future__ import annotations

import gzip
import re
from importlib import resources

import pytest

from transposary.site.pages.practice import practice_scripts
from transposary.site.static import assets, lean, wanted

EVERYWHERE = 30_000
WHOLE = 40_000
WANTS = re.compile(r"(?:data-scripts=|want\()\"([a-z. -]+)\"")
PRACTICE = 9_000


def test_scripts_are_light() -> None:
    """The scripts that every page loads stay under 30 kB as a server sends them."""
    sizes = {
        name: len(gzip.compress(text, mtime=0)) for name, text in assets().items() if name.endswith(".js")
    }
    assert sum(sizes.values()) < EVERYWHERE, sizes


def test_no_page_loads_many_scripts() -> None:
    """With what a page wants besides, its scripts stay under 40 kB as a server sends them."""
    sizes = {name: len(gzip.compress(text, mtime=0)) for name, text in {**assets(), **wanted()}.items()}
    shared = sum(size for name, size in sizes.items() if name.endswith(".js") and "/" not in name)
    site = resources.files("transposary.site")
    texts = [
        file.read_text("utf-8")
        for room in ("templates", "assets")
        for file in (site / room).iterdir()
        if file.is_file()
    ]
    asked = {found for text in texts for found in WANTS.findall(text)}
    assert asked >= {"midi.js find-queries.js find-matching.js find.js", "midi.js listen-judge.js listen.js"}
    asked |= {practice_scripts(last) for last in ("today", "coverage")}
    loaded = {names: shared + sum(sizes[f"wanted/{name}"] for name in names.split()) for names in asked}
    assert max(loaded.values()) < WHOLE, loaded


def test_scripts_of_practice_are_light() -> None:
    """What a page of practice loads besides stays under 9 kB as a server sends it."""
    files = wanted()
    for last in ("today", "coverage"):
        names = practice_scripts(last).split()
        assert sum(len(gzip.compress(files[f"wanted/{name}"], mtime=0)) for name in names) < PRACTICE


def test_scripts_keep_their_words_and_lose_their_comments() -> None:
    """What is said to readers stays as it is written; what is said to contributors is left out."""
    player = assets()["hear.js"].decode()
    assert "Keep the volume safe for your ears." in player
    assert "The controls of the player" not in player


def test_the_common_ground_loads_first() -> None:
    """Every other script may use what base.js makes."""
    scripts = [name for name in assets() if name.endswith(".js")]
    assert scripts[0] == "base.js"


def test_only_whole_lines_are_left_out() -> None:
    """Signs of comments within a line are text or code, and stay."""
    line = 'say("//", /\\/\\*/, `a${`;  b`}`); // stays\n'
    script = f"/* A\n * head */\n(function () {{\n\n  // Why.\n  {line}}})();\n"
    assert lean(script) == f"(function () {{\n{line}}})();\n"


@pytest.mark.parametrize("name", [name for name in assets() if name.endswith(".js")])
def test_texts_of_scripts_end_in_their_line(name: str) -> None:
    """What goes over the end of a line would lose its indentation."""
    assert [line for line in assets()[name].decode().split("\n") if line.count("`") % 2] == []
