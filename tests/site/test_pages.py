"""What the pages show, on the small glossary with prose as Markdown renders it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.site.book import ENTRIES, write
from tests.site.inspect import Element, parse
from transposary.build import Site, build_site
from transposary.settings import Settings
from transposary.site.pages.device import EARS, HURTS, QUOTED, WIDE
from transposary.theory.keys import SLOTS

SLUGS = ("climb", "stretch")
PROSE = {
    "index.md": '<h1 id="x">A small book</h1><p>Play Low Tide.</p>',
    "devices/climb.md": '<p>The walk-up, heard in Harbour.</p><h2 id="how">How</h2>',
    "songs/harbour.md": '<p>Ends with climb &lt;to&gt; "four".</p>',
    "concepts/walk-up.md": '<p>See Climb &lt;to&gt; "four".</p>',
}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The small glossary, built."""
    root = write(tmp_path_factory.mktemp("entries"), ENTRIES)
    return build_site(root, Settings(workers=1), drafts=False, before=None)


@pytest.fixture(scope="module")
def pages(site: Site) -> dict[str, Element]:
    """The contents of its pages, finished."""
    urls = {source: source.replace(".md", ".html") for source in (*site.pages, *site.withheld)}
    return {source: parse(site.finish(one.html)) for source, one in site.compose(PROSE, urls).items()}


def _facts(page: Element) -> dict[str, str]:
    rows = page.one("dl", class_="tp-facts").all("div")
    facts = {row.one("dt").text: row.one("dd").text for row in rows}
    # Out of sight, so that the search and a screen reader part one fact from the next.
    assert all(name.endswith(":") and text.endswith(".") for name, text in facts.items())
    return {name[:-1]: text[:-1] for name, text in facts.items()}


def _list_after(page: Element, anchor: str) -> list[str]:
    section = next(one for one in page.all("section") if one.all("h2", id=anchor))
    return [item.text for item in section.all("li")]


def _titles(page: Element) -> list[str]:
    return [one.all("a")[0].text for one in page.one("ul", class_="tp-index").all("li")]


def test_a_device_says_what_it_is(pages: dict[str, Element]) -> None:
    """Title, summary and facts stand at the top; texts of the author are escaped."""
    page = pages["devices/climb.md"]
    assert page.one("h1").text == 'Climb <to> "four"'
    assert page.one("p", class_="tp-lead").text == "Three notes & a landing."
    assert _facts(page) == {
        "Also called": "the ♭7 climb",
        "Role": "bass, fill",
        "Concepts": "Walk-up, chromatic",
        "Genres": "deep soul",
        "Level": "2 of 5",
        "Played by": "left hand",
        "Learnt in": "G major",
        "Meter": "4/4",
        "Feel": "straight",
        "Tempo": "92 beats a minute",
        "Hangs on": "this place in the key",
    }


def test_a_device_stands_in_twelve_keys(pages: dict[str, Element]) -> None:
    """Each slot has a figure with its engraving, its notes in words, its files, and a link to it."""
    keys = pages["devices/climb.md"].one(data_device="climb")
    assert keys.attrs["data-home"] == "G"
    figures = keys.all("figure")
    assert [(one.attrs["id"], one.attrs["data-slot"]) for one in figures] == [(slot, slot) for slot in SLOTS]
    assert figures[3].attrs["data-tonic"] == "E♭"
    assert [len(one.all("svg", role="img")) for one in figures] == [1] * 12
    assert figures[3].one("details").text.startswith("The notes in wordsE♭ major, 4/4 time.Bar 1. Chord E♭7.")
    assert [one.attrs["href"] for one in figures[3].one(class_="tp-downloads").all("a")] == [
        "climb/Eb.mid",
        "climb/Eb.musicxml",
    ]
    assert [one.attrs["href"] for one in keys.one("nav").all("a")] == [f"#{slot}" for slot in SLOTS]
    assert [one.attrs["id"] for one in figures if one.all(class_="tp-home")] == ["G"]


def test_ids_are_unique(pages: dict[str, Element]) -> None:
    """No page has an id twice, engravings included."""
    for source, page in pages.items():
        ids = [one.attrs["id"] for one in page.walk() if "id" in one.attrs]
        assert len(ids) == len(set(ids)), source


