"""What to play next: the plan against SM-2 as published, Today from a first visit on, the record."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.reader import ON_DISK, Look, Reader, Visit

TODAY = "today.html"
COVERAGE = "coverage.html"
LESSON = "collections/first-left-hand.html"
SLOTS = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")

# Interval in days and factor after each answer, worked out from the rules as they were published
# (P. A. Wozniak, Optimization of learning, 1990); of the third row the first two factors.
VECTORS = (
    ([5] * 5, [1, 6, 17, 48, 140], [2.6, 2.7, 2.8, 2.9, 3.0]),
    ([4] * 5, [1, 6, 15, 38, 95], [2.5] * 5),
    ([3] * 10, [1, 6, 14, 30, 59, 107, 178, 271, 374, 487], [2.36, 2.22]),
)

ANSWERS = """(given) => {
  const { answer } = transposary.practice;
  const found = [];
  let state = null;
  for (const quality of given) {
    state = answer(state, quality, "2026-03-01");
    found.push([state.interval, state.factor, state.due]);
  }
  return found;
}"""

# Plans of made-up books on made-up days: each as [device, slot, minutes] of its lines, with what was asked.
PLANS = """() => {
  const { plan, SLOTS } = transposary.practice;
  let seed = 7;
  const draw = (most) => (seed = (seed * 48271) % 2147483647) % most;
  const found = [];
  for (let book = 0; book < 60; book++) {
    const pool = Array.from({ length: 1 + draw(5) }, (_, place) => {
      const keys = SLOTS.filter(() => draw(2));
      const level = draw(6) || null;
      return { slug: `d${place}`, level, home: SLOTS[draw(12)], keys, goal: 100, until: null, among: [] };
    });
    const takes = Array.from({ length: draw(30) }, (_, place) => ({
      device: `d${draw(6)}`, slot: SLOTS[draw(12)], at: `2026-02-${10 + Math.floor(place / 3)}T10:00:00.000`,
      tempo: 40 + draw(80), slips: draw(5),
    }));
    const order = ["fourths", "fifths", "semitones", "neighbours", "random", "listed"][book % 6];
    const wishes = { minutes: 3 + draw(60), order, fresh: book % 7 ? "" : "begun" };
    const line = ({ device, slot, minutes }) => [device.slug, slot, minutes];
    const lines = () => plan(pool, takes, "2026-03-01", wishes).map(line);
    const later = [...takes, { device: "d0", slot: "C", at: "2026-03-01T09:00:00.000", tempo: 90, slips: 0 }];
    const after = plan(pool, later, "2026-03-01", wishes).map(line);
    found.push({ minutes: wishes.minutes, lines: lines(), same: lines(), after });
  }
  return found;
}"""


@pytest.fixture
def reader(visit: Visit) -> Iterator[Reader]:
    """A reader of Today on the first of March."""
    reader = visit(width=360)
    _on(reader, 1)
    yield reader
    assert reader.faults == []


@pytest.fixture
def planning(look: Look) -> Page:
    """Today with its scripts, which plan for whom they are asked."""
    page = look(TODAY)
    expect(page.locator(".tp-lines > li").first).to_be_visible()
    return page


def _on(reader: Reader, day: int, hour: int = 10, minute: int = 0, month: int = 3) -> None:
    reader.page.clock.set_fixed_time(datetime(2026, month, day, hour, minute))  # noqa: DTZ001  (the reader's own clock)


def _today(reader: Reader, address: str = TODAY) -> Page:
    page = reader.open(address)
    expect(page.locator(".tp-lines > li").first).to_be_visible()
    return page


def _names(page: Page) -> list[str]:
    return page.locator(".tp-lines .tp-line-name").all_inner_texts()


def _write_down(page: Page, tempo: int, slips: int) -> None:
    line = page.locator(".tp-line[open]")
    line.get_by_label("Tempo reached").fill(str(tempo))
    line.get_by_label("Slips").fill(str(slips))
    line.get_by_role("button", name="Write it down").click()


def _barriers(reader: Reader) -> int:
    """Counts what axe-core finds; it asks for style sheets, which the disk refuses it."""
    assert reader.faults == []
    found: int = Axe().run(reader.page).violations_count
    reader.faults.clear()
    return found


def _kept(page: Page) -> list[dict[str, Any]]:
    takes: list[dict[str, Any]] = page.evaluate("transposary.record.read().takes")
    return takes


def test_intervals_are_those_of_sm2(planning: Page) -> None:
    """Answers of one quality give the published intervals and factors."""
    for given, intervals, factors in VECTORS:
        found = planning.evaluate(ANSWERS, given)
        assert [interval for interval, _, _ in found] == intervals
        assert [factor for _, factor, _ in found][: len(factors)] == factors
        assert found[-1][1] >= 1.3


def test_answers_follow_the_rules_of_sm2(planning: Page) -> None:
    """A wrong answer begins again without a change of the factor; right ones never shrink an interval.

    The changes of the factor are those of the published formula.
    """
    changes = {5: 2.6, 4: 2.5, 3: 2.36, 2: 2.5, 1: 2.5, 0: 2.5}
    assert {given: planning.evaluate(ANSWERS, [given])[0][1] for given in changes} == changes
    found = planning.evaluate(ANSWERS, [5, 5, 5, 2, 4, 4, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3])
    assert found[3] == [1, 2.8, "2026-03-02"]
    assert [interval for interval, _, _ in found[4:]] == sorted(interval for interval, _, _ in found[4:])
    assert found[4:6] == [[1, 2.8, "2026-03-02"], [6, 2.8, "2026-03-07"]]
    assert found[-1][1] == 1.3


def test_the_table_of_qualities_is_that_of_the_readme(planning: Page) -> None:
    """Slower is never better, more slips are never better, and the README shows every value."""
    tempos, slips = (100, 90, 70, 50, 49), (0, 1, 2, 4)
    table = planning.evaluate(
        "([tempos, slips]) => tempos.map((t) => slips.map((s) => transposary.practice.quality(t, s, 100)))",
        [tempos, slips],
    )
    for one, other in pairwise(table):
        assert all(faster >= slower for faster, slower in zip(one, other, strict=True))
    assert all(row == sorted(row, reverse=True) for row in table)
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    for row in table:
        assert f"| {' | '.join(map(str, row))} |" in readme


def test_plans_mix_devices_and_keys(planning: Page) -> None:
    """In sixty books: no device twice in a row, each key before any again, as long as was asked for.

    A plan depends on the record and the date alone, and not on what was played on that day.
    """
    for one in planning.evaluate(PLANS):
        lines = one["lines"]
        assert one["same"] == lines
        assert one["after"] == lines
        devices = [device for device, *_ in lines]
        if len(set(devices)) > 1:
            assert all(a != b for a, b in pairwise(devices))
        for device in set(devices):
            slots = [slot for name, slot, _ in lines if name == device]
            uses = [slots.count(slot) for slot in set(slots)]
            assert max(uses) - min(uses) <= 1
            first = slots[: len(set(slots))]
            assert len(set(first)) == len(first)
        if lines:
            assert abs(sum(minutes for _, _, minutes in lines) - one["minutes"]) <= 3


@pytest.mark.parametrize(
    ("order", "slots"),
    [
        ("fourths", ["G", "C", "F", "Bb", "Eb"]),
        ("fifths", ["G", "D", "A", "E", "B"]),
        ("semitones", ["G", "Ab", "A", "Bb", "B"]),
        ("neighbours", ["G", "D", "C", "A", "F"]),
    ],
)
def test_keys_come_in_the_order_chosen(planning: Page, order: str, slots: list[str]) -> None:
    """From the home key on they go round in fourths, fifths or semitones, or stay near it; all come."""
    device = {"slug": "walk", "home": "G", "keys": SLOTS}
    found = planning.evaluate("([one, order]) => transposary.practice.keysOf(one, order)", [device, order])
    assert found[:5] == slots
    assert sorted(found) == sorted(SLOTS)


def test_a_draw_of_keys_stays_as_it_is(planning: Page) -> None:
    """The order of chance begins at home, has all keys, and is drawn once for each device."""
    keys = """([slug]) => {
      const { keysOf, SLOTS } = transposary.practice;
      return keysOf({ slug, home: "G", keys: SLOTS }, "random");
    }"""
    one, same, other = (planning.evaluate(keys, [slug]) for slug in ("walk-up", "walk-up", "climb"))
    assert one == same != other
    assert one[0] == "G"
    assert sorted(one) == sorted(SLOTS)


@ON_DISK
def test_from_the_first_visit_to_a_month_later(reader: Reader) -> None:
    """New devices come a few at a time; what held comes back later, what did not at once and tomorrow."""
    page = _today(reader)
    first = _names(page)
    assert len(first) == 5
    assert first[0] != first[1]
    assert "new to you" in page.locator(".tp-line[open]").inner_text()
    goal = int(page.locator(".tp-line[open] [aria-pressed]").last.inner_text())
    _write_down(page, 2 * goal, 0)
    _write_down(page, 20, 9)
    assert page.locator(".tp-played").all_inner_texts()[0].endswith("0 slips. Planned again for 2 March.")
    waiting = page.locator(".tp-lines > li:not(.tp-played)")
    assert "once more today" in waiting.last.text_content()
    assert page.locator(".tp-lines > li").first.locator("details").get_attribute("open") is not None

    page = _today(reader)
    assert page.locator(".tp-played").count() == 2

    _on(reader, 2)
    page = _today(reader)
    assert set(_names(page)[:2]) == set(first[:2])
    assert "planned for today" in page.locator(".tp-line[open]").inner_text()
    page.locator(".tp-line", has_text=first[0]).first.evaluate("line => (line.open = true)")
    while page.locator(".tp-line[open]").count() > 1:
        page.locator(".tp-line[open]").last.evaluate("line => (line.open = false)")
    _write_down(page, 2 * goal, 0)

    _on(reader, 3)
    assert first[0] not in _names(_today(reader))[:1]
    _on(reader, 8)
    assert first[0] in _names(_today(reader))[:2]
    _on(reader, 2, month=4)
    page = _today(reader)
    assert set(_names(page)[:2]) == set(first[:2])
    assert "planned for 2 March" in page.locator(".tp-line[open]").inner_text()


@ON_DISK
def test_a_long_sitting_is_told_to_rest(reader: Reader) -> None:
    """After 25 minutes without a pause the page says so; a long plan has a rest in it."""
    page = _today(reader)
    page.get_by_label("Minutes").fill("45")
    page.get_by_label("Minutes").press("Tab")
    expect(page.locator(".tp-pause")).to_have_count(1)
    for minute in range(0, 24, 4):
        _on(reader, 1, minute=minute)
        _write_down(page, 60, 0)
    expect(page.locator(".tp-rest")).to_have_text("")
    _on(reader, 1, minute=26)
    _write_down(page, 60, 0)
    expect(page.locator(".tp-rest")).to_contain_text("Rest your hands for five")
    _on(reader, 1, hour=11)
    page = _today(reader)
    expect(page.locator(".tp-rest")).to_have_text("")


@ON_DISK
def test_new_devices_can_be_those_of_a_role_or_a_lesson(reader: Reader) -> None:
    """What is new comes from there alone, and what was begun comes all the same."""
    page = _today(reader)
    begun = _names(page)[0].partition(" in ")[0]
    _write_down(page, 20, 9)
    _on(reader, 2)
    page = _today(reader)
    page.get_by_text("Order of keys, new devices").click()
    pool: dict[str, list[str]] = page.evaluate(
        "Object.fromEntries(transposary.practice.pool().map(({ title, among }) => [title, among]))"
    )
    for name in ("bass", "Basses, from two notes to eight"):
        page.get_by_label("New devices").select_option(name)
        shown = {line.partition(" in ")[0] for line in _names(page)}
        assert begun in shown
        assert len(shown) > 1
        assert all(name in pool[title] for title in shown - {begun})
    page.get_by_label("New devices").select_option("begun")
    assert {line.partition(" in ")[0] for line in _names(page)} == {begun}


@ON_DISK
def test_what_was_written_down_can_be_taken_back(reader: Reader, visit: Visit, tmp_path: Path) -> None:
    """One step takes the last take out of plan and record, also where the record had been joined before."""
    page = _today(reader)
    first = _names(page)
    back = page.get_by_role("button", name="Take it back")
    expect(back).to_have_count(0)

    def saved(name: str) -> Path:
        with page.expect_download() as download:
            page.get_by_role("button", name="Save it as a file").click()
        download.value.save_as(tmp_path / name)
        return tmp_path / name

    _write_down(page, 60, 1)
    _on(reader, 1, minute=4)
    _write_down(page, 20, 9)
    kept = _kept(page)
    before = saved("before.json")
    expect(page.locator(".tp-practise > .tp-note").first).to_contain_text("20 with 9 slips")
    back.click()
    expect(page.locator(".tp-line[open] summary")).to_be_focused()
    assert _kept(page) == kept[:1]
    assert _names(page) == [*first[1:], first[0]]
    after = saved("after.json")
    page = _today(reader)
    assert _kept(page) == kept[:1]

    other = visit()
    _on(other, 1)
    there = _today(other)
    for file, takes in ((before, kept), (after, kept[:1]), (before, kept[:1])):
        there.locator("input[type=file]").set_input_files(file)
        expect(there.locator(".tp-record")).to_contain_text(f"{len(takes)} take")
        expect(there.locator(".tp-record")).to_contain_text("came from the file")
        assert _kept(there) == takes
    assert other.faults == []


@ON_DISK
def test_a_record_leaves_comes_back_and_joins(reader: Reader, visit: Visit, tmp_path: Path) -> None:
    """Saved as a file and joined to another browser's record, nothing is lost and nothing twice."""
    page = _today(reader)
    _write_down(page, 60, 1)
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save it as a file").click()
    assert saved.value.suggested_filename == "practice-2026-03-01.json"
    file = tmp_path / "record.json"
    saved.value.save_as(file)
    mine = _kept(page)
    assert json.loads(file.read_text()) == {"format": 1, "takes": mine}

    other = visit()
    _on(other, 2)
    there = _today(other)
    _write_down(there, 70, 0)
    theirs = _kept(there)
    for said in ("1 take came from the file", "0 takes came from the file"):
        there.locator("input[type=file]").set_input_files(file)
        expect(there.locator(".tp-record")).to_contain_text(said)
        assert _kept(there) == [*mine, *theirs]
    with there.expect_download() as table:
        there.get_by_role("button", name="Save it as a table").click()
    rows = Path(table.value.path()).read_text().splitlines()
    one = mine[0]
    assert rows[:2] == ["device,slot,date,tempo,slips", f"{one['device']},{one['slot']},2026-03-01,60,1"]
    assert other.faults == []


