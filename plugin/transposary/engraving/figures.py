"""One key of a device as an engraved figure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from transposary.engraving.musicxml import write_musicxml
from transposary.engraving.svg import compact
from transposary.engraving.toolkit import Engraver
from transposary.passage import Passage

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
    numbered = len({bar.number for bar in job.passage.bars if bar.number}) > _FEW_BARS
    try:
        musicxml = write_musicxml(job.passage, labels=job.labels, note_ids=True)
        raw = engraver.render(
            musicxml, name=f"{job.slug}/{job.slot}", staves=len(job.passage.hands), numbered=numbered
        )
        drawing = compact(raw, job.passage, numbered=numbered)
    except (RuntimeError, ValueError) as error:
        return EngravingFailure(job.slug, job.slot, str(error))
    return Engraving(job.slug, job.slot, drawing.svg, drawing.glyphs)


def shared_defs(engravings: Iterable[Engraving]) -> str:
    """Gives the glyphs of all engravings of a page, to stand once on it before or behind them."""
    glyphs = {identity: definition for one in engravings for identity, definition in one.glyphs}
    content = "".join(glyphs[identity] for identity in sorted(glyphs))
    return f'<svg class="glyphs" width="0" height="0" aria-hidden="true"><defs>{content}</defs></svg>'
