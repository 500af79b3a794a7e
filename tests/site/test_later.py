"""Devices carried over to the places where they fit, as pages show them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.site.book import ENTRIES, write
from transposary.build import Site, build_site
from transposary.settings import Settings
from transposary.site.later import later_file
from transposary.site.pages.device import DeviceView
from transposary.site.pages.fits import ThereView
from transposary.site.pages.song import SongView

SETTINGS = Settings(workers=1)
FILE = "devices/climb/later/in-low-tide.js"
HEAD, TAIL = 'document.dispatchEvent(new CustomEvent("tp-later", { detail: ', " }));\n"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The small glossary, built."""
    return build_site(write(tmp_path_factory.mktemp("later"), ENTRIES), SETTINGS, drafts=False, before=None)


def test_the_best_place_of_a_song_says_what_becomes_of_the_device(site: Site) -> None:
    """Key, meter, feel, changes and clashes stand on the page, with the command that writes the version."""
    view = site.pages["devices/climb.md"].view
    assert isinstance(view, DeviceView)
    (group,) = view.fits
    assert [place.there for place in group.places] == [
        ThereView(
            FILE,
            (
                "In G major, 4/4, straight.",
                "To change: the last chord is shorter; what is held ends with the last chord.",
                "Nothing clashes.",
            ),
            'transposary apply climb low-tide "A 1-2"',
        )
    ]


def test_a_song_offers_the_same(site: Site) -> None:
    """The page of the song shows the same place in the same way."""
    device, song = site.pages["devices/climb.md"].view, site.pages["songs/low-tide.md"].view
    assert isinstance(device, DeviceView)
    assert isinstance(song, SongView)
    assert song.offered[0].places == device.fits[0].places


def test_a_file_hands_over_an_engraving_with_its_glyphs_and_words(site: Site) -> None:
    """The script holds an event with the notes drawn, every glyph that they use, and the notes in words."""
    text = site.files[FILE].read().decode()
    assert text.startswith(HEAD)
    assert text.endswith(TAIL)
    held = json.loads(text.removeprefix(HEAD).removesuffix(TAIL))
    assert sorted(held) == ["fifths", "glyphs", "html"]
    assert held["fifths"] == [1, 3, 5, 0]
    assert "Bar 2. Chords C7 on beat 1, G7 on beat 3. Left hand: C3 half, half rest." in held["html"]
    used = {part.partition('"')[0] for part in held["html"].split('href="#')[1:]}
    assert used
    assert all(f'id="{glyph}"' in held["glyphs"] for glyph in used)


def test_what_did_not_change_is_kept(site: Site, tmp_path: Path) -> None:
    """A build that follows another takes from it what was carried over, as the fits are the same."""
    again = build_site(write(tmp_path, ENTRIES), SETTINGS, drafts=False, before=site)
    assert again.edition.fitted["climb"] is site.edition.fitted["climb"]
    assert again.files[FILE] == site.files[FILE]


def test_what_could_not_be_engraved_is_said_there() -> None:
    """The details then hold the notes in words, and say that there is no drawing."""
    text = later_file(None, "Bar 1.", []).decode()
    held = json.loads(text.removeprefix(HEAD).removesuffix(TAIL))
    assert held["html"].startswith('<p class="tp-note">This could not be engraved.</p>')
    assert "<p>Bar 1.</p>" in held["html"]