def test_joining_loses_nothing_in_any_order(planning: Page) -> None:
    """To join records is the same in any order, and twice is as good as once."""
    take = {"device": "a", "slot": "C", "at": "2026-03-01T10:00:00.000", "tempo": 80, "slips": 0}
    parts = [[take, {**take, "slips": 2}], [{**take, "at": "2026-02-01T10:00:00.000"}, take], []]
    found = planning.evaluate(
        """([a, b, c]) => {
          const { join } = transposary.record;
          return [join(a, b, c), join(c, b, a), join(join(b, a), join(a, c)), join(a, a, b, b)];
        }""",
        parts,
    )
    assert all(one == found[0] for one in found)
    assert len(found[0]) == 3


@ON_DISK
def test_other_files_are_refused_in_words(reader: Reader, tmp_path: Path) -> None:
    """What is no record, or one of another version, is refused, and the record stays."""
    page = _today(reader)
    _write_down(page, 60, 1)
    file = tmp_path / "other.json"
    refused = "The file is no practice record that this version of the book can read."
    for text, said in (
        ("{", refused),
        ('{"format": 2, "takes": {}}', f"{refused} Its format is 2, not 1."),
        ('{"format": 1, "takes": [{"device": "a", "slot": "H"}]}', refused),
    ):
        file.write_text(text)
        page.locator("input[type=file]").set_input_files(file)
        expect(page.get_by_role("alert")).to_have_text(said)
        assert len(_kept(page)) == 1


