"""The words under the notes, and the keyboard under the engraving."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.reader import DEVICE, ON_DISK, OTHER_DEVICE, Visit


def _under(page: Page) -> list[str]:
    return page.locator("figure[data-slot]:visible svg [data-note] > text").all_text_contents()


@ON_DISK
def test_notes_wear_what_the_reader_chooses(visit: Visit) -> None:
    """Names follow the key, in the reader's own language, and degrees come back."""
    page = visit().open(f"{DEVICE}#Gb")
    choice = page.get_by_label("Under the notes")
    assert _under(page) == ["1", "2", "3", "4"]
    choice.select_option("note names")
    assert _under(page) == ["G♭", "A♭", "B♭", "C♭"]
    choice.select_option("note names, German (H, B)")
    assert _under(page) == ["Ges", "As", "B", "Ces"]
    choice.select_option("note names, do re mi")
    assert _under(page) == ["sol♭", "la♭", "si♭", "do♭"]
    page.get_by_role("tab", name="B", exact=True).click()
    assert _under(page) == ["si", "do♯", "re♯", "mi"]
    choice.select_option("nothing")
    assert _under(page) == ["", "", "", ""]
    choice.select_option("degrees")
    assert _under(page) == ["1", "2", "3", "4"]


@ON_DISK
def test_german_names(visit: Visit) -> None:
    """Common practice of German schools, no source: B is B flat, H is B, -es and -is alter."""
    names = {
        5: "H",
        -2: "B",
        -9: "Heses",
        6: "Fis",
        12: "His",
        13: "Fisis",
        -3: "Es",
        -4: "As",
        -6: "Ges",
        -7: "Ces",
        -10: "Eses",
        -11: "Ases",
        -12: "Deses",
    }
    page = visit().open(DEVICE)
    said = page.evaluate("all => all.map((fifths) => transposary.noteName(fifths, 'german'))", [*names])
    assert said == [*names.values()]


@ON_DISK
def test_a_trumpeter_reads_names_of_the_trumpet_and_sees_the_keys_of_the_piano(visit: Visit) -> None:
    """Under the notes stand written names, on the keyboard those that sound."""
    page = visit().open(DEVICE)
    page.get_by_label("Under the notes").select_option("note names")
    page.get_by_label("Written for").select_option("B♭ trumpet or clarinet")
    expect(page.locator("figure:visible svg [data-note='0'] > text").first).to_have_text("A")
    board = page.locator("figure:visible .tp-strip svg")
    assert board.locator(".tp-left text").all_text_contents() == ["G", "A", "B", "C"]
    assert page.locator(".tp-play").inner_text() == "Play in A"
    page.reload()
    assert page.locator(".tp-play").inner_text() == "Play in A"


def _written(page: Page, place: str) -> list[str]:
    return [text for text in page.locator(f"[data-applied] {place} > text").all_text_contents() if text]


@ON_DISK
def test_versions_as_played_follow(visit: Visit) -> None:
    """Both the version and the device above it, in one engraving or in two; without fingers degrees stay."""
    page = visit().open("devices/charleston.html")
    degrees = [_written(page, place) for place in ("[data-note]", "[data-above]")]
    assert all(degrees)
    choice = page.get_by_label("Under the notes")
    choice.select_option("note names")
    for place in ("[data-note]", "[data-above]"):
        names = _written(page, place)
        assert set("".join(names)) <= set("ABCDEFG♭♯")
        assert names
    choice.select_option("fingering (suggested)")
    assert [_written(page, place) for place in ("[data-note]", "[data-above]")] == degrees
    page = visit().open("devices/climb-to-the-five.html")
    page.get_by_label("Under the notes").select_option("note names, German (H, B)")
    for figure in page.locator("[data-applied] figure").all():
        names = figure.locator("[data-note] > text").all_text_contents()
        assert set("".join(names)) <= set("ACDEFGHBis")
        assert "Fis" in names


@ON_DISK
def test_the_choice_is_remembered(visit: Visit) -> None:
    """Whoever reads names reads them on the next page, too."""
    page = visit().open(DEVICE)
    page.get_by_label("Under the notes").select_option("note names")
    page.goto(page.url.replace(DEVICE, OTHER_DEVICE).partition("#")[0] + "#C")
    assert page.get_by_label("Under the notes").input_value() == "english"
    assert _under(page)[0] in "CDEFGAB"


@ON_DISK
def test_the_keyboard_says_which_keys_and_which_hand(visit: Visit) -> None:
    """The whole figure first, then a moment; shape and letter tell the hand."""
    page = visit().open(DEVICE)
    board = page.locator("figure:visible .tp-strip svg")
    expect(board).to_have_attribute("aria-label", "Keyboard: left hand G2 (1), A2 (2), B2 (3), C3 (4)")
    assert board.locator(".tp-left rect").count() == 4
    assert board.locator(".tp-hand").all_text_contents() == ["L"] * 4
    page.get_by_label("Moment").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    expect(board).to_have_attribute("aria-label", "Keyboard: left hand A2 (2)")
    assert page.locator(".tp-moment output").inner_text() == "bar 1, beat 3"
    page.get_by_label("Under the notes").select_option("note names")
    page.get_by_role("tab", name="E♭", exact=True).click()
    expect(board).to_have_attribute("aria-label", "Keyboard: left hand F2 (F)")


@ON_DISK
def test_a_note_of_the_engraving_chooses_its_moment(visit: Visit) -> None:
    """A press on a note shows where it lies on the keyboard."""
    page = visit().open(DEVICE)
    page.locator("figure:visible [data-note='2'] use").first.click()
    board = page.locator("figure:visible .tp-strip svg")
    expect(board).to_have_attribute("aria-label", "Keyboard: left hand B2 (3)")


@ON_DISK
def test_a_keyboard_can_be_played_without_a_mouse(visit: Visit) -> None:
    """As an input it is one stop of the Tab key; arrows walk by semitones, Enter plays."""
    page = visit().open(DEVICE)
    page.evaluate(
        """() => {
          window.pressed = [];
          const place = document.createElement("div");
          place.id = "here";
          document.querySelector(".tp-page").prepend(place);
          const onPress = (midi) => pressed.push(midi);
          transposary.strip(place, { from: 60, to: 71, name: "Enter notes", onPress });
        }"""
    )
    board = page.get_by_role("group", name="Enter notes")
    assert board.get_by_role("button").count() == 12
    board.locator("[tabindex='0']").focus()
    for key in ("Enter", "ArrowRight", " ", "End", "Enter"):
        page.keyboard.press(key)
    board.get_by_role("button", name="E4").click()
    assert page.evaluate("pressed") == [60, 61, 71, 64]


@ON_DISK
def test_a_key_that_both_hands_strike_has_one_mark(visit: Visit) -> None:
    """Marks of two hands do not cover each other; disc, square and letters still tell both."""
    page = visit().open("devices/locked-hands-climb.html")
    board = page.locator("figure:visible .tp-strip svg")
    assert board.locator(".tp-marks-on-keys g:has(rect):has(circle)").count() == 7
    assert board.locator(".tp-hand").all_text_contents().count("LR") == 7
