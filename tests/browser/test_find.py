"""The page that finds devices by what they are."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.reader import ON_DISK, STILL, Visit, wait_until
from tests.outside.chord_tables import AGREED
from transposary.passage import Key
from transposary.pitch import NoteName, Pitch
from transposary.site.pages.find import mask_of
from transposary.theory.numerals import Numeral, parse_numeral, realise
from transposary.theory.suffixes import tones_of

FIND = "find.html"
EXPECTED = (
    "Expected degrees such as 1 2 b3 3, note names such as G A Bb B, chords such as Dm7 G7, "
    "numerals such as ii7 V7, or a counted rhythm such as 1 2& 4."
)
# What is asked, how it is read, which device comes first, and at which pitch it has just that.
QUESTIONS = (
    ("1 2 3 4", "degrees", "Walk-up to the four", ""),
    ("A B C# D", "note names, in any key", "Walk-up to the four", "; at this pitch in A"),
    ("ii7 V7 Imaj7", "numerals", "Charleston comping", ""),
    ("Bbm7 Eb7 Abmaj7", "chords, in any key", "Charleston comping", "; at this pitch in A♭"),
    ("1 3 4 | 1 &", "a counted rhythm", None, ""),
    ("(F A C E) (F A B E)", "note names, in any key", "Rootless two–five–one", "; at this pitch in C"),
)
FAULTS = (
    ("?of=1+2+Q", f"“Q” cannot be read. {EXPECTED}"),
    ("?of=1+2+3&as=chords", "“1” cannot be read. Expected chords such as Dm7 G7."),
    ("?of=2+1&as=rhythm", "“1” cannot be read. Expected a counted rhythm such as 1 2& 4."),
    (f"?of={'+'.join(['1'] * 33)}", "That is long: expected at most 32 words."),
)
# A keyboard that the page gets from the browser, and that a test plays by `window.press`.
KEYBOARD = """
    const input = { name: "Stage keys", onmidimessage: null };
    navigator.requestMIDIAccess = () => Promise.resolve({ inputs: new Map([["1", input]]) });
    window.press = (midi, timeStamp, velocity = 80) =>
        input.onmidimessage({ data: [velocity ? 0x90 : 0x80, midi, velocity], timeStamp });
