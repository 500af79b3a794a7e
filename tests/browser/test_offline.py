"""The site without a connection, after one visit over HTTP."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import Silent
from transposary.site.offline import WORKER, end_of_worker, is_kept, worker


@contextmanager
def _server(folder: Path) -> Iterator[str]:
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Silent, directory=str(folder))) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()
        thread.join()


def _visited(context: BrowserContext, address: str) -> Page:
    """Opens a page and waits until the browser has the whole site."""
    page = context.new_page()
    page.goto(address)
    page.wait_for_function("navigator.serviceWorker.controller !== null", timeout=60_000)
    return page


def test_after_one_visit_the_site_opens_without_a_connection(browser: Browser, served: str) -> None:
    """Pages never seen before open, with engravings, search and what they load on demand."""
    context = browser.new_context()
    page = _visited(context, f"{served}/index.html")
    context.set_offline(True)
    page.goto(f"{served}/devices/walk-up-to-the-four.html#Eb")
    expect(page.locator("figure[data-slot='Eb'] svg").first).to_be_visible()
    page.goto(f"{served}/find.html?of=1+2+3+4")
    expect(page.locator(".tp-found svg").first).to_be_visible()
    page.goto(f"{served}/")
    expect(page.locator("h1")).to_be_visible()
    context.close()


def _publish(folder: Path, text: str) -> None:
    """Writes a site of one page that asks for the offline copy as ours do."""
    script = "navigator.serviceWorker.register('offline-worker.js')"
    page = f"<!doctype html><title>{text}</title><p>{text}</p><script>{script}</script>"
    (folder / "index.html").write_text(page, encoding="utf-8")
    files = {path.name: path.read_bytes() for path in folder.iterdir() if is_kept(path.name)}
    (folder / WORKER).write_bytes(worker(files))


def test_a_new_build_replaces_the_old_one_and_none_ends_it(browser: Browser, tmp_path: Path) -> None:
    """What is kept is of one build; what has not changed is copied; without the option it goes."""
    (tmp_path / "same.txt").write_text("the same in both", encoding="utf-8")
    _publish(tmp_path, "first")
    with _server(tmp_path) as address:
        context = browser.new_context()
        page = _visited(context, f"{address}/")
        kept = page.evaluate("caches.keys()")
        assert len(kept) == 1
        _publish(tmp_path, "second")
        page.evaluate("navigator.serviceWorker.ready.then((it) => it.update())")
        page.wait_for_function(
            "old => caches.keys().then((now) => now.length === 1 && now[0] !== old)", arg=kept[0]
        )
        context.set_offline(True)
        page.goto(f"{address}/")
        expect(page.locator("p")).to_have_text("second")
        assert page.evaluate("fetch('same.txt').then((it) => it.text())") == "the same in both"
        context.set_offline(False)
        (tmp_path / WORKER).write_bytes(end_of_worker())
        page.evaluate("navigator.serviceWorker.ready.then((it) => it.update())")
        page.wait_for_function("caches.keys().then((now) => now.length === 0)")
        context.close()


def test_from_the_disk_nothing_is_kept(browser: Browser, site: Path) -> None:
    """On file:// no worker is asked for, and nothing fails."""
    page = browser.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto((site / "index.html").as_uri())
    page.wait_for_function("typeof transposary.want === 'function'")
    assert faults == []
    page.context.close()
