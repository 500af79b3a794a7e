"""Engravings: placeholders while a page is made, and the SVG in the finished page.

A page holds twelve engravings, hundreds of kilobytes. Neither Markdown nor the search nor any
other plugin needs to see them, so they are put in last.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from markupsafe import Markup, escape

from transposary.engraving import Engraving, shared_defs

GLYPHS = Markup("<!--tp:glyphs-->")
_PLACEHOLDER = re.compile(r"<!--tp:engraving ([a-z0-9/-]+) ([A-Za-z0-9-]+)-->")


def placeholder(slug: str, figure: str) -> Markup:
    """Gives what stands for an engraving until the page is finished."""
    return Markup("<!--tp:engraving {} {}-->").format(slug, figure)


def placeholders(html: str) -> list[tuple[str, str]]:
    """Lists the engravings that stand to be put into a page, by slug and name of the figure."""
    return _PLACEHOLDER.findall(html)


def fill(
    html: str, engravings: Mapping[tuple[str, str], Engraving], words: Mapping[tuple[str, str], str]
) -> str:
    """Puts the engravings into a finished page, and their notes in words.

    The glyphs that they share stand in front of all of them and outside of every figure, since a
    figure may be hidden.

    Args:
        html: The page.
        engravings: By slug and name of the figure; one that failed is missing.
        words: The notes in words, by slug and name of the figure.
    """

    def put(match: re.Match[str]) -> str:
        key = (match[1], match[2])
        return engraved(engravings.get(key), words[key]) if key in words else match[0]

    wanted = [engravings[key] for key in placeholders(html) if key in engravings]
    if not wanted:
        return _PLACEHOLDER.sub(put, html)
    # Out of the flow but not hidden: some browsers draw nothing from what is not displayed.
    glyphs = f'<div style="position:absolute;width:0;height:0">{shared_defs(wanted)}</div>'
    return _PLACEHOLDER.sub(put, html.replace(GLYPHS, glyphs, 1))


def engraved(engraving: Engraving | None, words: str) -> str:
    """Writes an engraving and its notes in words; None where it failed."""
    lines = [escape(line) for line in words.split("\n")]
    said = "".join(f"<p>{line}</p>" for line in lines)
    details = f'<details class="tp-words"><summary>The notes in words</summary>{said}</details>'
    if engraving is None:
        return f'<p class="tp-note">This could not be engraved.</p>{details}'
    named = engraving.svg.replace("<svg ", f'<svg aria-label="Notation, said in words below: {lines[0]}" ', 1)
    return f'<div class="tp-engraving">{named}</div>{details}'