"""


def _first(page: Page) -> Locator:
    return page.locator(".tp-found > li").first


def _ask(page: Page, text: str) -> None:
    page.get_by_label("What it is made of").fill(text)
    page.keyboard.press("Enter")


@ON_DISK
def test_each_kind_of_question_is_recognised_and_answered(visit: Visit) -> None:
    """The page says how it read the words, and the device that is just that comes first."""
    reader = visit()
    page = reader.open(FIND)
    for text, kind, title, pitch in QUESTIONS:
        _ask(page, text)
        expect(page.locator("#tp-understood")).to_contain_text(f"Read as {kind}.")
        if title is not None:
            expect(_first(page).locator("a")).to_have_text(title)
            expect(_first(page).locator(".tp-why")).to_have_text(f"exactly, from bar 1{pitch}")
    assert reader.faults == []


def test_the_match_is_marked_on_the_engraving_and_the_address_keeps_the_question(visit: Visit) -> None:
    """Four notes have frames; whoever gets the link sees the same, and is led to the key."""
    reader = visit()
    page = reader.open(f"{FIND}?of=A+B+C%23+D&role=bass")
    expect(_first(page).locator(".tp-mark-frame")).to_have_count(4)
    expect(page.locator(".tp-seek output")).to_contain_text("exactly")
    _first(page).locator("a").click()
    page.wait_for_url("**/devices/walk-up-to-the-four.html#A")
    assert reader.faults == []


@ON_DISK
def test_what_is_nearly_the_same_comes_behind(visit: Visit) -> None:
    """One note other, more or less is said in words, and never stands before what is exact."""
    page = visit().open(f"{FIND}?of=1+2+3+4")
    said = page.locator(".tp-found .tp-why").all_inner_texts()
    exact = [text.startswith("exactly") for text in said]
    assert exact == sorted(exact, reverse=True)
    assert any(text.startswith("one note missing") for text in said)


@ON_DISK
def test_what_can_mean_two_things_can_be_read_the_other_way(visit: Visit) -> None:
    """Numbers are degrees or a rhythm; the other reading is one press away and stands in the address."""
    page = visit().open(f"{FIND}?of=1+2+4")
    page.get_by_role("button", name="Read as a counted rhythm instead").click()
    expect(page.locator("#tp-understood")).to_contain_text("Read as a counted rhythm.")
    assert page.url.endswith("?of=1+2+4&as=rhythm")


@ON_DISK
def test_what_cannot_be_read_says_what_was_expected(visit: Visit) -> None:
    """The reader learns which word it was and what would do, and sees no list."""
    reader = visit()
    for address, fault in FAULTS:
        page = reader.open(FIND + address)
        expect(page.locator("#tp-understood")).to_have_text(fault)
        assert page.locator(".tp-found > li").count() == 0


@ON_DISK
def test_facets_alone_list_what_has_them(visit: Visit, site: Path) -> None:
    """Without notes, everything that has what was chosen; and more on demand."""
    listed = json.loads((site / "glossary.json").read_text(encoding="utf-8"))["devices"]
    wanted = [one["title"] for one in listed if one["level"] == 2 and "soul" in one["genres"]]
    page = visit().open(FIND)
    page.get_by_text("Narrow the list, by role, genre and more").click()
    page.get_by_label("Level").select_option("2")
    page.get_by_label("Genre").select_option("soul")
    assert page.url.endswith("?genre=soul&level=2")
    expect(page.locator(".tp-seek output")).to_have_text(f"{len(wanted)} devices")
    page.get_by_role("button", name="Show all").click()
    page.get_by_label("Hangs on").select_option("key")
    more = page.get_by_role("button", name="Show more")
    expect(page.locator(".tp-found > li")).to_have_count(12)
    more.click()
    expect(page.locator(".tp-found > li")).to_have_count(24)
    assert page.evaluate("document.activeElement.closest('li') !== null")


def _of_each_facet(device: dict[str, Any]) -> dict[str, set[str]]:
    """What a device has of each facet, by its notes in the site's JSON."""
    numbers = [Pitch.parse(one["pitch"]).midi for one in device["notes"]]
    bars = max(int(one["bar"]) for one in device["notes"])
    return {
        "role": set(device["role"]),
        "concept": set(device["concepts"]),
        "genre": set(device["genres"]),
        "level": {str(device["level"])},
        "hand": {one["hand"] for one in device["notes"]},
        "frame": {device["frame"]},
        "meter": {device["meter"]},
        "length": {"1"} if bars == 1 else {"2"} if bars == 2 else {"4"} if bars <= 4 else {"more"},
        "range": {str(many) for many in (1, 2, 3) if max(numbers) - min(numbers) <= 12 * many},
    }


@ON_DISK
def test_each_facet_lists_the_devices_that_have_it(visit: Visit, site: Path) -> None:
    """Every choice of role, concept, genre, level, hand, frame, meter, length and range."""
    listed = json.loads((site / "glossary.json").read_text(encoding="utf-8"))["devices"]
    devices = [_of_each_facet(one) for one in listed]
    page = visit().open(FIND)
    found = page.evaluate(
        """(names) => names.flatMap((name) => {
          const select = document.querySelector(`.tp-seek select[name=${name}]`);
          return [...select.options].slice(1).map(({ value }) => {
            select.value = value;
            select.dispatchEvent(new Event("change", { bubbles: true }));
            const said = document.querySelector(".tp-seek output").textContent;
            const asked = new URLSearchParams(location.search).get(name);
            select.value = "";
            return [name, value, asked, said];
          });
        })""",
        list(devices[0]),
    )
    expected = []
    for name, value, *_ in found:
        many = sum(value in device[name] for device in devices)
        expected.append([name, value, value, f"{many} device{'' if many == 1 else 's'}"])
    assert {name for name, *_ in found} == set(devices[0])
    assert found == expected


@ON_DISK
def test_keys_pressed_on_the_page_ask(visit: Visit) -> None:
    """What is clicked on the drawn keyboard is written as note names; the last is taken back."""
    page = visit().open(FIND)
    for midi in (57, 59, 61, 62, 64):
        page.locator(f".tp-touch [data-midi='{midi}']").dispatch_event("pointerdown", {"button": 0})
    page.get_by_role("button", name="Take the last note back").click()
    expect(page.locator("#tp-understood")).to_contain_text("Read as note names, in any key.")
    expect(_first(page).locator("a")).to_have_text("Walk-up to the four")
    expect(_first(page).locator(".tp-why")).to_have_text("exactly, from bar 1; at this pitch in A")