@ON_DISK
def test_a_record_that_cannot_be_read_is_put_aside(reader: Reader) -> None:
    """The page works, says so, and writes over nothing."""
    page = _today(reader)
    page.evaluate("localStorage.setItem('transposary.practice.1', '{\"format\": 9}')")
    page = _today(reader)
    _write_down(page, 60, 1)
    expect(page.get_by_role("alert")).to_have_text(
        "What this browser had kept could not be read and was put aside."
    )
    assert page.evaluate("localStorage.getItem('transposary.practice.1.unread')") == '{"format": 9}'
    assert len(_kept(page)) == 1
    page.evaluate("localStorage.setItem('transposary.practice.1', 'torn')")
    _today(reader)
    assert page.evaluate("localStorage.getItem('transposary.practice.1.unread')") == '{"format": 9}\ntorn'


@ON_DISK
def test_a_table_has_a_value_a_column(reader: Reader) -> None:
    """A name that came from somebody's file is no formula and no second value of the table."""
    take = {"device": '=A1,\n"x"', "slot": "C", "at": "2026-03-01T10:00:00.000", "tempo": 60, "slips": 1}
    page = _today(reader)
    kept = json.dumps({"format": 1, "takes": [take]})
    page.evaluate("text => localStorage.setItem('transposary.practice.1', text)", kept)
    page = _today(reader)
    with page.expect_download() as table:
        page.get_by_role("button", name="Save it as a table").click()
    saved = Path(table.value.path()).read_text()
    assert saved == "device,slot,date,tempo,slips\nA1x,C,2026-03-01,60,1\n"


