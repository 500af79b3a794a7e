"""The site without a connection, after one visit over HTTP."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import serving
from tests.browser.reader import DEVICE, wait_until
from transposary.site.offline import WORKER, end_of_worker, is_kept, worker

# Another build is all there is: its worker has kept everything and answers.
REPLACED = """async (old) => {
  const { waiting, installing, active } = await navigator.serviceWorker.ready;
  const now = await caches.keys();
  return now.length === 1 && now[0] !== old && !waiting && !installing && active.state === "activated";
}"""
GONE = "caches.keys().then((now) => now.length === 0)"


def _visited(context: BrowserContext, address: str) -> Page:
    """Opens a page and waits until the browser has the whole site."""
    page = context.new_page()
    page.goto(address)
    wait_until(page, "navigator.serviceWorker.controller !== null")
    return page


@pytest.fixture
def slice_of_site(site: Path, tmp_path: Path) -> Path:
    """The demo with the parts of one device alone, kept by a worker that knows no more.

    The worker of the whole demo keeps two thousand files more of the same kind.
    """
    parts = [path for path in site.glob("devices/*/parts") if path.parent.name != Path(DEVICE).stem]
    unwanted = {*parts, site / "unused", *site.glob("devices/*/*.mid"), *site.glob("devices/*/*.musicxml")}

    def leave(folder: str, names: list[str]) -> list[str]:
        return [name for name in names if Path(folder, name) in unwanted]

    copy = shutil.copytree(site, tmp_path / "slice", ignore=leave)
    files = {path.relative_to(copy).as_posix(): path for path in copy.rglob("*") if path.is_file()}
    kept = {address: path.read_bytes() for address, path in files.items() if is_kept(address)}
    (copy / WORKER).write_bytes(worker(kept.items()))
    return copy


def test_after_one_visit_the_site_opens_without_a_connection(browser: Browser, slice_of_site: Path) -> None:
    """Pages never seen before open, with engravings, parts and what they load on demand."""
    with serving(slice_of_site) as address:
        context = browser.new_context()
        page = _visited(context, f"{address}/index.html")
        context.set_offline(True)
        page.goto(f"{address}/{DEVICE}#Eb")
        expect(page.locator("figure[data-slot='Eb'] svg").first).to_be_visible()
        page.get_by_label("Written for").select_option("trumpet")
        expect(page.locator("figure[data-slot='Eb'] .tp-part svg").first).to_be_visible()
        page.goto(f"{address}/find.html?of=1+2+3+4")
        expect(page.locator(".tp-found svg").first).to_be_visible()
        page.goto(f"{address}/")
        expect(page.locator("h1")).to_be_visible()
        context.close()


def _published(path: Path, content: bytes, day: int) -> None:
    """Writes a file as of a day: a server tells only changes that are a second apart."""
    path.write_bytes(content)
    os.utime(path, (day * 86_400, day * 86_400))


def _publish(folder: Path, text: str, day: int) -> None:
    """Writes a site of one page that asks for the offline copy as ours do."""
    script = "navigator.serviceWorker.register('offline-worker.js')"
    page = f"<!doctype html><title>{text}</title><p>{text}</p><script>{script}</script>"
    _published(folder / "index.html", page.encode(), day)
    files = {path.name: path.read_bytes() for path in folder.iterdir() if is_kept(path.name)}
    _published(folder / WORKER, worker(files.items()), day)


def test_a_new_build_replaces_the_old_one_and_none_ends_it(browser: Browser, tmp_path: Path) -> None:
    """What is kept is of one build; what has not changed is copied; without the option it goes."""
    (tmp_path / "same.txt").write_text("the same in both", encoding="utf-8")
    _publish(tmp_path, "first", 1)
    with serving(tmp_path) as address:
        context = browser.new_context()
        page = _visited(context, f"{address}/")
        kept = page.evaluate("caches.keys()")
        assert len(kept) == 1
        _publish(tmp_path, "second", 2)
        page.evaluate("navigator.serviceWorker.ready.then((it) => it.update())")
        wait_until(page, REPLACED, kept[0])
        context.set_offline(True)
        page.goto(f"{address}/")
        expect(page.locator("p")).to_have_text("second")
        assert page.evaluate("fetch('same.txt').then((it) => it.text())") == "the same in both"
        context.set_offline(False)
        _published(tmp_path / WORKER, end_of_worker(), 3)
        page.evaluate("navigator.serviceWorker.ready.then((it) => it.update())")
        wait_until(page, GONE)
        context.close()


def test_from_the_disk_nothing_is_kept(browser: Browser, site: Path) -> None:
    """On file:// no worker is asked for, and nothing fails."""
    page = browser.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto((site / "index.html").as_uri())
    wait_until(page, "typeof transposary.want === 'function'")
    assert faults == []
    page.context.close()
