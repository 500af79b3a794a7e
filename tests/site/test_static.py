"""The scripts and style sheets as they are published."""

from __future__ import annotations

import gzip

from transposary.site.static import assets

WHOLE = 40_000


def test_scripts_are_light() -> None:
    """All scripts together stay under 40 kB as a server sends them."""
    sizes = {
        name: len(gzip.compress(text, mtime=0)) for name, text in assets().items() if name.endswith(".js")
    }
    assert sum(sizes.values()) < WHOLE, sizes


def test_scripts_keep_their_words_and_lose_their_comments() -> None:
    """What is said to readers stays as it is written; what is said to contributors is left out."""
    player = assets()["hear.js"].decode()
    assert "Keep the volume safe for your ears." in player
    assert "The controls of the player" not in player


def test_the_common_ground_loads_first() -> None:
    """Every other script may use what base.js makes."""
    scripts = [name for name in assets() if name.endswith(".js")]
    assert scripts[0] == "base.js"
