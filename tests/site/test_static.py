"""The scripts and style sheets as they are published."""

from __future__ import annotations

import gzip
import re
from importlib import resources

import pytest

from transposary.site.pages.practice import practice_scripts
from transposary.site.static import SCRIPT, assets, lean, shared, wanted

EVERYWHERE = 22_000
WHOLE = 40_000
WANTS = re.compile(r"(?:data-scripts=|want\()\"([a-z. -]+)\"")
PRACTICE = 9_200


def test_scripts_are_light() -> None:
    """The scripts that every page loads stay under 22 kB as a server sends them."""
    assert len(gzip.compress(assets()[SCRIPT], mtime=0)) < EVERYWHERE


def test_no_page_loads_many_scripts() -> None:
    """With what a page wants besides, its scripts stay under 40 kB as a server sends them."""
    sizes = {name: len(gzip.compress(text, mtime=0)) for name, text in {**assets(), **wanted()}.items()}
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
    loaded = {
        names: sizes[SCRIPT] + sum(sizes[f"wanted/{name}"] for name in names.split()) for names in asked
    }
    assert max(loaded.values()) < WHOLE, loaded


def test_scripts_of_practice_are_light() -> None:
    """What a page of practice loads besides stays under 9.2 kB as a server sends it."""
    files = wanted()
    for last in ("today", "coverage"):
        names = practice_scripts(last).split()
        assert sum(len(gzip.compress(files[f"wanted/{name}"], mtime=0)) for name in names) < PRACTICE


def test_scripts_keep_their_words_and_lose_their_comments() -> None:
    """What is said to readers stays as it is written; what is said to contributors is left out."""
    player = shared()["hear.js"].decode()
    assert "Keep the volume safe for your ears." in player
    assert "The controls of the player" not in player


def test_the_common_ground_loads_first() -> None:
    """Every other script may use what base.js makes."""
    assert next(iter(shared())) == "base.js"


def test_a_script_that_fails_stops_no_other() -> None:
    """All shared scripts are one file, in their order, and each of them fails alone."""
    fence = "try {\n%s} catch (error) { reportError(error); }\n"
    assert assets()[SCRIPT].decode() == "".join(fence % text.decode() for text in shared().values())


def test_only_whole_lines_are_left_out() -> None:
    """Signs of comments within a line are text or code, and stay."""
    line = 'say("//", /\\/\\*/, `a${`;  b`}`); // stays\n'
    script = f"/* A\n * head */\n(function () {{\n\n  // Why.\n  {line}}})();\n"
    assert lean(script) == f"(function () {{\n{line}}})();\n"


@pytest.mark.parametrize("name", list(shared()))
def test_texts_of_scripts_end_in_their_line(name: str) -> None:
    """What goes over the end of a line would lose its indentation."""
    assert [line for line in shared()[name].decode().split("\n") if line.count("`") % 2] == []