def test_a_device_is_explained_bar_by_bar(pages: dict[str, Element]) -> None:
    """Chords, numerals and degrees follow the bars; claims are said as statements."""
    page = pages["devices/climb.md"]
    rows = page.one("table", class_="tp-bars").all("tr")
    assert [[cell.text for cell in row.children if isinstance(cell, Element)] for row in rows] == [
        ["Bar", "1", "2"],
        ["Chords", "G7", "C7"],
        ["Numerals", "I7", "IV7"],
        ["Left hand, from the tonic", "1 2 3", "4"],
        ["Left hand, from the chord", "1 9 3", "1"],
    ]
    assert [one.text for one in page.one(class_="tp-proved").all("li")] == [
        "From the tonic, the notes are 1 2 3 | 4.",
        "The chords are I7 | IV7.",
    ]


def test_a_pickup_is_bar_0(pages: dict[str, Element]) -> None:
    """A rest before the first barline opens the table with bar 0."""
    rows = pages["devices/stretch.md"].one("table", class_="tp-bars").all("tr")
    assert [[cell.text for cell in row.children if isinstance(cell, Element)] for row in rows] == [
        ["Bar", "0", "1"],
        ["Chords", "", "Am"],
        ["Numerals", "", "i"],
        ["Right hand, from the tonic", "", "(1 ♭3) (♭3 5)"],
        ["Right hand, from the chord", "", "(1 ♭3) (♭3 5)"],
    ]


def test_a_device_says_where_it_was_heard_and_played(pages: dict[str, Element]) -> None:
    """Places come with bars, key, date, changes, and the version as played."""
    page = pages["devices/climb.md"]
    assert _list_after(page, "tp-heard") == ["Low Tide, second verse", "An old record, source"]
    assert page.one(class_="tp-source").attrs["href"] == "https://example.org/record?a=1&b=2"
    applied = page.one(data_applied="climb")
    assert [one.text.split(" The device and")[0] for one in applied.all("li")] == [
        "Harbour, section B, bars 1–2, in F♯ major, 2026-03-14: the first note twice",
        "Low Tide, bars 3–4",
    ]
    figures = applied.all("figure")
    captions = ["The device and, below it, as played, in F♯ major"]
    assert [figure.one("figcaption").text for figure in figures] == captions
    assert [len(figure.all("svg", role="img")) for figure in figures] == [1]
    assert [one.text for one in figures[0].one(class_="tp-words").all("p")] == [
        "The device stands above, what was played below it.",
        "The device:",
        "F♯ major, 4/4 time.",
        "Bar 1. Chord F♯7. Left hand: F♯2 half, G♯2 quarter, A♯2 quarter.",
        "Bar 2. Chord B7. Left hand: B2 whole.",
        "As played:",
        "F♯ major, 4/4 time.",
        "Bar 1. Chord F♯7. Left hand: F♯2 quarter, F♯2 quarter, G♯2 quarter, A♯2 quarter.",
        "Bar 2. Chord B7. Left hand: B2 whole.",
    ]
    assert [one.attrs["href"] for one in applied.one(class_="tp-key").all("a")] == ["#Gb"]


def test_a_version_in_another_meter_stands_below_the_device(tmp_path: Path) -> None:
    """Where the bars differ each has a figure and words of its own."""
    entry = ENTRIES["devices/climb.md"].replace("M: 4/4\n      L", "M: 3/4\n      L")
    entry = entry.replace('F,, F,, G,, A,, | "B7" B,,4', 'F,, G,, A,, | "B7" B,,3')
    root = write(tmp_path, {"devices/climb.md": entry})
    site = build_site(root, Settings(workers=1), drafts=False, before=None)
    urls = {source: source.replace(".md", ".html") for source in (*site.pages, *site.withheld)}
    html = site.compose({}, urls)["devices/climb.md"].html
    figures = parse(site.finish(html)).one(data_applied="climb").all("figure")
    captions = ["The device, in F♯ major", "As played, in F♯ major"]
    assert [figure.one("figcaption").text for figure in figures] == captions
    assert [len(figure.all("svg", role="img")) for figure in figures] == [1, 1]


def test_the_reader_is_told_to_take_care(pages: dict[str, Element]) -> None:
    """A stretch beyond the hand span and a quoted recording come with the usual words."""
    said = {slug: [p.text for p in pages[f"devices/{slug}.md"].one("aside").all("p")] for slug in SLUGS}
    assert said == {"climb": [QUOTED], "stretch": [WIDE, HURTS, EARS]}


