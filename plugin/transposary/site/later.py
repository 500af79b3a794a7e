"""Figures that a page fetches when the reader asks for them.

From the disk a browser refuses `fetch`, so each is a script that hands over what it holds; the
script `later.js` puts it into the page.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

from transposary.engraving import Engraving, shared_defs
from transposary.glossary import Kind
from transposary.site.figures import engraved


def later_name(slug: str, figure: str) -> str:
    """Gives the address of a figure of a device from the site's root."""
    return f"{Kind.DEVICE}/{slug}/later/{figure}.js"


def later_file(engraving: Engraving | None, words: str, fifths: Sequence[int]) -> bytes:
    """Writes the script that hands over an engraving, its glyphs, and its notes in words.

    Args:
        engraving: The engraving, or None where it failed.
        words: Its notes in words.
        fifths: The names of its notes on the line of fifths, in their order.
    """
    held = {
        "fifths": list(fifths),
        "glyphs": shared_defs([engraving] if engraving else []),
        "html": engraved(engraving, words),
    }
    text = json.dumps(held, ensure_ascii=False, sort_keys=True)
    return f'document.dispatchEvent(new CustomEvent("tp-later", {{ detail: {text} }}));\n'.encode()
