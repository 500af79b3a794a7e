"""How long Find takes to answer in a browser: `python tests/bench/finding.py`.

Another program that runs shows in the time by the clock; not in the time that the page's own thread
was at work, which Chromium tells (Chrome DevTools Protocol, `Performance.getMetrics`, `ThreadTime`).

The index is invented: devices of two to four bars for two hands, their notes drawn at random. The
goal is an answer under 50 ms among 1,000 devices. Each query is the first one of a page of its own,
which has got the index ready as the page does when it arrives.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Mapping
from random import Random
from typing import Any

from playwright.sync_api import CDPSession, sync_playwright

from transposary.site.static import shared, wanted

COUNT = 1_000
TIMES = 9
GOAL = 50
SUFFIXES = {"": 145, "m": 137, "7": 1169, "m7": 1161, "maj7": 2193, "ø7": 1097}
QUERIES = ("1 2 b3 3", "1 (3 5) 1", "G A Bb B", "(F A C E) G", "Dm7 G7", "Dm7 G7 Cmaj7", "ii7 V7", "1 2& 4")
# What the page does when its index arrives.
PREPARE = """([devices, suffixes]) => {
  Object.assign(window, { devices, suffixes }).transposary.find.ready(devices);
}"""
# Longer than that takes, in milliseconds.
SETTLED = 1_000
# Gives the milliseconds of each answer, the first one apart, and how many devices it found.
MEASURE = """([text, times]) => {
  const { read, rank } = transposary.find;
  const took = () => {
    const before = performance.now();
    const query = read(text, "", suffixes);
    if (query.fault) throw new Error(query.fault);
    const found = rank(devices, query).length;
    return [performance.now() - before, found];
  };
  return Array.from({ length: times }, took);
}"""


def line(chance: Random, bars: int, low: int) -> list[list[Any]]:
    """Makes the strikes of a hand: bar, place in 48ths of a beat, tonic, and notes by index and pitch."""
    strikes: list[list[Any]] = []
    for bar in range(1, bars + 1):
        for place in sorted(chance.sample(range(0, 192, 24), 5)):
            notes: list[int] = []
            for _ in range(chance.choice((1, 1, 2, 3))):
                notes += [len(strikes), low + chance.randrange(20)]
            strikes.append([bar, place, 0, notes])
    return strikes


def device(number: int, chance: Random) -> Mapping[str, Any]:
    """Makes what the index has of a device."""
    bars = chance.randint(2, 4)
    masks = list(SUFFIXES.values())
    chords = [[at, at + 1, 0, chance.randrange(12), chance.choice(masks), -1] for at in range(bars)]
    lines = [line(chance, bars, low) for low in (36, 60)]
    return {"slug": f"d{number}", "title": f"{number}", "home": 0, "lines": lines, "chords": chords}


def busy(session: CDPSession) -> float:
    """Gives the milliseconds that the page's thread has been at work."""
    metrics = session.send("Performance.getMetrics")["metrics"]
    return 1000 * next(float(one["value"]) for one in metrics if one["name"] == "ThreadTime")


def main() -> None:
    """Prints each query with its first and its least time, and how many devices it found."""
    chance = Random(5)  # noqa: S311 - an invented index
    devices = [device(number, chance) for number in range(COUNT)]
    scripts = (shared()["base.js"], wanted()["wanted/find.js"])
    results = []
    with sync_playwright() as playwright:
        sandbox = [] if os.geteuid() else ["--no-sandbox"]
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=sandbox)
        for text in QUERIES:
            page = browser.new_page()
            for script in scripts:
                page.add_script_tag(content=script.decode())
            page.evaluate(PREPARE, [devices, SUFFIXES])
            page.wait_for_timeout(SETTLED)
            session = page.context.new_cdp_session(page)
            session.send("Performance.enable")
            before = busy(session)
            first = page.evaluate(MEASURE, [text, 1])
            worked = busy(session) - before
            results.append((text, worked, first + page.evaluate(MEASURE, [text, TIMES])))
            page.close()
        browser.close()
    size = len(json.dumps(devices, separators=(",", ":")))
    print(f"{COUNT} devices, {size / 1000:.0f} kB of index; the goal is {GOAL} ms")
    for text, worked, answers in results:
        times = [time for time, _ in answers]
        found = answers[0][1]
        print(
            f"{text:16} first {worked:6.1f} ms of work, {times[0]:6.1f} ms by the clock, "
            f"least {min(times):6.1f} ms, {found} found"
        )


if __name__ == "__main__":
    main()
