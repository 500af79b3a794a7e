"""A device or a collection as a sheet: one HTML file to print and to hand out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor

from transposary.engraving import Engraving, Job, Press, executor_of
from transposary.exchange.scores import home_slot, in_slot
from transposary.glossary import Collection, CollectionItem, Device, Glossary
from transposary.pitch import pretty
from transposary.settings import Settings
from transposary.site.pages.charts import section_views
from transposary.site.sheet import SheetFigure, SheetItem, sheet_html
from transposary.song import Song
from transposary.theory.degrees import degrees
from transposary.theory.keys import pretty_key
from transposary.theory.words import in_words


def device_sheet(device: Device, slots: Sequence[str], settings: Settings, source: str) -> bytes:
    """Writes a device in some keys.

    Args:
        device: The device.
        slots: The keys' slots, in the order wanted; none for the one in which it was learnt.
        settings: The options.
        source: What the glossary calls itself.

    Raises:
        EngraversError: Nothing is there that could engrave.
    """
    with executor_of(settings.workers, settings.executor) as executor:
        item = _device(device, slots or (home_slot(device),), "", settings, executor)
    return sheet_html(device.title, device.prose, [item], source).encode()


def collection_sheet(collection: Collection, glossary: Glossary, settings: Settings, source: str) -> bytes:
    """Writes a lesson or a set: its devices in the keys asked for, its songs as charts.

    Args:
        collection: The collection.
        glossary: Where its devices and songs are.
        settings: The options.
        source: What the glossary calls itself.

    Raises:
        EngraversError: Nothing is there that could engrave.
    """
    shown: set[tuple[str, str]] = set()
    with executor_of(settings.workers, settings.executor) as executor:
        items = [
            found for item in collection.items for found in _items(item, glossary, settings, shown, executor)
        ]
    return sheet_html(collection.title, collection.prose, items, source).encode()


def _items(
    item: CollectionItem,
    glossary: Glossary,
    settings: Settings,
    shown: set[tuple[str, str]],
    executor: Executor,
) -> Iterator[SheetItem]:
    note = item.note or ""
    device = glossary.device.get((item.device and item.device.slug) or "")
    if device is not None:
        # One engraving may stand in a file once only, since its ids must be unique.
        fresh = [one for one in item.keys or (home_slot(device),) if (device.slug, one) not in shown]
        shown.update((device.slug, slot) for slot in fresh)
        yield _device(device, fresh, note, settings, executor)
    song = glossary.song.get((item.song and item.song.slug) or "")
    if song is not None:
        yield _song(song, note)


def _song(song: Song, note: str) -> SheetItem:
    text = f"{pretty_key(song.key)}, {song.meter}"
    return SheetItem(song.title, text, note, (), " ".join(song.form), section_views(song))


def _device(
    device: Device, slots: Sequence[str], note: str, settings: Settings, executor: Executor
) -> SheetItem:
    placed = [in_slot(device, slot, settings) for slot in dict.fromkeys(slots)]
    labels = tuple(pretty(str(degree)) for degree in degrees(device.passage))
    jobs = [Job(device.slug, one.slot, passage, labels) for one, passage in placed]
    press = Press(executor)
    ordered = press.order(jobs)
    for _ in press.collect():
        pass
    drawn = press.results(ordered)
    done = [drawn[device.slug, one.slot] for one, _ in placed]
    figures = tuple(
        SheetFigure(pretty_key(one.key), found if isinstance(found, Engraving) else None, in_words(passage))
        for (one, passage), found in zip(placed, done, strict=True)
    )
    return SheetItem(device.title, device.summary, note, figures)