@ON_DISK
def test_a_full_storage_is_said(reader: Reader) -> None:
    """What cannot be kept counts as long as the page is open, and can be saved as a file."""
    page = _today(reader)
    page.evaluate(
        """() => {
          Storage.prototype.setItem = () => {
            throw new DOMException("full", "QuotaExceededError");
          };
        }"""
    )
    _write_down(page, 60, 1)
    _write_down(page, 60, 1)
    expect(page.locator(".tp-played")).to_have_count(2)
    expect(page.get_by_role("alert")).to_have_text(
        "This browser keeps no more: what you play now is gone when you leave the page. "
        "Save your record as a file."
    )


@ON_DISK
def test_coverage_knows_old_names_and_keeps_unknown_ones(reader: Reader) -> None:
    """A renamed device is shown under its new name; one that is gone stays in the record."""
    page = reader.open(COVERAGE)
    expect(page.get_by_text("Nothing is written down yet.")).to_be_visible()
    names = page.evaluate("transposary.practice.pool().find(({ names }) => names.length > 1)")
    take = {"slot": names["home"], "at": "2026-03-01T10:00:00.000", "tempo": 80, "slips": 1}
    takes = [{**take, "device": names["names"][1]}, {**take, "device": "gone-for-good"}]
    page.evaluate("takes => transposary.record.add(takes)", takes)
    page = reader.open(COVERAGE)
    row = page.locator("tbody tr")
    expect(row).to_have_count(1)
    expect(row).to_contain_text(names["title"])
    expect(row).to_contain_text("1 slip")
    expect(page.get_by_text("Never out of the home key")).to_be_visible()
    expect(page.locator("[data-coverage] ul").last).to_contain_text(names["title"])
    expect(page.get_by_text("1 take of devices that this book does not have; they are kept.")).to_be_visible()
    box = page.locator(".tp-record").bounding_box()
    assert box is not None
    assert box["width"] > 300
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert _barriers(reader) == 0


