"""Every engraving of the published pages has its words: for who listens, and for who cannot read notes."""

from __future__ import annotations

import re
from pathlib import Path

# Drawings hold no drawings. What stands behind one is compared, so that any other markup is a fault.
_DRAWING = re.compile(r'<svg (?P<attributes>[^>]*\brole="img"[^>]*)>.*?</svg>(?P<behind>.{0,400})', re.DOTALL)
_NAME = re.compile(r'(?:^| )aria-label="Notation, said in words below: [^"]{8,}"')
_WORDS = re.compile(r'\s*</div>\s*<details class="tp-words"><summary>The notes in words</summary><p>[^<]{8,}')


def test_every_engraving_has_its_words(site: Path, pages: tuple[str, ...]) -> None:
    """A drawing of notes is an image with a name, and the notes in words stand behind it."""
    drawings = [
        (name, drawing)
        for name in pages
        for drawing in _DRAWING.finditer((site / name).read_text(encoding="utf-8"))
    ]
    assert len(drawings) > 500
    wordless = [
        f"{name}: {drawing['attributes']}"
        for name, drawing in drawings
        if not (_NAME.search(drawing["attributes"]) and _WORDS.match(drawing["behind"]))
    ]
    assert wordless == []