def test_readers_see_remarks_as_sentences(pages: dict[str, Element]) -> None:
    """A remark stands on the page without the place in a file and without advice to the author."""
    found = _list_after(pages["devices/stretch.md"], "tp-remarks")
    assert found[0].startswith("The right hand stretches 15 semitones (A4–C6, ")
    assert not any("devices/" in text or "hand_span" in text for text in found)


def test_related_devices_give_their_reason(pages: dict[str, Element]) -> None:
    """What one device says of another stands on both pages."""
    assert _list_after(pages["devices/climb.md"], "tp-related") == ["Stretch (worth seeing beside it)"]
    assert _list_after(pages["devices/stretch.md"], "tp-related") == [
        'Climb <to> "four" (worth seeing beside it)'
    ]


def test_prose_links_what_it_mentions_both_ways(pages: dict[str, Element]) -> None:
    """A mention in prose is a link, and the mentioned page lists where it stands."""
    mentions = [one.attrs["href"] for one in pages["devices/climb.md"].all(class_="tp-mention")]
    assert mentions == ["../concepts/walk-up.html", "../songs/harbour.html"]
    assert _list_after(pages["devices/climb.md"], "tp-mentioned") == ["Harbour", "Walk-up"]
    # The home page names Low Tide, which is no news to anybody who reads about it.
    assert pages["index.md"].all(class_="tp-mention")
    assert not pages["songs/low-tide.md"].all("h2", id="tp-mentioned")


def test_a_song_shows_its_chart(pages: dict[str, Element]) -> None:
    """Sections stand as bars with symbols and numerals, with the bars that they fill in the form."""
    page = pages["songs/harbour.md"]
    assert page.one("p", class_="tp-form").text == "Form A B A B"
    parts = [(one.one("h3").text, one.one("p").text) for one in page.all(class_="tp-chart-section")]
    assert parts == [("A", "bars 1–2; bars 7–8"), ("B", "bars 3–6; bars 9–12")]
    bars = page.one(id="section-b").all("li")
    assert [bar.text for bar in bars] == [
        "G♭7 I7 1 device played here",
        "C♭ IV 1 device played here",
        "N.C.",
        "N.C.",
    ]
    split = pages["songs/low-tide.md"].all("li", class_="tp-bar")[1]
    assert [one.attrs["style"] for one in split.all(class_="tp-beats")] == ["--beats: 2", "--beats: 2"]


def test_a_song_lists_the_devices_played_and_heard_in_it(pages: dict[str, Element]) -> None:
    """Devices are listed with the bars of the performance, and lead to the key of the song."""
    title = 'Climb <to> "four"'
    assert _list_after(pages["songs/harbour.md"], "tp-applied") == [
        (
            f"{title}, section B, bars 1–2 (bars 3–4, 9–10), in F♯ major (engraved in G♭ major), "
            "2026-03-14: the first note twice"
        )
    ]
    tide = pages["songs/low-tide.md"]
    assert _list_after(tide, "tp-applied") == [f"{title}, bars 3–4 (section A, bars 1–2), in G major"]
    assert _list_after(tide, "tp-heard") == [f"{title}, second verse"]
    hrefs = [one.attrs["href"] for uses in tide.all("ul", class_="tp-uses") for one in uses.all("a")]
    assert hrefs == ["../devices/climb.html#G", "../devices/climb.html"]


def test_a_concept_knows_its_kin_and_its_devices(pages: dict[str, Element]) -> None:
    """A term says what it is a kind of, what is a kind of it, and where it is used."""
    page = pages["concepts/walk-up.md"]
    assert page.one(class_="tp-broader").text == "A kind of Bass line"
    assert page.one(class_="tp-aliases").text == "Also called walking up"
    assert _titles(page) == ['Climb <to> "four"']
    assert _list_after(pages["concepts/bass-line.md"], "tp-narrower") == ["Walk-up"]


def test_an_undefined_concept_is_marked(pages: dict[str, Element]) -> None:
    """A term that nobody wrote has a page that says so."""
    page = pages["concepts/chromatic.md"]
    assert page.one(class_="tp-undefined").text == (
        "Nobody has written down yet what this means here. The devices below use it."
    )


