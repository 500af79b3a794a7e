"""A hand-out as one HTML file: everything is inside, and it is set to be printed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files as resources

from markupsafe import Markup, escape

from transposary.engraving import Engraving, shared_defs
from transposary.site.compose import template
from transposary.site.foreign import plain_html
from transposary.site.pages.charts import SectionView
from transposary.site.policy import NO_SCRIPTS, policy_tag


@dataclass(frozen=True, slots=True)
class SheetFigure:
    """An engraving on a sheet: the key, the drawing (None if it failed) and the notes in words."""

    title: str
    engraving: Engraving | None
    words: str


@dataclass(frozen=True, slots=True)
class SheetItem:
    """A device or a song on a sheet.

    Attributes:
        title: Its title.
        text: What it is, in a sentence.
        note: What the teacher says about it.
        figures: The device in its keys.
        form: The form of a song.
        sections: The chart of a song.
    """

    title: str
    text: str
    note: str = ""
    figures: tuple[SheetFigure, ...] = ()
    form: str = ""
    sections: tuple[SectionView, ...] = ()


def sheet_html(title: str, prose: str, items: Sequence[SheetItem], source: str) -> str:
    """Writes a sheet.

    Args:
        title: What stands above it.
        prose: Its Markdown.
        items: What stands on it, in order.
        source: The glossary that it comes from, or empty.
    """
    drawn = [figure.engraving for item in items for figure in item.figures if figure.engraving]
    style = (resources("transposary.site") / "sheet.css").read_text(encoding="utf-8")
    return template("sheet").render(
        title=title,
        # All four are HTML on purpose: ours, rendered without any of the author's, ours, drawn by us.
        policy=Markup(policy_tag(NO_SCRIPTS)),  # noqa: S704
        prose=Markup(plain_html(prose)),  # noqa: S704
        style=Markup(style),  # noqa: S704
        glyphs=Markup(shared_defs(drawn)),  # noqa: S704
        items=items,
        source=source,
        drawing=_drawing,
    )


def _drawing(figure: SheetFigure) -> Markup:
    if figure.engraving is None:
        return Markup('<p class="note">This could not be engraved.</p>')
    named = f'<svg aria-label="{escape(figure.words.splitlines()[0])}" '
    return Markup(figure.engraving.svg.replace("<svg ", named, 1))  # noqa: S704  (drawn by us)
