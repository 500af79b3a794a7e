"""What a build costs beside its engraving: ratios of one run on one machine.

    python tests/bench/build.py [devices ...] [--lilypond] [--floor-of N]

Glossaries of 50, 100, 300 and 1,000 devices are generated unless other sizes are asked for. The
floor is verovio alone, in one process, as whoever does not tune it would use it: it loads and renders
the MusicXML of every figure that the build engraves, once, with options that say how a figure looks
and verovio's own choice of breaks. Figures are those of the device in twelve keys, of its versions as
played, of its parts, and of the device carried over to songs; drawings that the build makes only to
measure are not counted. It is measured over every so-manieth device and scaled (`--floor-of`). The
same with the options that our engraver found to be quick, and one system, is printed beside it.
Memory is the proportional set size of all processes of a build together, looked at ten times a
second. Processor time, of all processes together, is told beside the clock: it is what can be
compared where the machine has other work, and two cores pay for it. A warm build finds the site as
it would write it, and leaves it; with the site taken away it makes all pages from the cache. Beside
that stands MkDocs with as many plain pages. With `--lilypond`, LilyPond from Debian engraves the
twelve keys of twenty devices in one batch. By the clock the machine is to
have nothing else to do: other work slows both sides, but not evenly.
"""

from __future__ import annotations

import argparse
import gzip
import os
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import verovio
from markdown import markdown
from music21 import converter, interval
from music21.musicxml.m21ToXml import GeneralObjectExporter

from tests.bench.book import CONFIGURATION, write_book
from transposary.build import _worked
from transposary.cache import Cache
from transposary.engraving import Job, engrave
from transposary.engraving.musicxml import write_for_engraver, write_musicxml
from transposary.engraving.toolkit import _OPTIONS, _QUICK
from transposary.glossary import Device
from transposary.reading import read_glossary
from transposary.settings import Settings
from transposary.site.fitted import Fitting
from transposary.site.making import Making

ROOT = Path(__file__).parents[2]
SETTINGS = Settings(workers=1)
NAIVE_DEVICES = 4
LILYPOND_DEVICES = 20


def jobs_of(device: Device) -> list[Job]:
    """Gives every figure of a device but those carried over to songs."""
    return Making.of(_worked(device, SETTINGS)).jobs()


def devices_of(folder: Path, every: int) -> list[Device]:
    """Reads every so-manieth device."""
    return list(read_glossary(folder / "entries").glossary.devices[::every])


def scores_of(folder: Path, every: int) -> list[str]:
    """Writes the MusicXML of every figure of every so-manieth device."""
    glossary = read_glossary(folder / "entries").glossary
    fitting = Fitting(glossary.songs, Cache())
    jobs = []
    for device in glossary.devices[::every]:
        jobs += [*jobs_of(device), *fitting.find(device)[1]]
    return [write_for_engraver(job.passage, job.labels) for job in jobs]


@dataclass(frozen=True)
class Floor:
    """What verovio alone takes for all figures: seconds, and those of the processor.

    `tuned` is its processor time with the options of our engraver.
    """

    figures: int
    seconds: float
    spent: float
    tuned: float


def floor(folder: Path, every: int) -> Floor:
    """Measures verovio alone over a sample of the figures, and scales it to the whole."""
    scores = scores_of(folder, every)
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions(_OPTIONS)
    seconds, spent = _drawn(toolkit, scores)
    toolkit.setOptions({**_QUICK, "breaks": "none", "adjustPageWidth": True, "pageWidth": 60000})
    toolkit.setInputFrom("musicxml")
    _, tuned = _drawn(toolkit, scores)
    return Floor(len(scores) * every, seconds * every, spent * every, tuned * every)


def _drawn(toolkit: verovio.toolkit, scores: Sequence[str]) -> tuple[float, float]:
    start, spent = time.monotonic(), time.process_time()
    for score in scores:
        toolkit.loadData(score)
        toolkit.renderToSVG(1)
    return time.monotonic() - start, time.process_time() - spent


