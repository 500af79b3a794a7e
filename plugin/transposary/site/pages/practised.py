"""The page of the author's own record, which only the author sees unless it is to be published."""

from __future__ import annotations

from dataclasses import dataclass

from transposary.glossary import Device
from transposary.pitch import pretty
from transposary.practice import RECORD, Row, Take, coverage
from transposary.site.edition import Edition
from transposary.site.links import PRACTISED, Link, source_of_entry
from transposary.site.page import Page, Remark
from transposary.site.pages.common import remark_in_full, short_day
from transposary.site.pages.indexes import by_title, count_words
from transposary.theory.keys import SLOTS

_WEAKEST = 3


@dataclass(frozen=True, slots=True)
class CellView:
    """The last take of a device in a key; empty texts where there is none."""

    tempo: str = ""
    slips: str = ""
    day: str = ""
    date: str = ""


@dataclass(frozen=True, slots=True)
class RowView:
    """A device, with a cell for each key."""

    device: Link
    cells: tuple[CellView, ...]


@dataclass(frozen=True, slots=True)
class PractisedView:
    """What the page shows.

    Attributes:
        private: Whether only the author sees it.
        keys: The names of the keys, in the order of the cells.
        rows: The devices that were played.
        weakest: Sentences about the weakest keys.
        at_home: Devices that were played in their home key only.
        unplayed: How many devices were not played at all.
        remarks: What is wrong with the record.
    """

    private: bool
    keys: tuple[str, ...]
    rows: tuple[RowView, ...]
    weakest: tuple[str, ...]
    at_home: tuple[Link, ...]
    unplayed: str
    remarks: tuple[Remark, ...]


def practised_page(edition: Edition, takes: tuple[Take, ...]) -> Page:
    """Makes the page of a record."""
    devices = by_title(edition.glossary.devices)
    covered = coverage(devices, takes)
    silent = [pretty(slot) for slot in SLOTS if not any(slot in row.cells for row in covered.rows)]
    some = [key for key in covered.keys if key.devices][:_WEAKEST]
    # A year in each cell would push the last keys out of sight.
    years = len({cell.last.day.year for row in covered.rows for cell in row.cells.values()}) > 1
    view = PractisedView(
        private=not edition.settings.publish_practice,
        keys=tuple(pretty(slot) for slot in SLOTS),
        rows=tuple(_row(row, years=years) for row in covered.rows),
        weakest=(
            *((f"Nothing yet in {', '.join(silent)}",) if silent else ()),
            *(
                f"{pretty(key.slot)}: {key.devices} of {len(covered.rows)} played there, "
                f"{round(100 * key.strength)} % of the tempos aimed at"
                for key in some
            ),
        ),
        at_home=tuple(map(_link, covered.at_home)),
        unplayed=count_words(len(devices) - len(covered.rows), "device"),
        remarks=tuple(remark_in_full(problem) for problem in edition.practice_problems if edition.preview),
    )
    summary = f"What {RECORD} says, key by key."
    return Page(
        PRACTISED, "Practised by the author", "practised", view, summary, listed=True, draft=view.private
    )


def _link(device: Device) -> Link:
    return Link(device.title, source_of_entry(device))


def _row(row: Row, *, years: bool) -> RowView:
    cells = (row.cells.get(slot) for slot in SLOTS)
    return RowView(
        _link(row.device),
        tuple(
            CellView()
            if cell is None
            else CellView(
                str(cell.last.tempo),
                count_words(cell.last.slips, "slip"),
                short_day(cell.last.day, year=years),
                cell.last.day.isoformat(),
            )
            for cell in cells
        ),
    )
