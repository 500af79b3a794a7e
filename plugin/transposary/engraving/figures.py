"""One key of a device as an engraved figure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from transposary.engraving.musicxml import write_for_engraver
from transposary.engraving.svg import Drawing, compact, drawn_width
from transposary.engraving.toolkit import Engraver
from transposary.passage import Passage

_WIDEST_SYSTEM = 15500
"""Units of the drawing; about 700 pixels at the size of ordinary text."""

_FEW_BARS = 2
"""Up to this many bars nobody needs their numbers."""


@dataclass(frozen=True, slots=True)
class Job:
    """What to engrave.

    Attributes:
        slug: The device.
        slot: The key's slot.
        passage: The notes, already in that key.
        labels: Words under the notes by note index, empty for none.
    """

    slug: str
    slot: str
    passage: Passage
    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Engraving:
    """An engraved figure.

    Attributes:
        slug: The device.
        slot: The key's slot.
        svg: Inline SVG; it begins with `<svg role="img"`, so that the page can name it. Note
            groups carry `data-note`, chord symbols `data-symbol`, bars `data-bar`.
        glyphs: The glyphs that it uses as (id, definition); `shared_defs` gives them a page.
    """

    slug: str
    slot: str
    svg: str
    glyphs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class EngravingFailure:
    """A figure that could not be engraved.

    Attributes:
        slug: The device.
        slot: The key's slot.
        reason: Why, in one sentence without a full stop.
    """

    slug: str
    slot: str
    reason: str


def draw(job: Job, engraver: Engraver) -> Engraving | EngravingFailure:
    """Engraves one job in this process."""
    try:
        drawing = _drawing(job, engraver)
    except (RuntimeError, ValueError) as error:
        return EngravingFailure(job.slug, job.slot, str(error))
    return Engraving(job.slug, job.slot, drawing.svg, drawing.glyphs)


def _drawing(job: Job, engraver: Engraver) -> Drawing:
    """Draws one system, or where that is too wide even systems stretched to one width."""
    bars = len({bar.number for bar in job.passage.bars if bar.number})
    numbered = bars > _FEW_BARS
    name = f"{job.slug}/{job.slot}"
    raw = engraver.render(
        write_for_engraver(job.passage, job.labels), name=name, wide=None, numbered=numbered
    )
    if (width := drawn_width(raw)) > _WIDEST_SYSTEM:
        broken = write_for_engraver(job.passage, job.labels, _bars_to_a_system(bars, width))
        ragged = engraver.render(broken, name=name, wide=None, numbered=numbered)
        wide = -(-drawn_width(ragged) // 10)
        raw = engraver.render(broken, name=name, wide=wide, numbered=numbered)
    return compact(raw, job.passage, numbered=numbered)


def _bars_to_a_system(bars: int, width: int) -> int:
    """Chooses how many bars stand in a system: as many as fit, in even systems if possible."""
    most = max(1, bars * _WIDEST_SYSTEM // width)
    even = next(count for count in range(most, 0, -1) if bars % count == 0)
    return even if 2 * even > most else -(-bars // -(-bars // most))


def shared_defs(engravings: Iterable[Engraving]) -> str:
    """Gives the glyphs of all engravings of a page, to stand once on it before or behind them."""
    glyphs = {identity: definition for one in engravings for identity, definition in one.glyphs}
    content = "".join(glyphs[identity] for identity in sorted(glyphs))
    return f'<svg class="glyphs" width="0" height="0" aria-hidden="true"><defs>{content}</defs></svg>'
