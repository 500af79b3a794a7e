"""The fields of a song, a concept or a collection to the entry."""

from __future__ import annotations

from dataclasses import replace

from transposary.glossary import Collection, CollectionItem, Concept
from transposary.passage import STRAIGHT, Key, Meter
from transposary.pitch import NoteName
from transposary.problems import Fault, Problem, SourceText
from transposary.reading.chart import read_chart, read_pickup
from transposary.reading.devices import VALUE, ref
from transposary.reading.form import play
from transposary.reading.gathering import Gathering
from transposary.reading.leadsheet import read_lead_sheet
from transposary.reading.pages import Page
from transposary.reading.schema import CollectionFields, ConceptFields, ItemFields, SongFields, Status
from transposary.reading.scorefiles import load_score
from transposary.reading.tree import Looks, Scalar, quoted
from transposary.reading.values import parse_feel, parse_meter
from transposary.song import ChartBar, Section, Song
from transposary.theory.keys import parse_key, slot_of


def read_song(fields: SongFields, page: Page) -> tuple[Song | None, tuple[Problem, ...]]:
    """Reads the chart of a song and plays it in the order of its form.

    Returns:
        The song, or None where its meter or chart cannot be read; and what is wrong.
    """
    found = Gathering()
    # Where the key cannot be read, the chart is checked all the same.
    key = found.parsed(fields.key, parse_key, "song.key") or Key(NoteName(0))
    meter = found.parsed(fields.meter, parse_meter, "song.meter")
    feel = found.parsed(fields.feel, parse_feel, VALUE) if fields.feel else None
    if meter is None:
        return None, tuple(found.problems)
    sections, pickup = found.take(_chart(fields, page, meter, key))
    if not sections:
        return None, tuple(found.problems)
    # A section that could not be read has its own problem; the form need not complain of it too.
    lost = {written.source.value for written in fields.section_keys()} - {one.name for one in sections}
    form = found.take(play(sections, [one for one in fields.form or () if one.value not in lost], pickup))
    song = Song(
        slug=page.slug,
        title=fields.title.value,
        key=key,
        meter=meter,
        place=page.place,
        sections=sections,
        form=form.names,
        played=form.played,
        aliases=tuple(alias.value for alias in fields.aliases),
        tempo=fields.tempo,
        feel=feel or STRAIGHT,
        genres=tuple(genre.value for genre in fields.genres),
        draft=fields.status is Status.DRAFT,
        prose=page.prose,
    )
    return song, tuple(found.problems)


_Chart = tuple[tuple[Section, ...], ChartBar | None]


def _chart(fields: SongFields, page: Page, meter: Meter, key: Key) -> tuple[_Chart, tuple[Problem, ...]]:
    """Reads the sections and the pickup, none where there is nothing to read."""
    if fields.has("chart") and fields.has("score"):
        text = "a song has one chart, found `chart` and `score`"
        return ((), None), (Problem(fields.key_place("score"), VALUE, text, "take one of them out"),)
    if fields.score:
        return _lead_sheet(fields, fields.score, page, meter, key)
    if not fields.chart:
        return ((), None), () if fields.has("chart") or fields.has("score") else (_no_chart(page),)
    found = Gathering()
    for written in fields.section_keys():
        found.problems += _check_section_name(written)
    sections = tuple(
        Section(name, found.take(read_chart(source, meter, key)), source.start)
        for name, source in fields.chart.items()
    )
    pickup = found.take(read_pickup(fields.pickup, meter, key)) if fields.pickup else None
    return (sections, pickup), tuple(found.problems)


def _no_chart(page: Page) -> Problem:
    text = "a song needs the field `chart`, found none"
    hint = 'write `chart:` and below it, indented, a line for each section, such as `A: "| D7 | G7 |"`'
    return Problem(page.place, "entry.missing", text, hint)