class Memory(threading.Thread):
    """Watches the memory of a process and all below it."""

    def __init__(self, top: int) -> None:
        super().__init__(daemon=True)
        self.top, self.peak, self.done = top, 0, False

    def run(self) -> None:
        """Looks ten times a second."""
        while not self.done:
            self.peak = max(self.peak, sum(map(_memory, _family(self.top))))
            time.sleep(0.1)


def _family(top: int) -> list[int]:
    parents: dict[int, list[int]] = {}
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = path.read_text().rpartition(")")[2].split()
        except OSError:
            continue
        parents.setdefault(int(fields[1]), []).append(int(path.parent.name))
    found = [top]
    for process in found:
        found += parents.get(process, [])
    return found


def _memory(process: int) -> int:
    try:
        text = Path(f"/proc/{process}/smaps_rollup").read_text()
    except OSError:
        return 0
    match = re.search(r"Pss:\s+(\d+)", text)
    return int(match[1]) * 1024 if match else 0


def build(folder: Path) -> tuple[float, float, int]:
    """Builds a glossary as its author does; gives seconds, processor time and bytes of memory."""
    path = os.pathsep.join([str(ROOT / "plugin"), os.environ.get("PYTHONPATH", "")])
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1", "PYTHONPATH": path}
    start, before = time.monotonic(), os.times()
    process = subprocess.Popen(
        (sys.executable, "-m", "mkdocs", "build", "-q"),
        cwd=folder,
        env=environment,
        stderr=subprocess.DEVNULL,
    )
    memory = Memory(process.pid)
    memory.start()
    assert process.wait() == 0
    seconds, after = time.monotonic() - start, os.times()
    user, system = after.children_user - before.children_user, after.children_system - before.children_system
    memory.done = True
    memory.join()
    return seconds, user + system, memory.peak


def edit(folder: Path) -> None:
    """Changes a note and a word of one device."""
    path = next(one for one in sorted((folder / "entries" / "devices").iterdir()) if "2 " in one.read_text())
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("good for.", "best for.").replace("]4", "]3 z", 1), encoding="utf-8")


def plain(folder: Path) -> tuple[float, float]:
    """Measures MkDocs with as many pages of prose and nothing of ours; gives seconds and processor time.

    No build that has MkDocs make the pages can cost less.
    """
    with tempfile.TemporaryDirectory() as name:
        other = Path(name)
        for path in (folder / "entries").rglob("*.md"):
            page = other / "entries" / path.relative_to(folder / "entries")
            page.parent.mkdir(parents=True, exist_ok=True)
            head, _, prose = path.read_text(encoding="utf-8").removeprefix("---\n").partition("---\n")
            page.write_text(f"# {head.splitlines()[0]}\n\n{prose}", encoding="utf-8")
        # In the navigation, pages would cost more than pages of ours, which stand beside it.
        options = CONFIGURATION.replace("  - transposary\n", "") + "nav: [index.md]\n"
        (other / "mkdocs.yml").write_text(options, encoding="utf-8")
        seconds, spent, _ = build(other)
        return seconds, spent


def naive(folder: Path) -> float:
    """Measures what a figure costs where music21 transposes and Markdown carries the drawing."""
    toolkit = verovio.toolkit()
    devices = devices_of(folder, 1)[:NAIVE_DEVICES]
    homes = [write_musicxml(device.passage) for device in devices]
    start = time.monotonic()
    for home in homes:
        drawn = []
        for semitones in range(12):
            score = converter.parseData(home, format="musicxml").transpose(interval.Interval(semitones))
            toolkit.loadData(GeneralObjectExporter(score).parse().decode())
            drawn.append(toolkit.renderToSVG(1))
        markdown("\n\n".join(drawn))
    return (time.monotonic() - start) / (12 * len(homes))


