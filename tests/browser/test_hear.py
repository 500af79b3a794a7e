"""The player: when it sounds what, against the MIDI files of the site and the rules of swing."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import mido
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.reader import DEVICE, ON_DISK, Look, Visit, wait_until

ENDINGS = "open-fifth-introduction"
# A plain bass, a grace note, two hands, a triplet pickup, swung sixteenths; a repeat with what
# follows, one with ties, one with two endings.
SLUGS = (
    "walk-up-to-the-four",
    "crushed-third",
    "locked-hands-climb",
    "bebop-dominant-descent",
    "three-six-two-five-tag",
    "late-sixteenths",
    ENDINGS,
)
PLAYED = "devices/climb-to-the-five.html"
KEYS = ("C", "Gb", "A")
MS = 0.001
# Keeps what the player gives to its sounds, and where they go.
RECORD = """() => {
  const tone = transposary.tone;
  window.sounded = [];
  window.buses = [];
  window.ended = [];
  transposary.tone = (context, bus) => {
    const real = tone(context, bus);
    const number = buses.push(bus) - 1;
    const end = bus.disconnect.bind(bus);
    bus.disconnect = () => {
      ended.push(number);
      end();
    };
    const play = (event, time) => {
      sounded.push({ ...event, wait: time - context.currentTime, time, bus: number });
      real.play(event, time);
    };
    return { play };
  };
}"""


def _plan(page: Page, slot: str, **options: object) -> dict[str, Any]:
    plan: dict[str, Any] = page.evaluate(
        """([slot, options]) => {
          const data = transposary.notes(document.querySelector("[data-device]"));
          return transposary.plan(data, slot, options);
        }""",
        [slot, options],
    )
    return plan


def _made(page: Page, notes: list[tuple[float, float]], **data: object) -> list[float]:
    """Plans a line of made-up notes, and gives their onsets in quarter notes."""
    found: list[float] = page.evaluate(
        """([notes, given]) => {
          const data = {
            tempo: 60, feel: "straight", unit: 8, symbols: [],
            bars: [{ number: 1, onset: 0, duration: 4, beat: 1 }],
            notes: notes.map(([onset, duration], index) => {
              return { voice: "RH", hand: "RH", onset, duration, index };
            }),
            keys: { C: { midi: notes.map(() => 60) } },
            ...given,
          };
          return transposary.plan(data, "C", { click: false }).events.map(({ time }) => time);
        }""",
        [notes, data],
    )
    return found


def _in_file(path: Path) -> list[tuple[int, float, float]]:
    """Reads the notes of a MIDI file as number, onset and length in seconds."""
    found, held, now = [], {}, 0.0
    for message in mido.MidiFile(path):
        now += message.time
        if message.type == "note_on" and message.velocity:
            held[message.channel, message.note] = now
        elif message.type in {"note_on", "note_off"}:
            begun = held.pop((message.channel, message.note))
            found.append((message.note, begun, now - begun))
    return sorted(found)


@pytest.mark.parametrize("slug", SLUGS)
def test_it_plays_what_the_midi_file_has(look: Look, site: Path, slug: str) -> None:
    """In three keys every note comes as in the file that the page offers, to a millisecond."""
    page = look(f"devices/{slug}.html")
    for slot in KEYS:
        events = _plan(page, slot, click=False, feel="straight")["events"]
        played = sorted((one["midi"], one["time"], one["length"]) for one in events)
        expected = _in_file(site / "devices" / slug / f"{slot}.mid")
        assert [number for number, _, _ in played] == [number for number, _, _ in expected]
        for one, other in zip(played, expected, strict=True):
            assert one[1:] == pytest.approx(other[1:], abs=MS)


def test_repeats_are_played_and_marked_again(look: Look) -> None:
    """A bar and its first ending, the bar and its second: notes, chords and click; chosen bars once."""
    page = look(f"devices/{ENDINGS}.html")
    whole = _plan(page, "Gb", under="bass")
    bar = whole["length"] / 4
    right = page.evaluate("""transposary.notes(document.querySelector("[data-device]")).notes
      .filter(({ hand }) => hand === "RH").map(({ index }) => index)""")
    sounded = [index for mark in whole["marks"] for index in mark["notes"] if index in right]
    first = [index for place, index in enumerate(sounded) if sounded[place - 1] != index]
    assert first == [*right[:6], *right[6:8], *right[:6], right[8]]
    symbols = {round(mark["time"] / bar, 3): mark["symbol"] for mark in whole["marks"]}
    assert [symbols[place] for place in range(5)] == [0, 1, 0, 2, -1]
    basses = [one["midi"] for one in whole["events"] if one["kind"] == "bass"]
    assert [midi - basses[0] for midi in basses] == [0, -2, 0, 0]
    accents = [one["time"] for one in whole["events"] if one["kind"] == "click" and one["accent"]]
    assert accents == pytest.approx([place * bar for place in range(4)])
    chosen = _plan(page, "Gb", first=0, last=1)
    assert chosen["length"] == pytest.approx(2 * bar)


def test_feels(look: Look) -> None:
    """Off-beats come at two thirds, triplets stay, and the pairs can be of sixteenths.

    Common practice: swing of moderate tempo and shuffle are notated as a quarter and an eighth of
    a triplet.
    """
    page = look(DEVICE)
    eighths = [(place / 2, 0.5) for place in range(4)]
    assert _made(page, eighths) == [0, 0.5, 1, 1.5]
    assert _made(page, eighths, feel="shuffle") == pytest.approx([0, 2 / 3, 1, 5 / 3])
    assert _made(page, eighths, feel="swing") == pytest.approx([0, 2 / 3, 1, 5 / 3])
    triplet = [(0, 1 / 3), (0.33333, 1 / 3), (0.66667, 1 / 3), (1, 0.5), (1.5, 0.5)]
    assert _made(page, triplet, feel="shuffle") == pytest.approx([0, 1 / 3, 2 / 3, 1, 5 / 3], abs=1e-4)
    sixteenths = [(place / 4, 0.25) for place in range(4)]
    swung = [0, 1 / 3, 0.5, 0.5 + 1 / 3]
    assert _made(page, sixteenths, feel="swing", unit=16) == pytest.approx(swung)
    pickup = [{"number": 0, "onset": -0.5, "duration": 0.5, "beat": 1}]
    bars = [*pickup, {"number": 1, "onset": 0, "duration": 4, "beat": 1}]
    upbeat = _made(page, [(-0.5, 0.5), (0, 1)], feel="shuffle", bars=bars)
    # The stretch begins where the pickup is written, and the swung note a sixth later.
    assert upbeat == pytest.approx([1 / 6, 0.5])


def test_fast_swing_is_more_even(look: Look) -> None:
    """The long part shrinks as the tempo rises; at 320 beats a minute nothing swings."""
    page = look(DEVICE)
    eighths = [(0, 0.5), (0.5, 0.5)]
    late = [_made(page, eighths, feel="swing", tempo=tempo)[1] * tempo / 60 for tempo in (120, 220, 320)]
    assert late == pytest.approx([2 / 3, 0.6, 0.5])


def test_half_and_double_time_leave_the_click_alone(look: Look) -> None:
    """The notes take twice or half the time; the beat that is counted stays."""
    page = look(DEVICE)
    beat = 60 / 88
    for feel, factor in (("half", 2), ("double", 0.5)):
        plan = _plan(page, "G", feel=feel)
        clicks = [one["time"] for one in plan["events"] if one["kind"] == "click"]
        assert plan["length"] == pytest.approx(8 * beat * factor)
        assert clicks == pytest.approx([place * beat for place in range(int(8 * factor))])


def test_bars_hands_and_what_is_put_under(look: Look) -> None:
    """Chosen bars begin at nothing; a muted hand is marked and not heard; chords stay in four tones."""
    page = look(DEVICE)
    second = _plan(page, "G", first=1, last=1, under="chords bass", click=False)
    kinds = [(one["kind"], one["midi"], one["time"]) for one in second["events"]]
    # C major over the walk-up in G: C4, E4 and G3 as a chord, C2 as its bass, and the note C3.
    assert sorted(kinds) == [
        ("bass", 36, 0),
        ("chord", 55, 0),
        ("chord", 60, 0),
        ("chord", 64, 0),
        ("note", 48, 0),
    ]
    muted = _plan(page, "G", muted="LH", click=False)
    assert muted["events"] == []
    assert [mark["notes"] for mark in muted["marks"]] == [[0], [1], [2], [3], [], []]
    assert [mark["symbol"] for mark in muted["marks"]] == [0, 0, 0, 1, 1, -1]


def test_a_bar_is_counted_before(look: Look) -> None:
    """Four beats before a bar of four; before a pickup also the beats up to it."""
    page = look(DEVICE)
    count = """() => transposary.countIn(transposary.notes(document.querySelector("[data-device]")), {})"""
    beat = 60 / 88
    found = page.evaluate(count)
    assert [one["time"] for one in found["events"]] == pytest.approx([0, beat, 2 * beat, 3 * beat])
    assert [one["accent"] for one in found["events"]] == [True, False, False, False]
    assert found["length"] == pytest.approx(4 * beat)
    page = look("devices/bebop-dominant-descent.html")
    found = page.evaluate(count)
    # A triplet of eighths, one beat: it comes after seven.
    beat = 60 / 160
    assert [one["time"] for one in found["events"]] == pytest.approx([place * beat for place in range(7)])
    assert found["length"] == pytest.approx(7 * beat)


def test_rounds_do_not_drift(look: Look) -> None:
    """Over a minute, fetched in uneven steps, every round begins where the sum of all lengths says."""
    page = look(DEVICE)
    found = page.evaluate(
        """() => {
          const data = transposary.notes(document.querySelector("[data-device]"));
          const plan = (slot) => transposary.plan(data, slot, { percent: 97 });
          const slots = ["G", "C", "F"];
          let round = 0;
          const line = transposary.rounds(plan("G"), () => plan(slots[++round % 3]));
          const times = [];
          for (let now = 0, step = 1; now < 60; step++) {
            now += 0.01 + (step % 7) / 20;
            times.push(...line.take(now).filter(({ accent }) => accent).map(({ time }) => time));
          }
          return { times, length: plan("G").length };
        }"""
    )
    bar = found["length"] / 2
    assert len(found["times"]) > 20
    assert found["times"] == pytest.approx([place * bar for place in range(len(found["times"]))], abs=1e-6)


def test_tones_have_their_pitch_and_begin_in_time(look: Look) -> None:
    """Rendered without a loudspeaker, each note of the walk-up is the strongest in its time.

    Measured by the Goertzel algorithm at 97 eighth tones around it, from A4 = 440 Hz (ISO 16:1975;
    note 69 of MIDI 1.0); nothing is clipped, and a pitch is not heard before its time.
    """
    page = look(DEVICE)
    found = page.evaluate(
        """async () => {
          const data = transposary.notes(document.querySelector("[data-device]"));
          const { events, length } = transposary.plan(data, "G", { click: false });
          const context = new OfflineAudioContext(1, Math.ceil(22050 * (length + 0.5)), 22050);
          const tone = transposary.tone(context, context.destination);
          for (const event of events) tone.play(event, event.time + 0.2);
          const samples = (await context.startRendering()).getChannelData(0);
          const strength = (midi, from, seconds) => {
            const turn = (2 * Math.PI * 440 * 2 ** ((midi - 69) / 12)) / 22050;
            const part = samples.subarray(Math.round(from * 22050), Math.round((from + seconds) * 22050));
            let [before, last] = [0, 0];
            for (const sample of part) [before, last] = [last, sample + 2 * Math.cos(turn) * last - before];
            return Math.sqrt(before ** 2 + last ** 2 - 2 * Math.cos(turn) * before * last) / part.length;
          };
          const strongest = ({ midi, time }) => {
            const near = Array.from({ length: 97 }, (_, place) => midi - 12 + place / 4);
            const loud = (one) => strength(one, time + 0.25, 0.4);
            return near.reduce((most, one) => (loud(one) > loud(most) ? one : most));
          };
          return {
            peak: samples.reduce((most, one) => Math.max(most, Math.abs(one)), 0),
            first: samples.findIndex((one) => one !== 0) / 22050,
            pitches: events.map((event) => [event.midi, strongest(event)]),
            early: events.map(({ midi, time }) => {
              return strength(midi, time, 0.19) / strength(midi, time + 0.21, 0.19);
            }),
          };
        }"""
    )
    assert 0.05 < found["peak"] < 1
    assert found["first"] == pytest.approx(0.2, abs=0.002)
    assert [heard for _, heard in found["pitches"]] == [midi for midi, _ in found["pitches"]]
    assert max(found["early"]) < 0.35


def test_full_chords_at_full_volume_are_not_clipped(look: Look) -> None:
    """Five notes at once, struck with the click, stay within what a loudspeaker can be given."""
    page = look("devices/locked-hands-climb.html")
    peak = page.evaluate(
        """async () => {
          const data = transposary.notes(document.querySelector("[data-device]"));
          const { events, length } = transposary.plan(data, "Eb", {});
          const context = new OfflineAudioContext(1, Math.ceil(22050 * length), 22050);
          const tone = transposary.tone(context, transposary.output(context, 1));
          for (const event of events) tone.play(event, event.time);
          const samples = (await context.startRendering()).getChannelData(0);
          return samples.reduce((most, one) => Math.max(most, Math.abs(one)), 0);
        }"""
    )
    assert 0.3 < peak < 1


@ON_DISK
def test_it_starts_at_once_and_stops_at_once(visit: Visit) -> None:
    """The first sound lies within a tenth of a second of the press; the second press ends all marks."""
    page = visit().open(DEVICE)
    page.evaluate(RECORD)
    page.locator("summary", has_text="How it is played").click()
    page.get_by_label("Count a bar first").uncheck()
    page.get_by_role("button", name="Play in G").click()
    expect(page.locator("figure[data-slot=G] [data-note='0'].tp-sounds")).to_have_count(1)
    expect(page.locator("figure[data-slot=G] [data-symbol='0'].tp-sounds")).to_have_count(1)
    first = page.evaluate("sounded[0]")
    assert 0 < first["wait"] < 0.1
    page.get_by_role("button", name="Stop").click()
    assert page.locator(".tp-sounds").count() == 0
    assert page.get_by_role("button", name="Play in G").is_visible()


@ON_DISK
def test_audio_wakes_before_the_press_is_a_click(visit: Visit) -> None:
    """The first audio of a browser needs a moment, which the button going down and up gives it."""
    page = visit().open(DEVICE)
    page.evaluate(
        """() => {
          window.made = 0;
          const Real = AudioContext;
          window.AudioContext = function (options) {
            made += 1;
            return new Real(options);
          };
        }"""
    )
    page.get_by_role("button", name="Play in G").hover()
    assert page.evaluate("made") == 0
    page.mouse.down()
    assert page.evaluate("made") == 1
    page.mouse.up()
    expect(page.get_by_role("button", name="Stop")).to_be_visible()
    expect(page.locator(".tp-sounds").first).to_be_attached()
    assert page.evaluate("made") == 1


@ON_DISK
def test_nothing_sounds_twice_at_once(visit: Visit) -> None:
    """Another key chosen while it plays begins anew; what was scheduled in the old one is ended."""
    page = visit().open(DEVICE)
    page.evaluate(RECORD)
    page.get_by_role("button", name="Play in G").click()
    wait_until(page, "sounded.length > 0")
    page.get_by_role("tab", name="B♭", exact=True).click()
    page.evaluate("transposary.hear.sound(60)")
    wait_until(page, "ended.length > 0 && sounded.some(({ bus, kind }) => bus === 1 && kind === 'note')")
    assert page.evaluate("[buses.length, ended]") == [2, [0]]
    buses = page.evaluate("sounded.map(({ bus }) => bus)")
    assert buses == sorted(buses)
    after = page.evaluate("sounded.filter(({ bus }) => bus === 1).find(({ kind }) => kind === 'note').midi")
    assert after == _plan(page, "Bb", click=False)["events"][0]["midi"]


@ON_DISK
def test_through_the_keys_and_faster(visit: Visit) -> None:
    """After each round the next key comes, a fourth on, and the tempo rises by the step."""
    page = visit().open(DEVICE)
    page.locator("summary", has_text="How it is played").click()
    page.get_by_label("Count a bar first").uncheck()
    page.get_by_label("From bar").select_option("2")
    page.get_by_label("At the end").select_option("go to the next key")
    page.get_by_label("Faster each time by").fill("10")
    page.get_by_label("Tempo").fill("150")
    page.get_by_label("Feel").select_option("double time")
    page.get_by_role("button", name="Play in G").click()
    expect(page.get_by_role("tab", name="F", exact=True)).to_have_attribute("aria-selected", "true")
    assert page.get_by_label("Tempo").input_value() == "160"
    page.get_by_role("button", name="Stop").click()
    page.reload()
    assert page.get_by_label("At the end").input_value() == "next"


@ON_DISK
def test_the_next_key_goes_round_as_chosen(visit: Visit) -> None:
    """In fourths, fifths or semitones all twelve keys come, and then the first again.

    Common practice, no source: round the circle of fourths each key is the fourth of the one
    before; fifths are the same backwards.
    """
    page = visit().open(f"{DEVICE}#C")
    page.locator("summary", has_text="How it is played").click()
    ways = {
        "fourths": "F B♭ E♭ A♭ D♭ G♭ B E A D G C",
        "fifths": "G D A E B G♭ D♭ A♭ E♭ B♭ F C",
        "semitones up": "D♭ D E♭ E F G♭ G A♭ A B♭ B C",
        "semitones down": "B B♭ A A♭ G G♭ F E E♭ D D♭ C",
    }
    for way, keys in ways.items():
        page.get_by_label("Keys in").select_option(way)
        seen = page.evaluate(
            """() => Array.from({ length: 12 }, () => {
              document.querySelector("button[name=next]").click();
              return document.querySelector(".tp-picker [aria-selected=true]").textContent;
            })"""
        )
        assert seen == keys.split()


@ON_DISK
def test_every_feel_and_tempo_can_be_heard(visit: Visit) -> None:
    """Each choice sounds as planned; from 40 to 160 % the page says how many beats a minute that is."""
    page = visit().open(DEVICE)
    page.evaluate(RECORD)
    page.locator("summary", has_text="How it is played").click()
    page.get_by_label("Count a bar first").uncheck()
    for percent, pace in (("40", "35"), ("100", "88"), ("160", "141")):
        page.get_by_label("Tempo").fill(percent)
        said = page.locator(".tp-tool[aria-label=Hear] output").inner_text()
        assert said == f"{pace} beats a minute, {percent} %"
    page.get_by_label("Under it").select_option("chords and bass")
    feels = page.get_by_label("Feel")
    for feel in ("straight", "swing", "shuffle", "half", "double"):
        feels.select_option(feel)
        page.evaluate("sounded.length = 0")
        page.get_by_role("button", name="Play in G").click()
        wait_until(page, "sounded.filter(({ kind }) => kind !== 'click').length > 5")
        page.get_by_role("button", name="Stop").click()
        heard = page.evaluate("sounded")
        planned = _plan(page, "G", percent=160, feel=feel, under="chords bass")["events"]
        for one, event in zip(heard, planned, strict=False):
            assert (one["kind"], one["midi"]) == (event["kind"], event["midi"])
            assert one["time"] - heard[0]["time"] == pytest.approx(event["time"], abs=5 * MS)


@ON_DISK
def test_chosen_bars_and_hands_are_heard(visit: Visit) -> None:
    """One bar of one hand goes round and round as planned."""
    page = visit().open("devices/three-six-two-five-tag.html#F")
    page.evaluate(RECORD)
    page.locator("summary", has_text="How it is played").click()
    page.get_by_label("Count a bar first").uncheck()
    page.get_by_label("Click").uncheck()
    page.get_by_label("At the end").select_option("play it again")
    page.get_by_label("Tempo").fill("160")
    page.get_by_label("From bar").select_option("2")
    page.get_by_label("To bar").select_option("2")
    page.get_by_role("checkbox", name="Left hand").uncheck()
    page.get_by_role("button", name="Play in F").click()
    plan = _plan(page, "F", percent=160, first=1, last=1, muted="LH", click=False)
    assert plan["events"]
    wait_until(page, "(many) => sounded.length >= 2 * many", len(plan["events"]))
    page.get_by_role("button", name="Stop").click()
    heard = page.evaluate("sounded")
    planned = [
        (one["midi"], one["time"] + turn * plan["length"]) for turn in range(2) for one in plan["events"]
    ]
    for one, (midi, time) in zip(heard, planned, strict=False):
        assert one["midi"] == midi
        assert one["time"] - heard[0]["time"] == pytest.approx(time - planned[0][1], abs=5 * MS)


@ON_DISK
def test_tapping_sets_the_tempo(visit: Visit) -> None:
    """Taps half a second apart ask for 120 beats a minute, of the 88 that the entry has."""
    page = visit().open(DEVICE)
    page.evaluate(
        """() => {
          const buttons = [...document.querySelectorAll(".tp-tools button")];
          const tap = buttons.find((one) => one.textContent === "Tap the beat");
          for (const time of [1000, 1500, 2000, 2500]) {
            const press = new MouseEvent("click");
            Object.defineProperty(press, "timeStamp", { value: time });
            tap.dispatchEvent(press);
          }
        }"""
    )
    assert page.get_by_label("Tempo").input_value() == "136"
    assert page.locator(".tp-tool[aria-label=Hear] output").inner_text() == "120 beats a minute, 136 %"


@ON_DISK
def test_the_reader_is_told_to_keep_the_volume_safe(visit: Visit) -> None:
    """The caution stands beside the control of the volume."""
    page = visit().open(DEVICE)
    page.locator("summary", has_text="How it is played").click()
    assert page.locator(".tp-fields", has=page.get_by_label("Volume")).inner_text().split("\n")[-1] == (
        "Keep the volume safe for your ears."
    )


@ON_DISK
def test_a_version_as_played_can_be_heard(visit: Visit) -> None:
    """It has a button of its own; whatever else plays ends then."""
    page = visit().open(PLAYED)
    page.evaluate(RECORD)
    page.locator(".tp-play").click()
    wait_until(page, "sounded.length > 0")
    figure = page.locator("[data-applied] figure", has=page.get_by_role("button", name="Play it as played"))
    figure.first.get_by_role("button").click()
    wait_until(page, "ended.length > 0")
    assert page.locator(".tp-play").inner_text().startswith("Play in ")
    expect(page.locator("[data-applied] .tp-sounds").first).to_be_visible()
    page.locator("[data-applied]").get_by_role("button", name="Stop").click()
    assert page.locator(".tp-sounds").count() == 0


@ON_DISK
def test_the_player_is_used_without_a_mouse(visit: Visit) -> None:
    """Tab reaches every control from the row of keys on, and Space or Enter works them; no barrier."""
    reader = visit(dark=True)
    page = reader.open(DEVICE)
    page.get_by_role("tab", name="G", exact=True).focus()
    reached = []
    for _ in range(20):
        page.keyboard.press("Tab")
        focused = page.evaluate("[document.activeElement.tagName, document.activeElement.innerText]")
        if focused == ["SUMMARY", "How it is played"]:
            page.keyboard.press("Enter")
        reached.append(
            page.evaluate("document.activeElement.closest('label, button, summary')?.textContent ?? ''")
        )
    for words in ("Next key", "Play in G", "Tempo", "Feel", "Count a bar first", "Tap the beat", "Volume"):
        assert any(one.startswith(words) for one in reached), words
    assert Axe().run(page).violations_count == 0
    page.get_by_role("button", name="Play in G").focus()
    page.keyboard.press(" ")
    expect(page.locator(".tp-sounds").first).to_be_visible()
    page.keyboard.press("Enter")
    assert page.locator(".tp-sounds").count() == 0


@ON_DISK
def test_nothing_glides_for_readers_who_want_no_motion(visit: Visit) -> None:
    """Marks and keyboard change at once: they have no transition and no animation."""
    page = visit(width=360).open(DEVICE)
    page.emulate_media(reduced_motion="reduce")
    page.locator(".tp-play").click()
    expect(page.locator(".tp-sounds").first).to_be_visible()
    moving = page.evaluate(
        """() => [...document.querySelectorAll(".tp-keys, .tp-keys *")].filter((one) => {
          const { transitionDuration, animationName, scrollBehavior } = getComputedStyle(one);
          const still = /^(0s(, )?)+$/.test(transitionDuration) && animationName === "none";
          return !still || scrollBehavior !== "auto";
        }).map((one) => one.outerHTML.slice(0, 80))"""
    )
    assert moving == []