def _lead_sheet(
    fields: SongFields, source: SourceText, page: Page, meter: Meter, key: Key
) -> tuple[_Chart, tuple[Problem, ...]]:
    """Reads the chart of a score as one section, A, and holds the song's meter against it."""
    found = Gathering()
    data = load_score(source.value, page)
    if isinstance(data, Fault):
        found.error(source.start, "entry.score", data.text, data.hint)
        return ((), None), tuple(found.problems)
    sheet = read_lead_sheet(data, source.value, key)
    if isinstance(sheet, Fault):
        found.error(source.start, "reading.score", f"{source.value}: {sheet.text}", sheet.hint)
        return ((), None), tuple(found.problems)
    first = sheet.pickup or sheet.bars[0]
    if first.meter != meter:
        text = f"the score is in {first.meter}, found `{fields.meter.value}`"
        found.error(fields.meter.start, "song.meter", text, f"write `meter: {first.meter}`")
    bars = tuple(replace(bar, place=source.start) for bar in sheet.bars)
    return ((Section("A", bars, source.start),), sheet.pickup), tuple(found.problems)


def _check_section_name(key: Scalar) -> tuple[Problem, ...]:
    name = key.source.value
    if key.looks is not Looks.FLAG:
        return ()
    text = f"expected the name of a section, found `{name}`, which YAML reads as yes or no"
    return (Problem(key.place, "song.chart", text, f"write `{quoted(name)}:`"),)


def read_concept(fields: ConceptFields, page: Page) -> tuple[Concept | None, tuple[Problem, ...]]:
    """Reads a concept; its definition is the prose."""
    problems: tuple[Problem, ...] = ()
    if not page.prose.strip():
        text = "a concept is explained below its second line `---`, found nothing there"
        problems = (Problem(page.place, "concept.definition", text, "write a sentence"),)
    concept = Concept(
        slug=page.slug,
        title=fields.title.value,
        place=page.place,
        aliases=tuple(alias.value for alias in fields.aliases),
        broader=ref(fields.broader),
        draft=fields.status is Status.DRAFT,
        prose=page.prose,
    )
    return concept, problems


def read_collection(fields: CollectionFields, page: Page) -> tuple[Collection | None, tuple[Problem, ...]]:
    """Reads a lesson or a set."""
    found = Gathering()
    items = [found.take(_item(one)) for one in fields.items]
    collection = Collection(
        slug=page.slug,
        title=fields.title.value,
        purpose=fields.purpose,
        items=tuple(item for item in items if item),
        place=page.place,
        aliases=tuple(alias.value for alias in fields.aliases),
        due=fields.due,
        draft=fields.status is Status.DRAFT,
        prose=page.prose,
    )
    return collection, tuple(found.problems)


def _item(fields: ItemFields) -> tuple[CollectionItem | None, tuple[Problem, ...]]:
    found = Gathering()
    given = [name for name in ("device", "song") if fields.has(name)]
    if len(given) != 1:
        text = f"expected either `device` or `song` in `items`, found {'both' if given else 'none'}"
        found.error(
            fields.place, "entry.missing" if not given else VALUE, text, "give each a line of its own"
        )
        return None, tuple(found.problems)
    slots = [found.parsed(source, _slot, "entry.keys") for source in fields.keys]
    for name in ("keys", "tempo", "due") if fields.song else ():
        if fields.has(name):
            text = f"`{name}` belongs to a `device`, found it at a `song`"
            found.error(fields.key_place(name), VALUE, text, "say it in `note`, or take it out")
    note = fields.note.value if fields.note else None
    keys = tuple(slot for slot in slots if slot)
    item = CollectionItem(
        ref(fields.device), ref(fields.song), keys, note, fields.place, fields.tempo, fields.due
    )
    return item, tuple(found.problems)


def _slot(text: str) -> str | Fault:
    """Reads a tonic, or a key of which only the tonic counts."""
    try:
        return slot_of(NoteName.parse(text.strip()))
    except ValueError:
        key = parse_key(text)
        return key if isinstance(key, Fault) else slot_of(key.tonic)
