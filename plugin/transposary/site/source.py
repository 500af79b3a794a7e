"""Pages as a generator that renders Markdown reads them."""

from __future__ import annotations

import json
from html import escape

from transposary.site.page import Page

_LESSONS_FIRST = 3


def markdown_of(page: Page) -> str:
    """Writes a page for MkDocs: front matter of ours, and the prose only.

    JSON is YAML, and the theme sets these texts into the page as they are.
    """
    meta: dict[str, object] = {"title": escape(page.title)}
    meta |= {"description": escape(page.summary)} if page.summary else {}
    # Whoever asks in a sentence wants the lesson rather than an entry that has the words.
    meta |= {"search": {"boost": _LESSONS_FIRST}} if page.template == "collection" else {}
    lines = "\n".join(f"{name}: {json.dumps(text, ensure_ascii=False)}" for name, text in meta.items())
    return f"---\n{lines}\n---\n\n{page.prose}"
