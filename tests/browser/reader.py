"""A reader of the site, and what the reader must never meet."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import pytest
from playwright.sync_api import ConsoleMessage, Page, Request

ON_DISK = pytest.mark.parametrize("base", ["file"], indirect=True)
DEVICE = "devices/walk-up-to-the-four.html"
OTHER_DEVICE = "devices/climb-to-the-five.html"

# The theme indexes the whole site for its search on every page that is opened, which takes longer
# than all the rest: only tests of the search let it.
STILL = """
class Still extends EventTarget { postMessage() {} terminate() {} }
Object.defineProperty(window, "Worker", { get: () => Still, set() {} });
"""


def one_of_each_kind(pages: Iterable[str]) -> list[str]:
    """Takes each page at the root and each index, and one more page of each folder."""
    kinds: dict[tuple[str, str], str] = {}
    for address in pages:
        folder, _, name = address.rpartition("/")
        kinds.setdefault((folder, name if not folder or name == "index.html" else ""), address)
    return list(kinds.values())


def wait_until(page: Page, test: str, argument: object = None) -> None:
    """Asks again and again; `wait_for_function` evaluates text, as no page of ours may."""
    for _ in range(1200):
        if page.evaluate(test, argument):
            return
        page.wait_for_timeout(50)
    pytest.fail(f"never true: {test}")


@dataclass
class Reader:
    """A browser page, and what went wrong on it: errors of scripts, requests that leave the site."""

    page: Page
    base: str
    faults: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("console", self._on_console)
        self.page.on("pageerror", lambda error: self.faults.append(f"{self.page.url}: {error}"))
        self.page.on("request", self._on_request)
        self.page.on("requestfailed", self._on_failure)

    def open(self, address: str) -> Page:
        """Opens a page of the site by its address from the root."""
        self.page.goto(f"{self.base}/{address}")
        return self.page

    def _on_console(self, message: ConsoleMessage) -> None:
        # The driver says so itself when it keeps a service worker away.
        if message.type in {"error", "warning"} and "blocked by Playwright" not in message.text:
            self.faults.append(f"{self.page.url}: {message.text}")

    def _on_failure(self, request: Request) -> None:
        # What is still being fetched when the reader moves on is given up, which is no fault.
        if request.failure != "net::ERR_ABORTED":
            self.faults.append(f"{self.page.url} fails to get {request.url}: {request.failure}")

    def _on_request(self, request: Request) -> None:
        if not request.url.startswith((self.base, "data:", "blob:")):
            self.faults.append(f"{self.page.url} asks for {request.url}")


Visit = Callable[..., Reader]
Look = Callable[[str], Page]
