"""A real browser on the demo as it is published: built once, opened from the disk and over HTTP."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from tests.browser.reader import STILL, Look, Reader, Visit

ROOT = Path(__file__).parents[2]
_NAMES = ("chromium", "chromium-browser", "google-chrome")
# Of two such switches the last one counts, so what Playwright turns off stands here, too.
_OFF = (
    "AimEnabled",
    "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose",
    "HttpsFirstBalancedModeAutoEnable",
    "HttpsUpgrades",
    "MediaRouter",
    "NetworkTimeServiceQuerying",
    "OptimizationHints",
    "PaintHolding",
    "PreconnectToSearch",
    "ThirdPartyStoragePartitioning",
    # Two pages of the browser's own, which nobody sees, would be made with every window: half of its time.
    "WebUIOmniboxAimPopup",
    "WebUIOmniboxPopup",
)
_ARGUMENTS = (
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--disable-features={','.join(_OFF)}",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Marks every test in this folder, so that a developer without a browser can deselect them."""
    for item in items:
        if item.path.is_relative_to(Path(__file__).parent):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, built as strictly as CI builds it."""
    target = tmp_path_factory.mktemp("site")
    command = (sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", str(target))
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1", "PYTHONPATH": str(ROOT / "plugin")}
    built = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stderr
    return target


@pytest.fixture(scope="session")
def pages(site: Path) -> tuple[str, ...]:
    """The addresses of all pages that can be linked to, from the site's root.

    A server alone shows 404.html, in the place of a page that is missing; old names lead on at
    once, and have a test of their own.
    """
    found = sorted(site.rglob("*.html"))
    shown = [path for path in found if path.name != "404.html" and not _leads_on(path)]
    return tuple(path.relative_to(site).as_posix() for path in shown)


def _leads_on(page: Path) -> bool:
    return 'http-equiv="refresh"' in page.read_text(encoding="utf-8")


class Silent(SimpleHTTPRequestHandler):
    """Serves a folder."""

    def log_message(self, *_: object) -> None:
        """Keeps the log of requests out of the test's output."""


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """Serves a folder on this machine, and gives its address; it ends where a test fails, too."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Silent, directory=str(folder))) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_port}"
        finally:
            server.shutdown()
            thread.join()


@pytest.fixture(scope="session")
def served(site: Path) -> Iterator[str]:
    """The address of the site on a server of this machine."""
    with serving(site) as address:
        yield address


@pytest.fixture(params=["file", "http"])
def base(request: pytest.FixtureRequest, site: Path) -> str:
    """The site's address, once from the disk and once from a server."""
    if request.param == "file":
        return site.as_uri()
    address: str = request.getfixturevalue("served")
    return address


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium, or another one on the PATH."""
    found = next((path for name in _NAMES if (path := shutil.which(name))), None)
    if found is None:
        pytest.fail(
            f"no browser: expected one of {', '.join(_NAMES)} on the PATH; install Debian's package "
            "chromium, or leave these tests out with: pytest -m 'not browser'"
        )
    # Chromium's sandbox refuses root, whom containers run as.
    sandbox = () if os.geteuid() else ("--no-sandbox",)
    # A busy machine takes longer to index the search than the default allows.
    expect.set_options(timeout=30_000)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=[*_ARGUMENTS, *sandbox])
        yield browser
        browser.close()


@pytest.fixture
def visit(browser: Browser, base: str) -> Iterator[Visit]:
    """Opens the site for a new reader: `visit(width=360, dark=True, scripts=False, searching=True)`."""
    contexts = []

    def new(
        *, width: int = 1280, dark: bool = False, scripts: bool = True, searching: bool = False
    ) -> Reader:
        scheme = "dark" if dark else "light"
        # Only test_offline.py waits until the whole site is kept.
        context = browser.new_context(
            viewport={"width": width, "height": 800},
            color_scheme=scheme,
            java_script_enabled=scripts,
            service_workers="block",
        )
        contexts.append(context)
        if not searching:
            context.add_init_script(STILL)
        return Reader(context.new_page(), base)

    yield new
    for context in contexts:
        context.close()


@pytest.fixture(scope="session")
def look(browser: Browser, site: Path) -> Iterator[Look]:
    """Opens pages from the disk for tests that ask their scripts and change nothing: each page once."""
    context = browser.new_context(service_workers="block")
    context.add_init_script(STILL)
    opened: dict[str, Page] = {}

    def page(address: str) -> Page:
        if address not in opened:
            opened[address] = context.new_page()
            opened[address].goto(f"{site.as_uri()}/{address}")
        return opened[address]

    yield page
    context.close()