def test_a_collection_is_engraved_in_the_keys_it_asks_for(pages: dict[str, Element]) -> None:
    """A hand-out has its devices in the keys asked for, and its songs as charts."""
    page = pages["collections/first.md"]
    first, second = page.one("ol", class_="tp-handout").all("li", class_="tp-handout-item")
    assert [one.attrs["id"] for one in first.all("figure")] == ["climb-G", "climb-Eb"]
    assert first.one("p", class_="tp-note").text == "Slowly <at first>."
    assert second.one("h2").text == "Low Tide"
    assert [bar.text for bar in second.all("li", class_="tp-bar")] == ["G7 I7", "C7 IV7 G7 I7"]


def test_the_index_of_devices_can_be_filtered(pages: dict[str, Element]) -> None:
    """Each device carries what the filter asks for, and the filter offers what there is."""
    page = pages["devices/index.md"]
    items = page.one("ul", class_="tp-index").all("li")
    names = ("role", "concept", "genre", "level", "hand")
    assert [[item.attrs[f"data-{name}"] for name in names] for item in items] == [
        ["bass fill", "walk-up chromatic", "deep-soul", "2", "LH"],
        ["voicing", "", "deep-soul", "", "RH"],
    ]
    offered = {one.attrs["name"]: [o.attrs["value"] for o in one.all("option")] for one in page.all("select")}
    assert offered == {
        "role": ["", "bass", "fill", "voicing"],
        "concept": ["", "chromatic", "walk-up"],
        "genre": ["", "deep-soul"],
        "level": ["", "2"],
        "hand": ["", "LH", "RH"],
    }


def test_what_is_not_yet_used_stands_on_a_page_of_its_own(pages: dict[str, Element]) -> None:
    """A device that is played nowhere is listed, with where it would fit; songs and devices lead there."""
    page = pages["unused/index.md"]
    assert [group.text for group in page.all("h2")] == ["Devices that are played in no song"]
    (item,) = page.one("ul", class_="tp-index").all("li")
    assert item.text == "Stretch A tenth that closes into a third. fits nowhere in the repertoire yet"
    for index in ("devices/index.md", "songs/index.md"):
        assert pages[index].all("a")[-1].attrs["href"] == "../unused/index.html"


def test_the_page_of_a_key_has_every_device_in_it(pages: dict[str, Element]) -> None:
    """Each device stands with its key, its chords there and its degrees, and leads to its engraving."""
    page = pages["keys/Db.md"]
    assert page.one("h1").text == "Everything in D♭ or C♯"
    rows = page.one("tbody").all("tr")
    assert [[cell.text for cell in row.children if isinstance(cell, Element)] for row in rows] == [
        ['Climb <to> "four"', "D♭ major", "D♭7 | G♭7", "1 2 3 | 4"],
        ["Stretch", "C♯ minor", "C♯m", "(1 ♭3) (♭3 5)"],
    ]
    # What is struck together is not parted at the end of a line.
    (together,) = rows[1].all("span", class_="tp-degrees")
    assert together.children == ["(1\N{NO-BREAK SPACE}♭3) (♭3\N{NO-BREAK SPACE}5)"]
    hrefs = [row.one("a").attrs["href"] for row in rows]
    assert hrefs == ["../devices/climb.html#Db", "../devices/stretch.html#Db"]
    assert [one.text for one in pages["keys/Gb.md"].all("a") if "songs/" in one.attrs["href"]] == ["Harbour"]


def test_genres_list_devices_and_songs(pages: dict[str, Element]) -> None:
    """A genre gathers what carries its name."""
    page = pages["genres/index.md"]
    assert page.one("h2", id="deep-soul").text == "deep soul"
    assert _titles(page) == [
        'Climb <to> "four"',
        "Stretch",
        "Low Tide",
    ]


def test_the_home_page_opens_onto_everything(pages: dict[str, Element]) -> None:
    """The author's words come first, then the doors to all indexes with their counts."""
    page = pages["index.md"]
    assert [one.text for one in page.all("h1")] == ["A small book"]
    assert [item.text for item in page.one("nav").all("li")] == [
        "Devices 2 devices",
        "Find a device by its degrees, notes, chords or rhythm",
        "Keys every device in each of the twelve keys",
        "Songs 2 songs",
        "Concepts 3 concepts",
        "Genres 1 genre",
        "Lessons and sets 1 collection",
    ]