@ON_DISK
def test_the_count_in_is_at_the_tempo_pressed(reader: Reader) -> None:
    """A bar is counted and clicks go on at that tempo until it is pressed again."""
    page = _today(reader)
    page.evaluate(
        "() => { window.asked = []; transposary.hear.start = (request) => asked.push(request.data.tempo); }"
    )
    button = page.locator(".tp-line[open] [aria-pressed]").first
    button.click()
    expect(button).to_have_attribute("aria-pressed", "true")
    assert page.evaluate("asked") == [int(button.inner_text())]


@ON_DISK
def test_the_notes_stand_one_step_away(reader: Reader) -> None:
    """The list shows name and key; the notes are shown in that key on request."""
    page = _today(reader)
    assert page.locator(".tp-lines svg").count() == 0
    link = page.locator(".tp-line[open]").get_by_role("link", name="Show the notes in")
    slot = (link.get_attribute("href") or "").partition("#")[2]
    link.click()
    expect(page.locator(f"figure[data-slot={slot}]")).to_be_visible()


@ON_DISK
def test_today_has_no_barrier_on_a_phone(reader: Reader) -> None:
    """Axe-core finds no violation while a line is open, and nothing scrolls sideways."""
    page = _today(reader)
    _write_down(page, 60, 1)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert _barriers(reader) == 0


