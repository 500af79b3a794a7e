"""How soon a device page can be read, beside a plain page of the theme: `python tests/bench/reading.py`.

Run it on a quiet machine. The demo is built as it is published. The plain page is made in a
temporary folder with the same settings of the theme, plugins of the theme and extensions, without
ours and nearly without words. Both are opened over HTTP on this machine by a new browser window,
in turns, so that what else runs meets both alike.

Source: W3C, Largest Contentful Paint. Script time is what Chromium calls `ScriptDuration` (Chrome
DevTools Protocol, `Performance.getMetrics`); what a page's search worker does is not in it.
"""

from __future__ import annotations

import gzip
import os
import shutil
import subprocess
import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import yaml
from playwright.sync_api import Browser, sync_playwright

from tests.browser.conftest import ROOT, serving

TIMES = 9
PLAIN = "# A page\n\nA plain page of the theme, with a few words.\n"
OURS = "assets/transposary"
# The paint may come a moment later than the page has loaded.
SETTLED = 700
PAINT = """() => new Promise((resolve) => {
  new PerformanceObserver((list) => resolve(list.getEntries().at(-1).startTime))
    .observe({ type: "largest-contentful-paint", buffered: true });
})"""


def build(folder: Path, target: Path) -> None:
    """Builds the site of a folder that has a mkdocs.yml."""
    command = (sys.executable, "-m", "mkdocs", "build", "--quiet", "--site-dir", str(target))
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1", "PYTHONPATH": str(ROOT / "plugin")}
    subprocess.run(command, cwd=folder, env=environment, check=True)


def plain(folder: Path) -> None:
    """Writes a project of one page with the demo's settings but for our plugin."""
    settings = yaml.safe_load((ROOT / "mkdocs.yml").read_text(encoding="utf-8"))
    kept = {name: settings[name] for name in ("site_name", "theme", "markdown_extensions")}
    kept["plugins"] = [one for one in settings["plugins"] if isinstance(one, str)]
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(kept), encoding="utf-8")
    (folder / "docs").mkdir()
    (folder / "docs" / "index.md").write_text(PLAIN, encoding="utf-8")


def packed(*files: Path) -> int:
    """Gives the bytes of files as a server sends them, each by itself."""
    return sum(len(gzip.compress(file.read_bytes(), mtime=0)) for file in files)


def measure(browser: Browser, address: str) -> tuple[float, float]:
    """Opens a page anew; gives its largest contentful paint and its script time in milliseconds."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, service_workers="block")
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Performance.enable")
    page.goto(address)
    page.wait_for_timeout(SETTLED)
    paint = page.evaluate(PAINT)
    metrics = {one["name"]: one["value"] for one in session.send("Performance.getMetrics")["metrics"]}
    context.close()
    return paint, metrics["ScriptDuration"] * 1000


def main() -> None:
    """Prints the medians of both pages, their ratios, and the sizes."""
    with TemporaryDirectory() as temporary:
        folder = Path(temporary)
        demo, other = folder / "demo", folder / "other"
        (folder / "project").mkdir()
        plain(folder / "project")
        build(folder / "project", other)
        build(ROOT, demo)
        device = max((demo / "devices").glob("[!i]*.html"), key=packed)
        shared = [file for file in (demo / OURS).iterdir() if file.is_file()]
        wanted = list((demo / OURS / "wanted").iterdir())
        scripts = [file for file in shared if file.suffix == ".js"]
        sheets = [file for file in shared if file.suffix == ".css"]
        print(
            f"{device.name} {packed(device) / 1000:.1f} kB gzipped, plain page "
            f"{packed(other / 'index.html') / 1000:.1f} kB; of ours: scripts of every page "
            f"{packed(*scripts) / 1000:.1f} kB, all wanted scripts {packed(*wanted) / 1000:.1f} kB, "
            f"style sheets {packed(*sheets) / 1000:.1f} kB"
        )
        sandbox = [] if os.geteuid() else ["--no-sandbox"]
        with serving(demo) as ours, serving(other) as theirs, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=sandbox)
            addresses = {"device": f"{ours}/devices/{device.name}", "plain": f"{theirs}/index.html"}
            for address in addresses.values():
                measure(browser, address)
            turns = [
                {kind: measure(browser, address) for kind, address in addresses.items()} for _ in range(TIMES)
            ]
            browser.close()
        for at, name in enumerate(("largest contentful paint", "script time")):
            mid = {kind: median(turn[kind][at] for turn in turns) for kind in addresses}
            print(
                f"{name}: device {mid['device']:.0f} ms, plain {mid['plain']:.0f} ms, "
                f"ratio {mid['device'] / mid['plain']:.2f} (medians of {TIMES})"
            )


if __name__ == "__main__":
    main()