def lilypond(folder: Path) -> tuple[float, float]:
    """Measures LilyPond and ours over twelve keys of twenty devices, in seconds a figure."""
    jobs = [
        job
        for device in devices_of(folder, 1)[:LILYPOND_DEVICES]
        for job in jobs_of(device)
        if not job.slot.startswith(("part", "as-played"))
    ]
    with tempfile.TemporaryDirectory() as name:
        names = []
        for number, job in enumerate(jobs):
            (Path(name) / f"{number}.musicxml").write_text(write_musicxml(job.passage), encoding="utf-8")
            names.append(str(number))
        for one in names:
            subprocess.run(
                ("musicxml2ly", "-o", one, f"{one}.musicxml"), cwd=name, check=True, capture_output=True
            )
        start = time.monotonic()
        command = ("lilypond", "-s", "-dbackend=svg", "-dno-point-and-click", *(f"{one}.ly" for one in names))
        subprocess.run(command, cwd=name, check=False, capture_output=True)
        theirs = (time.monotonic() - start) / len(jobs)
        assert list(Path(name).glob("*.svg"))
    start = time.monotonic()
    engrave(jobs, 1)
    return theirs, (time.monotonic() - start) / len(jobs)


def page(folder: Path) -> str:
    """Says how large the page of a device is, and how much of it is engraving."""
    path = max((folder / "site" / "devices").glob("device-*/index.html"), default=None) or max(
        (folder / "site" / "devices").glob("device-*.html")
    )
    text = path.read_text(encoding="utf-8")
    drawn = sum(map(len, re.findall(r'<svg (?:[^>]*role="img"|class="glyphs").*?</svg>', text, re.DOTALL)))
    small = len(gzip.compress(text.encode()))
    return f"{len(text) / 1000:.0f} kB, {small / 1000:.0f} kB gzipped, {drawn / len(text):.0%} engraving"


def main(arguments: Sequence[str] | None = None) -> None:
    """Prints all figures."""
    parser = argparse.ArgumentParser()
    parser.add_argument("devices", nargs="*", type=int, default=[50, 100, 300, 1000])
    parser.add_argument("--lilypond", action="store_true")
    parser.add_argument("--floor-of", type=int, default=5, metavar="N", help="measure every Nth device")
    options = parser.parse_args(arguments)
    cold: dict[int, float] = {}
    figures: dict[int, int] = {}
    for devices in options.devices:
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            write_book(folder, devices)
            lowest = floor(folder, options.floor_of)
            figures[devices] = lowest.figures
            cold[devices], spent, peak = build(folder)
            warm, warmed, _ = build(folder)
            shutil.rmtree(folder / "site")
            renewed, cached, _ = build(folder)
            edit(folder)
            edited, again, _ = build(folder)
            bare, theirs = plain(folder)
            print(f"{devices} devices, {lowest.figures} figures")
            print(
                f"  floor {lowest.seconds:.1f} s; cold {cold[devices]:.1f} s,"
                f" {cold[devices] / lowest.seconds:.2f} of it"
            )
            print(f"  warm {warm:.1f} s, {warm / cold[devices]:.2f} of cold; peak {peak / 1e6:.0f} MB")
            print(
                f"  site taken away: {renewed:.1f} s, {renewed / cold[devices]:.2f} of cold;"
                f" MkDocs alone, as many plain pages: {bare:.1f} s, {bare / cold[devices]:.2f}"
            )
            print(f"  one entry changed {edited:.1f} s, {edited / cold[devices]:.2f} of cold")
            print(
                f"  processor time: floor {lowest.spent:.1f} s ({lowest.tuned:.1f} s with our options);"
                f" cold {spent:.1f} s, {spent / lowest.spent:.2f} of it;"
                f" warm {warmed / spent:.3f}, site taken away {cached / spent:.2f}, one entry changed"
                f" {again / spent:.2f} and MkDocs alone {theirs / spent:.2f} of cold"
            )
            print(f"  a page: {page(folder)}")
            if devices == options.devices[0]:
                each, slow = cold[devices] / lowest.figures, naive(folder)
                print(f"  naive {slow * 1000:.0f} ms a figure, {slow / each:.1f} times ours with all pages")
                if options.lilypond:
                    other, ours = lilypond(folder)
                    print(f"  LilyPond {other * 1000:.0f} ms a figure, {other / ours:.1f} times ours")
            sys.stdout.flush()
    if len(cold) > 1:
        few, many = min(cold), max(cold)
        print(
            f"cold({many})/cold({few}) = {cold[many] / cold[few]:.1f} for {many / few:.0f} times as many"
            f" devices and songs, and {figures[many] / figures[few]:.1f} times as many figures"
        )


if __name__ == "__main__":
    main()