@ON_DISK
def test_a_midi_keyboard_asks_by_playing(visit: Visit) -> None:
    """Notes one after the other make a line, notes pressed together a chord."""
    reader = visit()
    reader.page.add_init_script(KEYBOARD)
    page = reader.open(FIND)
    page.get_by_role("button", name="Listen to a MIDI keyboard").click()
    expect(page.get_by_role("button", name="Listening to Stage keys")).to_be_visible()
    for place, midi in enumerate((57, 59, 61, 62)):
        page.evaluate(
            "([midi, time]) => { press(midi, time); press(midi, time + 9, 0); }", [midi, 1000 + 400 * place]
        )
    expect(page.get_by_label("What it is made of")).to_have_value("A B Db D")
    expect(_first(page).locator("a")).to_have_text("Walk-up to the four")
    page.get_by_role("button", name="Take the last note back").click()
    expect(page.get_by_label("What it is made of")).to_have_value("A B Db")
    page.get_by_role("button", name="Begin again").click()
    for place, midi in enumerate((53, 57, 60, 64)):
        page.evaluate("([midi, time]) => press(midi, time)", [midi, 9000 + 5 * place])
    expect(page.get_by_label("What it is made of")).to_have_value("(F A C E)")
    assert reader.faults == []


@ON_DISK
def test_the_keyboard_alone_asks_and_follows(visit: Visit) -> None:
    """From the field by Tab to the first answer, and by Enter to its page."""
    page = visit().open(FIND)
    page.get_by_label("What it is made of").focus()
    page.keyboard.type("1 2 3 4")
    page.keyboard.press("Enter")
    expect(_first(page).locator("a")).to_have_text("Walk-up to the four")
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.closest('.tp-found') !== null"):
            break
    page.keyboard.press("Enter")
    page.wait_for_url("**/devices/walk-up-to-the-four.html")


@ON_DISK
def test_without_scripts_the_page_leads_to_the_index(visit: Visit) -> None:
    """No dead form, and a way on."""
    page = visit(scripts=False).open(FIND)
    assert not page.locator(".tp-seek").is_visible()
    page.get_by_role("link", name="index of all devices").click()
    page.wait_for_url("**/devices/index.html")


@pytest.fixture(scope="module")
def reading(browser: Browser, site: Path) -> Iterator[Page]:
    """A page with the scripts that read and match, and an index of the demo."""
    context = browser.new_context(service_workers="block")
    context.add_init_script(STILL)
    page = context.new_page()
    page.add_init_script(
        "addEventListener('load', () => transposary.on('index', (it) => (window.index = it)))"
    )
    page.goto(f"{site.as_uri()}/{FIND}")
    page.add_script_tag(url=f"{site.as_uri()}/find/index.js")
    wait_until(page, "window.index && transposary.find && Boolean(transposary.find.rank)")
    yield page
    context.close()


def test_chord_symbols_and_numerals_are_read_as_the_build_reads_them(reading: Page) -> None:
    """Every suffix of the table of four libraries, ways to write them, and numerals: the same tones."""
    suffixes = [
        *AGREED,
        "Δ7",
        "-7",
        "ø7",
        "°7",
        "+7",
        "7(b9,#11)",
        "m(maj7)",
        "6/9",
        "sus",
        "9sus",
        "7alt",
        "alt",
    ]
    suffixes += [
        "C13",
        "add9",
        "mi7",
        "min9",
        "M7",
        "^",
        "ma9",
        "7(13)",
        "13(b9)",
        "7no5",
        "m11",
        "maj13",
        "11",
        "+maj7",
    ]
    suffixes = [suffix for suffix in suffixes if isinstance(tones_of(suffix), tuple)]
    expected = [mask_of(tones) for suffix in suffixes if isinstance(tones := tones_of(suffix), tuple)]
    script = "(all) => all.map((one) => transposary.find.tones(one, index.suffixes))"
    assert dict(zip(suffixes, reading.evaluate(script, suffixes), strict=True)) == dict(
        zip(suffixes, expected, strict=True)
    )
    numerals = [
        "I",
        "ii7",
        "V7",
        "Imaj7",
        "bVII7",
        "iiø7",
        "viio7",
        "#ivø7",
        "V7(b9)",
        "I6",
        "IV/6",
        "imaj7",
        "V+7",
        "Vsus4",
    ]
    wanted = []
    for text in numerals:
        numeral = parse_numeral(text)
        assert isinstance(numeral, Numeral), text
        chord = realise(numeral, Key(NoteName(0)))
        bass = None if chord.bass is None else chord.bass.pitch_class
        wanted.append([chord.root.pitch_class, mask_of(chord.tones), bass])
    script = """(all) => all.map((one) => transposary.find.read(one, "numerals", index.suffixes).items[0])
        .map(({ root, mask, bass }) => [root, mask, bass])"""
    assert reading.evaluate(script, numerals) == wanted


