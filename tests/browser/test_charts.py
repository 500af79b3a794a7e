"""The chart of a song in other keys and for other instruments."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.browser.reader import ON_DISK, Visit
from tests.demo import GLOSSARY
from tests.outside.instruments import CONCERT, WRITTEN
from transposary.pitch import pretty
from transposary.song import Song
from transposary.theory.chords import pretty_chord
from transposary.theory.parts import moves_of
from transposary.theory.transposition import transpose_chord

SONGS = GLOSSARY.song
QUILLMERE = "songs/paperlights-at-quillmere.html"
# Five flats, six flats, a church mode in sharps, and a pickup with basses.
FAR = ["corner-table", "moth-and-lamp", "no-hurry", "amazing-grace"]
# What elements say in each sounding key, chosen one after the other, from C up.
_IN_EACH_KEY = """(wanted) => {
  const select = document.querySelector(".tp-moving select[name=key]");
  return Array.from({ length: 12 }, (_, place) => {
    select.value = String(place);
    select.dispatchEvent(new Event("change", { bubbles: true }));
    return [...document.querySelectorAll(wanted)].map((one) => one.innerText);
  });
}"""


def _chords(page: Page) -> list[str]:
    return page.locator(".tp-chart .tp-chord").all_inner_texts()


def _expected(song: Song, semitones: int) -> list[str]:
    pickup = [bar.bar for bar in song.played[:1] if bar.within == 0]
    written = [bar for section in song.sections for bar in section.bars]
    return [
        "N.C." if one.chord is None else pretty_chord(transpose_chord(one.chord, move))
        for bar in (*pickup, *written)
        for move in [moves_of(bar.key, {})[semitones]]
        for one in bar.chords
    ]


@ON_DISK
def test_the_written_key_is_that_of_the_table(visit: Visit) -> None:
    """For each part and each sounding key the chart says in which key it is written."""
    page = visit().open(QUILLMERE)
    choices = page.get_by_label("Sounding key").locator("option").count()
    assert choices == len(CONCERT)
    for part, row in WRITTEN.items():
        page.get_by_label("Written for").select_option(part)
        said = page.evaluate(_IN_EACH_KEY, ".tp-moving output")
        for (found,), written in zip(said, row, strict=True):
            assert found in {f"Written in {pretty(one)} major for {part}" for one in written.split("=")}


@ON_DISK
@pytest.mark.parametrize("slug", FAR)
def test_every_chord_is_moved_as_devices_are(visit: Visit, slug: str) -> None:
    """The script spells each chord as the one transposition does, in twelve keys."""
    song = SONGS[slug]
    page = visit().open(f"songs/{slug}.html")
    found = page.evaluate(_IN_EACH_KEY, ".tp-chart .tp-chord")
    for semitones in range(12):
        assert found[(song.key.tonic.pitch_class + semitones) % 12] == _expected(song, semitones)


@ON_DISK
def test_what_fits_opens_in_the_key_of_the_reader(visit: Visit) -> None:
    """Moved from G to E♭, the chart leads to devices in E♭, and says that the places stay in G."""
    page = visit().open("songs/low-tide.html")
    title = page.locator(".tp-offers > li > a", has_text="The four over the one")
    said = page.locator(".tp-unmoved")
    assert (title.get_attribute("href") or "").endswith("#G")
    assert not said.is_visible()
    page.get_by_label("Sounding key").select_option("3")
    assert (title.get_attribute("href") or "").endswith("#Eb")
    assert said.inner_text().startswith("Places are told in the key of the chart, G major.")
    page.get_by_label("Sounding key").select_option("7")
    assert (title.get_attribute("href") or "").endswith("#G")
    page.get_by_label("Written for").select_option("E♭ alto saxophone")
    place = page.locator(".tp-offers > li", has_text="The four over the one").locator(".tp-places > li").first
    assert "in E: | E | E |" in place.inner_text()
    assert place.locator(".tp-there > summary").inner_text() == "Carried over to these bars at concert pitch"


@ON_DISK
def test_key_and_part_are_remembered(visit: Visit) -> None:
    """A trumpeter stays one on every page; the key goes with its song only."""
    page = visit().open(QUILLMERE)
    page.get_by_label("Sounding key").select_option("9")
    page.get_by_label("Written for").select_option("B♭ trumpet or clarinet")
    page.reload()
    assert _chords(page) == _expected(SONGS["paperlights-at-quillmere"], 9)
    page.goto(page.url.replace("paperlights-at-quillmere", "low-tide"))
    assert _chords(page) == _expected(SONGS["low-tide"], 2)


@ON_DISK
def test_without_scripts_the_chart_stands_in_its_own_key(visit: Visit) -> None:
    """No dead controls, and every chord as the author wrote it."""
    page = visit(scripts=False).open(QUILLMERE)
    assert _chords(page) == _expected(SONGS["paperlights-at-quillmere"], 0)
    assert not page.locator(".tp-moving").is_visible()