def test_both_spellings_can_be_searched(pages: dict[str, Element]) -> None:
    """What a page writes with ♭ is also there with b, for the search and out of sight."""
    hidden = pages["devices/climb.md"].one(class_="tp-find")
    assert "hidden" in hidden.attrs
    assert "b7" in hidden.text.split()


def test_a_word_with_a_hyphen_stays_on_one_line(pages: dict[str, Element]) -> None:
    """A link and a title keep `Walk-up` whole; their text is as the author wrote it."""
    title = pages["concepts/walk-up.md"].one("h1")
    assert title.text == title.one(class_="tp-whole").text == "Walk-up"
    link = pages["devices/climb.md"].one("dl", class_="tp-facts").one(class_="tp-whole")
    assert link.text == "Walk-up"


def test_a_device_is_explained(pages: dict[str, Element]) -> None:
    """The page says how to play the device in any key, what happens, and what each note does."""
    page = pages["devices/climb.md"]
    (told,) = page.all("div", class_="tp-recipe")
    assert told.one("p").text == "Left hand"
    assert [one.text for one in told.all("li")] == [
        "Start on the tonic.",
        "Climb by step through the 2nd and the 3rd to the 4th.",
    ]
    assert page.one(class_="tp-works").one("li").text == "The line climbs by step: 1 2 3 4."
    rows = page.one("table", class_="tp-notes").all("tr")
    assert [[cell.text for cell in row.all("td")] for row in rows[1:]] == [
        ["1", "1", "Left hand", "1", "1", "chord tone"],
        ["1", "3", "Left hand", "2", "9", "passing note"],
        ["1", "4", "Left hand", "3", "3", "chord tone"],
        ["2", "1", "Left hand", "4", "1", "chord tone"],
    ]


def test_a_device_shows_where_it_fits(pages: dict[str, Element]) -> None:
    """Each place names its bars, chords and key, then the reason and what the score is made of."""
    section = pages["devices/climb.md"].one("section", data_fits="climb")
    assert [one.text for one in section.all("h3")] == ["Low Tide"]
    place = section.one("li")
    assert place.one(class_="tp-where").text == "section A, bars 1–2 (again as bars 3–4)"
    assert place.one(class_="tp-symbols").text == "| G7 | C7 G7 |"
    assert [link.attrs["href"] for link in place.all("a")] == ["../songs/low-tide.html#section-a", "#G"]
    assert place.one("p", class_="tp-score").text == "fits 93 %: chords 100 %, time 95 %, notes 98 %"
    assert place.all("p")[0].text == (
        "Bars 1–2, G7 to C7: I7 to IV7 of G; same chords; A colours the chord. "
        "To change: the last chord is shorter."
    )


def test_a_song_offers_devices(pages: dict[str, Element]) -> None:
    """Devices that fit in a song stand below its chart, with what a filter compares."""
    offer = pages["songs/low-tide.md"].one("ul", class_="tp-index").all("li")[0]
    assert offer.all("a")[0].attrs["href"] == "../devices/climb.html#G"
    assert (offer.attrs["data-role"], offer.attrs["data-level"]) == ("bass fill", "2")


def test_the_controls_of_a_device_wait_for_scripts(pages: dict[str, Element]) -> None:
    """They offer its bars; what it has no use for, one hand or chords under chords, stays hidden."""
    page = pages["devices/climb.md"]
    tools = page.one("div", class_="tp-tools")
    assert all("hidden" in group.attrs for group in tools.all("fieldset"))
    last = tools.one("select", name="last")
    assert [(one.attrs["value"], one.text) for one in last.all("option")] == [("0", "1"), ("1", "2")]
    assert "selected" in last.all("option")[-1].attrs
    fields = {one.text: "hidden" in one.attrs for one in tools.one(class_="tp-how").all("label")}
    assert {name for name, hidden in fields.items() if hidden} == {"Right hand", "Left hand"}
    assert page.one("p", class_="tp-hands-said").text == "left hand"


def test_what_search_leaves_out_holds_no_element_of_its_own_kind(pages: dict[str, Element]) -> None:
    """Material's indexer leaves an excluded element at the first end tag of its name, or breaks there."""
    for name, page in pages.items():
        for excluded in (one for one in page.walk() if "data-search-exclude" in one.attrs):
            assert len(excluded.all(excluded.tag)) == 1, f"{name}: {excluded.tag} {excluded.attrs}"
