"""What other instruments read on the page of a device."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browser.reader import DEVICE, ON_DISK, OTHER_DEVICE, Visit
from tests.outside.instruments import CONCERT, SOUNDS, WRITTEN
from transposary.pitch import pretty
from transposary.theory.keys import SLOTS

CHORDS = "devices/rootless-two-five-one.html"
SHOWN = "figure[data-slot]:visible"
# Guitar and double bass are the two that read an octave above what sounds (MusicXML 4.0, `transpose`).
AT_THE_OCTAVE = {"guitar", "bass guitar, double bass"}


def _read_as(page: Page, part: str) -> None:
    page.get_by_label("Written for").select_option(part)
    if part != "concert pitch":
        expect(page.locator(f"{SHOWN} > .tp-part.tp-engraving svg[aria-label*='{part}']")).to_be_visible()


@ON_DISK
def test_every_key_is_written_as_the_table_has_it(visit: Visit) -> None:
    """The row of keys is that of the instrument, and the page says which concert key it reads."""
    page = visit().open(f"{DEVICE}#B")
    for part, row in WRITTEN.items():
        _read_as(page, part)
        tabs = page.locator(".tp-picker a").all_inner_texts()
        tables = [{pretty(one) for one in written.split("=")} for written in row]
        assert all(tab in names for tab, names in zip(tabs, tables, strict=True))
        said = page.locator(f"{SHOWN} figcaption").inner_text()
        reads = (
            f"{part}, written an octave above its sound" if part in AT_THE_OCTAVE else f"{part}: concert B"
        )
        assert said in {f"{one} major for {reads}" for one in tables[CONCERT.index("B")]}


@ON_DISK
def test_the_written_notes_sound_in_the_key_chosen(visit: Visit) -> None:
    """In words, the line walks up from the written tonic; by the table it sounds the concert one."""
    page = visit().open(f"{DEVICE}#Eb")
    for part, (_, semitones, octaves) in SOUNDS.items():
        _read_as(page, part)
        words = page.locator(f"{SHOWN} > .tp-part.tp-words").text_content() or ""
        first = re.search(r"Bar 1\. Chord \S+\. ([A-G])([♭♯]?)(\d)", words)
        assert first is not None
        midi = 12 * (int(first[3]) + 1) + [0, 2, 4, 5, 7, 9, 11]["CDEFGAB".index(first[1])]
        midi += {"♭": -1, "": 0, "♯": 1}[first[2]]
        assert SLOTS[(midi + semitones + 12 * octaves) % 12] == "Eb"


@ON_DISK
def test_keys_named_on_the_page_follow_the_part(visit: Visit) -> None:
    """Facts, places, uses and the button name the written key; engravings of versions say theirs."""
    page = visit().open("devices/charleston.html#Bb")
    _read_as(page, "B♭ trumpet or clarinet")
    assert page.locator(".tp-play").inner_text() == "Play in C"
    assert page.locator(".tp-facts a[href='#Bb']").inner_text() == "C major (concert B♭)"
    assert page.locator(".tp-key a").inner_text() == "E♭ major (concert D♭)"
    caption = page.locator("[data-applied] figcaption")
    assert caption.inner_text() == (
        "The device and, below it, as played, in D♭ major at concert pitch Play it as played"
    )
    _read_as(page, "concert pitch")
    assert page.locator(".tp-facts a[href='#Bb']").inner_text() == "B♭ major"
    assert page.locator(".tp-key a").inner_text() == "D♭ major"
    assert "concert" not in caption.inner_text()


@ON_DISK
def test_the_choice_is_one_for_all_pages(visit: Visit) -> None:
    """A trumpeter of a device is one of the next device, and of the charts of songs."""
    page = visit().open(f"{DEVICE}#C")
    _read_as(page, "B♭ trumpet or clarinet")
    page.goto(page.url.replace(DEVICE, OTHER_DEVICE))
    expect(page.locator(f"{SHOWN} > .tp-part.tp-engraving")).to_be_visible()
    page.goto(re.sub(r"devices/.*", "songs/low-tide.html", page.url))
    assert page.get_by_label("Written for").input_value() == "trumpet"


@ON_DISK
def test_concert_pitch_brings_everything_back(visit: Visit) -> None:
    """Whoever has lent the page to a horn player finds it as it was."""
    page = visit().open(f"{DEVICE}#Eb")
    before = page.locator(".tp-keys").inner_text()
    _read_as(page, "horn in F")
    assert page.locator(f"{SHOWN} > .tp-engraving:not(.tp-part)").is_hidden()
    _read_as(page, "concert pitch")
    assert page.locator(".tp-keys").inner_text() == before


@ON_DISK
def test_horns_share_out_a_chord(visit: Visit) -> None:
    """Slashes and symbols for all, and dark for each horn only its own voice of each chord."""
    page = visit().open(f"{CHORDS}#Eb")
    _read_as(page, "E♭ alto saxophone")
    frame = page.locator(f"{SHOWN} > .tp-part.tp-engraving")
    symbols = ["Dm7", "G7", "Cmaj7"]
    assert [frame.locator(f"svg:nth-of-type({n}) [data-symbol]").all_text_contents() for n in (1, 2)] == [
        symbols,
        symbols,
    ]
    own = "svg:last-child [data-note]:not(.tp-others)"
    top = frame.locator(own).all_text_contents()
    page.get_by_label("Your notes").select_option("second horn")
    second = frame.locator(own).all_text_contents()
    assert len(top) == len(second) == 3
    assert top != second
    page.get_by_label("Your notes").select_option("the whole chord")
    assert frame.locator(own).count() == 12


@ON_DISK
def test_names_under_the_notes_follow_the_part(visit: Visit) -> None:
    """Who reads in F sees names in F, though the others sound in E flat."""
    page = visit().open(f"{DEVICE}#Eb")
    page.get_by_label("Under the notes").select_option("note names")
    _read_as(page, "B♭ tenor saxophone")
    under = page.locator(f"{SHOWN} > .tp-part svg [data-note] > text")
    expect(under).to_have_text(["F", "G", "A", "B♭"])


@ON_DISK
def test_parts_are_loaded_only_when_asked_for(visit: Visit) -> None:
    """At concert pitch no part is fetched; in twelve keys at once a part of each."""
    page = visit().open(f"{DEVICE}#C")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if "part" in request.url else None)
    assert page.locator(".tp-part").count() == 0
    _read_as(page, "bass guitar, double bass")
    assert [one.rpartition("/")[2] for one in asked] == ["part-glyphs.js", "bass-C.js"]
    page.get_by_role("button", name="All twelve keys").click()
    expect(page.locator("figure[data-slot] > .tp-part.tp-engraving")).to_have_count(12)
    assert len(asked) == 13


@ON_DISK
def test_the_page_of_a_key_is_written_for_the_part(visit: Visit) -> None:
    """Keys and chords of every device are those that the player reads."""
    page = visit().open("keys/Eb.html")
    row = page.locator("tr", has_text="Walk-up to the four").locator("td")
    assert row.all_inner_texts()[:2] == ["E♭ major", "E♭ | A♭"]
    page.get_by_label("Written for").select_option("E♭ alto saxophone")
    assert row.all_inner_texts()[:2] == ["C major", "C | F"]


@ON_DISK
def test_places_in_charts_are_written_for_the_part(visit: Visit) -> None:
    """Where a device fits, the chords are those of the player's chart."""
    page = visit().open(DEVICE)
    chords = page.locator(".tp-places .tp-symbols [data-root]").first
    sounding = chords.text_content() or ""
    page.get_by_label("Written for").select_option("horn in F")
    page.get_by_label("Written for").select_option("bass clef (trombone, cello)")
    assert chords.text_content() == sounding
    page.get_by_label("Written for").select_option("horn in F")
    assert chords.text_content() != sounding
