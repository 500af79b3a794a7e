"""Script in every field of every entry: a real browser runs none of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.reader import STILL
from tests.site.published import configure, publish

# Each would change the page if it ran.
RUN = "document.documentElement.dataset.ran=1"
TAG = f"</script><script>{RUN}</script><img src=x onerror={RUN}>"
QUOTE = f'\\" onmouseover=\\"{RUN}\\" autofocus onfocus=\\"{RUN}'
TEXT = f"{TAG}{QUOTE}"
PROSE = f"""\
<script>{RUN}</script>
<img src="x" onerror="{RUN}">
<svg onload="{RUN}"></svg>
<iframe srcdoc="<script>parent.{RUN}</script>"></iframe>
<details open ontoggle="{RUN}">x</details>

[press](javascript:{RUN}) <a id="press" href="javascript:{RUN}">press</a>
<object data="data:text/html,<script>{RUN}</script>"></object>
<script src="data:text/javascript,{RUN}"></script>
"""
ENTRIES = {
    "index.md": f"# Book\n\n{PROSE}",
    "devices/climb.md": f"""---
title: "Climb {TEXT}"
summary: "Notes {TEXT}"
aliases: ["one {TEXT}"]
role: bass
concepts: ["walk {TEXT}"]
genres: ["soul {TEXT}"]
notation: |
  M: 4/4
  L: 1/4
  K: G clef=bass
  "G7" G,,2 A,, B,, | "C7" C,4 |
heard_in:
  - title: "Record {TEXT}"
    where: "verse {TEXT}"
    link: "https://example.org/?a='onfocus={RUN}'&b=<script>"
applied_in:
  - song: tide
    bars: 1-2
    changed: "first {TEXT}"
added: 2026-01-12
---
{PROSE}""",
    "songs/tide.md": f"""---
title: "Tide {TEXT}"
key: G
meter: 4/4
tempo: 60
genres: ["soul {TEXT}"]
chart:
  A: "| G7 | C7 |"
---
{PROSE}""",
    "concepts/walk.md": f'---\ntitle: "Walk {TEXT}"\nbroader: "step {TEXT}"\n---\n{PROSE}',
    "collections/set.md": f"""---
title: "Set {TEXT}"
purpose: lesson
items:
  - device: climb
    keys: [Eb]
    note: "slowly {TEXT}"
  - song: tide
---
{PROSE}""",
}


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small glossary that tries to run scripts from everywhere."""
    return publish(configure(tmp_path_factory.mktemp("hostile"), ENTRIES)).folder


def test_no_script_of_an_entry_runs(hostile: Path, browser: Browser) -> None:
    """No page runs what a field or the prose brought along, though the site's own scripts run."""
    context = browser.new_context(service_workers="block")
    context.add_init_script(STILL)
    page = context.new_page()
    page.on("dialog", lambda dialog: dialog.dismiss())
    ran, pages = [], sorted(hostile.rglob("*.html"))
    assert len(pages) > 12
    for path in pages:
        if path.name == "404.html":
            continue
        page.goto(path.as_uri())
        for one in page.locator("a#press").all():
            one.evaluate("link => link.click()")
        page.mouse.move(200, 300)
        if page.evaluate("document.documentElement.dataset.ran") or "press" in page.url:
            ran.append(path.name)
        injected = page.evaluate(
            "[...document.querySelectorAll('img[onerror], [onmouseover], [onfocus]')]"
            ".filter((e) => !e.closest('article')).length"
        )
        assert injected == 0, path
    assert ran == []
    page.goto((hostile / "devices/climb.html").as_uri())
    assert page.evaluate("typeof transposary.spell") == "function"
    context.close()


def test_only_the_prose_of_the_author_is_html(hostile: Path, browser: Browser) -> None:
    """Every other text is escaped where it lands, policy or not."""
    context = browser.new_context(service_workers="block")
    page = context.new_page()
    for name in ("devices/index", "songs/index", "genres/index", "find", "collections/index"):
        page.goto((hostile / f"{name}.html").as_uri())
        assert page.locator("img[onerror], [onmouseover], [onfocus], iframe[srcdoc]").count() == 0, name
    context.close()