@ON_DISK
def test_a_lesson_is_the_student_s_today(reader: Reader) -> None:
    """Only its devices come, those with the nearest day first, in its keys and with its goal."""
    page = _today(reader, LESSON)
    assert _names(page) == [
        "Walk-up to the four in G major",
        "Amen with a shadow in F major",
        "Walk-up to the four in C major",
        "Amen with a shadow in C major",
        "Walk-up to the four in F major",
    ]
    first = page.locator(".tp-line[open]")
    expect(first).to_contain_text("wanted by 28 April")
    _write_down(page, 84, 0)
    expect(page.locator(".tp-played")).to_contain_text(
        "84 beats a minute, 0 slips. Planned again for 2 March."
    )
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert _barriers(reader) == 0


@ON_DISK
def test_a_lesson_can_be_sent_as_a_link(reader: Reader, visit: Visit) -> None:
    """Whoever follows the link sees the same minutes and order; their own choices stay their own."""
    page = _today(reader, LESSON)
    page.get_by_label("Minutes").fill("9")
    page.get_by_text("Order of keys").click()
    page.get_by_label("Through the keys in").select_option("fifths")
    link = page.get_by_role("link", name="Link to this list").get_attribute("href") or ""
    assert link.endswith("first-left-hand.html?minutes=9&order=fifths#today")
    names = _names(page)

    other = visit()
    _on(other, 1)
    there = _today(other, f"{LESSON}{link[link.index('?') :]}")
    assert _names(there) == names
    assert len(names) == 3
    there = _today(other)
    expect(there.get_by_label("Minutes")).to_have_value("15")
    assert other.faults == []


@ON_DISK
def test_a_lesson_prints_as_a_hand_out(reader: Reader) -> None:
    """On paper stand what is wanted and the notes, and nothing that only works on a screen."""
    page = _today(reader, LESSON)
    page.emulate_media(media="print")
    expect(page.get_by_text("Wanted at 84 beats a minute by 28 April 2026")).to_be_visible()
    expect(page.locator(".tp-practise")).to_be_hidden()
    expect(page.get_by_text("Stop when it hurts")).to_be_visible()
    expect(page.locator(".tp-handout svg").first).to_be_visible()
