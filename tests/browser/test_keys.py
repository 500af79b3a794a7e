"""The key picker of a device page."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.reader import DEVICE, ON_DISK, OTHER_DEVICE, Visit

SLOTS = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]


def _shown(page: Page) -> list[str]:
    figures = page.locator("[data-device] figure[data-slot]:visible")
    return [figure.get_attribute("data-slot") or "" for figure in figures.all()]


def _chosen(page: Page) -> list[str]:
    return page.get_by_role("tab", selected=True).all_inner_texts()


@ON_DISK
def test_without_scripts_all_twelve_keys_stand_below_each_other(visit: Visit) -> None:
    """A reader without scripts, or with a printer, has the device in every key."""
    page = visit(scripts=False).open(DEVICE)
    assert _shown(page) == SLOTS
    boxes = [figure.bounding_box() for figure in page.locator("figure[data-slot]:has(svg)").all()]
    tops = [box["y"] for box in boxes if box is not None]
    assert len(tops) == 12
    assert tops == sorted(set(tops))


@ON_DISK
def test_a_new_reader_sees_the_key_in_which_the_device_was_learnt(visit: Visit) -> None:
    """The home key shows first, alone."""
    page = visit().open(DEVICE)
    assert _shown(page) == ["G"]
    assert _chosen(page) == ["G"]


def test_the_key_chosen_is_shown_and_goes_along_to_the_next_device(visit: Visit) -> None:
    """A reader who practises in E♭ finds the next device in E♭."""
    page = visit().open(DEVICE)
    page.get_by_role("tab", name="E♭", exact=True).click()
    assert _shown(page) == ["Eb"]
    assert page.url.endswith("#Eb")
    page.goto(page.url.replace(DEVICE, OTHER_DEVICE).partition("#")[0])
    assert _shown(page) == ["Eb"]
    assert _chosen(page) == ["E♭"]


@ON_DISK
def test_the_key_in_the_address_wins_over_the_remembered_one(visit: Visit) -> None:
    """A link to a device in a key shows that key."""
    reader = visit()
    reader.open(f"{DEVICE}#Bb")
    assert _shown(reader.page) == ["Bb"]
    reader.open(f"{OTHER_DEVICE}#A")
    assert _shown(reader.page) == ["A"]


@ON_DISK
def test_the_back_button_returns_to_the_key_before(visit: Visit) -> None:
    """Each key chosen with the mouse is a step that can be taken back."""
    page = visit().open(f"{DEVICE}#C")
    page.get_by_role("tab", name="D", exact=True).click()
    page.get_by_role("tab", name="B♭", exact=True).click()
    page.go_back()
    assert _shown(page) == ["D"]
    page.go_back()
    assert _shown(page) == ["C"]


@ON_DISK
def test_arrow_keys_walk_through_the_keys(visit: Visit) -> None:
    """The row of keys is one stop of the Tab key; arrows, Home and End move within it."""
    page = visit().open(f"{DEVICE}#B")
    page.get_by_role("tab", name="B", exact=True).focus()
    page.keyboard.press("ArrowRight")
    assert _shown(page) == ["C"]
    page.keyboard.press("ArrowLeft")
    assert _shown(page) == ["B"]
    page.keyboard.press("Home")
    page.keyboard.press("ArrowRight")
    assert _shown(page) == ["Db"]
    page.keyboard.press("End")
    assert _shown(page) == ["B"]
    page.keyboard.press("Tab")
    assert page.locator("[role=tab]:focus").count() == 0


@ON_DISK
def test_a_browser_that_stores_nothing_still_changes_keys(visit: Visit) -> None:
    """Where storage throws, the picker works and merely forgets."""
    reader = visit()
    reader.page.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('refused'); } });"
    )
    page = reader.open(DEVICE)
    page.get_by_role("tab", name="F", exact=True).click()
    assert _shown(page) == ["F"]


@ON_DISK
def test_a_link_to_a_heading_leaves_the_key_alone(visit: Visit) -> None:
    """An anchor that is no key is followed as ever."""
    reader = visit()
    reader.open(f"{DEVICE}#Ab")
    heading = reader.page.locator("h2[id]").first.get_attribute("id")
    reader.open(f"{DEVICE}#{heading}")
    assert _shown(reader.page) == ["Ab"]


@ON_DISK
def test_all_twelve_keys_can_be_laid_out_and_put_away(visit: Visit) -> None:
    """A reader who wants a sheet to practise from gets it, and returns to the key before."""
    page = visit().open(f"{DEVICE}#Ab")
    page.get_by_role("button", name="All twelve keys").click()
    assert _shown(page) == SLOTS
    page.get_by_role("button", name="All twelve keys").click()
    assert _shown(page) == ["Ab"]


@ON_DISK
def test_going_on_to_the_next_key_leaves_all_twelve_open(visit: Visit) -> None:
    """The key is chosen among all of them and comes into sight; a key in the row shows it alone."""
    page = visit().open(f"{DEVICE}#Ab")
    page.get_by_role("button", name="All twelve keys").click()
    page.get_by_role("button", name="Next key").click()
    assert _shown(page) == SLOTS
    assert _chosen(page) == ["D♭"]
    expect(page.locator("figure[data-slot=Db]")).to_be_in_viewport()
    page.get_by_role("tab", name="G", exact=True).click()
    assert _shown(page) == ["G"]