def test_every_device_of_the_demo_is_found_by_its_own_chords(reading: Page, site: Path) -> None:
    """Whoever types the chords or numerals of a device finds it exactly, in its own key."""
    listed = json.loads((site / "glossary.json").read_text(encoding="utf-8"))["devices"]
    asked = [
        [one["slug"], kind, " ".join(text)]
        for one in listed
        for kind, name in (("chords", "symbol"), ("numerals", "numeral"))
        if (text := [chord[name] for chord in one["harmony"] if chord["numeral"]])
    ]
    script = """(all) => all.filter(([slug, kind, text]) => {
        const device = index.devices.filter((one) => one.slug === slug);
        const query = transposary.find.read(text, kind, index.suffixes);
        const merged = query.items?.filter((one, at, row) => JSON.stringify({ ...one, text: "" })
            !== JSON.stringify({ ...row[at - 1], text: "" }));
        const [found] = query.fault ? [] : transposary.find.rank(device, { kind, items: merged });
        return !found || !found.exact || found.shift !== 0;
    })"""
    assert len(asked) > 90
    assert reading.evaluate(script, asked) == []


def _invented(rng: Random, count: int) -> list[dict[str, Any]]:
    """Makes devices of one voice of eight notes in a key of their own."""
    devices = []
    for number in range(count):
        home = rng.randrange(12)
        midi = [60 + home + rng.choice((0, 2, 3, 4, 5, 7, 9, 10)) for _ in range(8)]
        line = [[1 + place // 4, 48 * (place % 4), home, [place, note]] for place, note in enumerate(midi)]
        devices.append(
            {
                "slug": f"d{number}",
                "title": f"D{number}",
                "home": home,
                "facets": {},
                "lines": [line],
                "chords": [],
            }
        )
    return devices


def _holds(row: Sequence[int], wanted: Sequence[int]) -> bool:
    return any(list(row[at : at + len(wanted)]) == list(wanted) for at in range(len(row)))


def _near(wanted: Sequence[int]) -> set[tuple[int, ...]]:
    """Lists everything that is one note away: another note, one left out, one put in between."""
    row = tuple(wanted)
    found = {row}
    for at in range(len(row)):
        found.add(row[:at] + row[at + 1 :])
        for tone in range(12):
            found.add((*row[:at], tone, *row[at + 1 :]))
            if at:
                found.add((*row[:at], tone, *row[at:]))
    return found


def test_a_thousand_devices_are_matched_as_trying_everything_does(reading: Page) -> None:
    """In an invented index, degrees and notes find exactly those that hold them or are one note away."""
    rng = Random(5)  # noqa: S311  (test data, no secret)
    devices = _invented(rng, 1000)
    rows = {
        one["slug"]: [(note - one["home"]) % 12 for _, _, _, (_, note) in one["lines"][0]] for one in devices
    }
    stretches = {
        slug: {tuple(row[at : at + size]) for size in range(3, 7) for at in range(9 - size)}
        for slug, row in rows.items()
    }
    reading.evaluate("(devices) => { window.devices = devices; }", devices)
    script = """([kind, wanted]) => transposary.find
        .rank(devices, { kind, items: wanted.map((tone) => ({ mask: 1 << tone })) })
        .map(({ device, exact }) => [device.slug, exact])"""
    for wanted in ([0, 2, 4, 5], [7, 5, 3, 2, 0], [0, 4, 7, 9]):
        found = dict(reading.evaluate(script, ["degrees", wanted]))
        assert {slug for slug, exact in found.items() if exact} == {
            s for s, row in rows.items() if _holds(row, wanted)
        }
        near = _near(wanted)
        assert set(found) == {slug for slug, held in stretches.items() if held & near}
        found = dict(reading.evaluate(script, ["notes", wanted]))
        shifted = [[(tone + by) % 12 for tone in wanted] for by in range(12)]
        assert {slug for slug, exact in found.items() if exact} == {
            slug for slug, row in rows.items() if any(_holds(row, one) for one in shifted)
        }
