"""One key of a device as an engraved figure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from transposary.engraving.musicxml import break_systems, write_for_engraver
from transposary.engraving.svg import Drawing, compact, drawn_bars
from transposary.engraving.toolkit import Engraver
from transposary.passage import Passage

_WIDEST_SYSTEM = 15500
"""Units of the drawing; about 700 pixels at the size of ordinary text."""

_CLEF, _SHARP = 900, 180
"""Units that a clef, and each sharp or flat beside it, takes at the start of a system."""

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
        beside: Another passage with its labels, under or over which this one stands: both have
            the same bars in each system, and systems of one width.
    """

    slug: str
    slot: str
    passage: Passage
    labels: tuple[str, ...]
    beside: tuple[Passage, tuple[str, ...]] | None = None

    def __hash__(self) -> int:
        # The names tell jobs apart; to hash all the music takes as long as to write it down.
        return hash((self.slug, self.slot))


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
    numbers = [bar.number for bar in job.passage.bars]
    numbered = len({number for number in numbers if number}) > _FEW_BARS
    name = f"{job.slug}/{job.slot}"
    score = write_for_engraver(job.passage, job.labels)
    raw = engraver.render(score, name=name, wide=None, numbered=numbered)
    sizes = [(job.passage, drawn_bars(raw))]
    if job.beside is not None:
        other, labels = job.beside
        drawn = engraver.render(write_for_engraver(other, labels), name=name, wide=None, numbered=numbered)
        sizes.append((other, drawn_bars(drawn)))
    widest = max(sum(widths) for _, widths in sizes)
    if widest > _WIDEST_SYSTEM or job.beside is not None:
        bars = max(bar.number for passage, _ in sizes for bar in passage.bars)
        system = bars_to_a_system(bars, widest) if widest > _WIDEST_SYSTEM else bars
        wide = max(_system_width(passage, widths, system) for passage, widths in sizes)
        raw = engraver.render(break_systems(score, system), name=name, wide=wide, numbered=numbered)
    return compact(raw, job.passage, numbered=numbered)


def bars_to_a_system(bars: int, width: int) -> int:
    """Chooses how many bars stand in a system: as many as fit, in even systems if possible.

    Args:
        bars: Bars of the passage, a pickup not counted.
        width: Their width together, in units of the drawing.
    """
    most = max(1, bars * _WIDEST_SYSTEM // width)
    even = next(count for count in range(most, 0, -1) if bars % count == 0)
    return even if 2 * even > most else -(-bars // -(-bars // most))


def _system_width(passage: Passage, widths: Sequence[int], system: int) -> int:
    """Gives the width to which systems are stretched: that of the widest, with its clef and key."""
    sharps = max(abs(key.signature) for _, key in passage.keys)
    rows: Counter[int] = Counter()
    for bar, width in zip(passage.bars, widths, strict=True):
        rows[max(bar.number - 1, 0) // system] += width
    clef = _CLEF + _SHARP * sharps
    return max(width + (clef if row else 0) for row, width in rows.items())


def shared_defs(engravings: Iterable[Engraving]) -> str:
    """Gives the glyphs of all engravings of a page, to stand once on it before or behind them."""
    glyphs = {identity: definition for one in engravings for identity, definition in one.glyphs}
    content = "".join(glyphs[identity] for identity in sorted(glyphs))
    return f'<svg class="glyphs" width="0" height="0" aria-hidden="true"><defs>{content}</defs></svg>'
