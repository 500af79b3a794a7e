"""One key of a device as an engraved figure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from transposary.engraving.musicxml import break_systems, write_for_engraver, write_together
from transposary.engraving.notation import Lettered
from transposary.engraving.svg import Drawing, compact, drawn_bars, indentation
from transposary.engraving.together import together
from transposary.engraving.toolkit import Engraver
from transposary.passage import Passage

_WIDEST_SYSTEM = 15500
"""Units of the drawing; about 700 pixels at the size of ordinary text."""

_CLEF, _SHARP = 900, 180
"""Units that a clef, and each sharp or flat beside it, takes at the start of a system."""

_FEW_BARS = 2
"""Up to this many bars nobody needs their numbers."""


_NAMES = ("Device", "Played")
"""What stands before two passages in one score: short, for the narrow pages of telephones."""


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
        like: A passage of the same bars with its labels, by whose widths systems are made in the
            place of its own. Where several keys share one, a reader who leafs through them finds
            each bar in the same place, and none is drawn twice to be measured.
        above: The device itself with its labels, to be compared with this version of it as played:
            both stand in one score, bar under bar. `together` says whether they can.
    """

    slug: str
    slot: str
    passage: Passage
    labels: tuple[str, ...]
    beside: Lettered | None = None
    like: Lettered | None = None
    above: Lettered | None = None


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


@dataclass(frozen=True, slots=True)
class _Sketch:
    """A passage drawn in one system, to be measured: what verovio drew, and the widths of the bars."""

    passage: Passage
    raw: str
    widths: Sequence[int]


def draw(jobs: Sequence[Job], engraver: Engraver) -> list[Engraving | EngravingFailure]:
    """Engraves jobs in this process; what several of them are like is measured once."""
    sketches: dict[int, _Sketch] = {}
    return [_drawn(job, engraver, sketches) for job in jobs]


def _drawn(job: Job, engraver: Engraver, sketches: dict[int, _Sketch]) -> Engraving | EngravingFailure:
    try:
        drawing = _drawing(job, engraver, sketches)
    except (RuntimeError, ValueError) as error:
        return EngravingFailure(job.slug, job.slot, str(error))
    return Engraving(job.slug, job.slot, drawing.svg, drawing.glyphs)


def _drawing(job: Job, engraver: Engraver, sketches: dict[int, _Sketch]) -> Drawing:
    """Draws one system, or where that is too wide even systems stretched to one width."""
    name = f"{job.slug}/{job.slot}"
    numbered = _numbered(job.passage)
    if job.above is not None:
        return _drawn_together(job.above, job, engraver, name)
    wanted = [job.like or (job.passage, job.labels), *([job.beside] if job.beside else [])]
    measured = [_sketch(one, engraver, name, sketches) for one in wanted]
    widest = max(sum(one.widths) for one in measured)
    bars = max(bar.number for one in measured for bar in one.passage.bars)
    system, wide = bars, None
    if widest > _WIDEST_SYSTEM or job.beside is not None:
        system = bars_to_a_system(bars, widest) if widest > _WIDEST_SYSTEM else bars
        wide = max(_system_width(one.passage, one.widths, system) for one in measured)
    elif measured[0].passage is job.passage:
        return compact(measured[0].raw, job.passage, numbered=numbered)
    score = break_systems(write_for_engraver(job.passage, job.labels), system)
    raw = engraver.render(score, name=name, wide=wide, numbered=numbered)
    return compact(raw, job.passage, numbered=numbered)


def _drawn_together(above: Lettered, job: Job, engraver: Engraver, name: str) -> Drawing:
    passages = together(above[0], job.passage)
    if passages is None:
        raise ValueError("the device and its version do not have the same bars")
    over, under = passages
    numbered = _numbered(under)
    score = write_together((over, above[1]), (under, job.labels), _NAMES)
    raw = engraver.render(score, name=name, wide=None, numbered=numbered)
    widths = drawn_bars(raw)
    bars = under.bars[-1].number
    if sum(widths) > _WIDEST_SYSTEM:
        system = bars_to_a_system(bars, sum(widths))
        wide = max(_system_width(one, widths, system) for one in passages) + indentation(raw)
        raw = engraver.render(break_systems(score, system), name=name, wide=wide, numbered=numbered)
    return compact(raw, under, numbered=numbered, above=over)


def _sketch(lettered: Lettered, engraver: Engraver, name: str, sketches: dict[int, _Sketch]) -> _Sketch:
    passage = lettered[0]
    if id(passage) not in sketches:
        score = write_for_engraver(*lettered)
        raw = engraver.render(score, name=name, wide=None, numbered=_numbered(passage))
        sketches[id(passage)] = _Sketch(passage, raw, drawn_bars(raw))
    return sketches[id(passage)]


def _numbered(passage: Passage) -> bool:
    return len({bar.number for bar in passage.bars if bar.number}) > _FEW_BARS


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
