"""Builds the site: reads, checks, computes and engraves a glossary. Knows no site generator."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

from transposary.cache import Cache, Packs, Spare
from transposary.check import check_reading
from transposary.engraving import Press, executor_of
from transposary.engraving.works import Done
from transposary.glossary import Device, Glossary
from transposary.importing import read_all
from transposary.practice import Take, read_record, record_in
from transposary.problems import Problem, in_order
from transposary.reading import BrokenEntry, Read, Reading
from transposary.recall import recall_checks, recall_fingering
from transposary.settings import Settings
from transposary.site.compose import Composition, Linking, Places, mentioned_in
from transposary.site.digests import digests_of
from transposary.site.edition import Edition
from transposary.site.export import glossary_json, schema_json
from transposary.site.filed import Filing
from transposary.site.fitted import Fitted, Fitting
from transposary.site.links import Directory, Link, source_of, source_of_entry
from transposary.site.making import Making
from transposary.site.moved import moved
from transposary.site.page import Composed, Page
from transposary.site.pages.broken import broken_page
from transposary.site.pages.find import INDEX, find_index
from transposary.site.press import page_of, pages_of
from transposary.site.prints import Prints, filing_of
from transposary.site.related import Relation, relations
from transposary.site.worked import InKey, Worked, versions_of
from transposary.song import Song
from transposary.theory.keys import placements

Tell = Callable[[str, int, int], None]
"""Hears what a build is at, and how many of how many are done; none where that is not known."""

Stands = Callable[[Mapping[str, str]], frozenset[str]]
"""Tells from digests of what pages are made from, by source, which of them need not be made."""


def _tell_nobody(what: str, done: int, every: int) -> None:
    """Keeps quiet."""


@dataclass(frozen=True, slots=True)
class Workshop:
    """What a build works with.

    Attributes:
        cache: What earlier builds have left on disk.
        executor: What engraves, to be used again; None makes one for a build, by the settings.
        tell: Hears how far it is.
        stands: Tells which pages need not be made, from digests of all that they are made from but
            where they are mentioned, by source; None where all are made.
    """

    cache: Cache = Cache()  # noqa: RUF009  (a frozen value)
    executor: Executor | None = None
    tell: Tell = _tell_nobody
    stands: Stands | None = None

    def standing(self, edition: Edition, broken: Sequence[BrokenEntry]) -> frozenset[str]:
        """Gives the sources of the pages that need not be made."""
        withheld = [source_of(one.kind, one.slug) for one in broken]
        return frozenset() if self.stands is None else self.stands(digests_of(edition, withheld))


_PLAIN = Workshop()
_NOTHING = Cache()


@dataclass(frozen=True)
class Site:
    """A site as values: whoever publishes it renders the prose and writes the files.

    Attributes:
        edition: What it was made from.
        pages: The pages by source.
        files: Other files, by address from the site's root.
        prints: What workers have made.
        withheld: Sources of entries that have no page.
        moved: Pages that had another name, by that name.
        problems: All problems of the build, in order.
        checked: What was found in each published device by itself, by slug.
        read: What was read in each file of the glossary.
        standing: Sources of pages that stand as they would be made: only what others need is there.
    """

    edition: Edition
    pages: Mapping[str, Page]
    files: Filing
    prints: Prints
    withheld: tuple[str, ...]
    moved: Mapping[str, Page]
    problems: tuple[Problem, ...]
    checked: Mapping[str, tuple[Problem, ...]]
    read: Mapping[str, Read] = field(default_factory=dict, repr=False)
    standing: frozenset[str] = frozenset()

    def compose(self, prose: Mapping[str, str], urls: Mapping[str, str]) -> Mapping[str, Composed]:
        """Composes the contents of all pages around their rendered prose; see `site.compose`."""
        linking = self.link(prose, urls, Linking())
        return Composition({}).again(self.pages, linking, self.mentioned_in(linking.mentions)).pages

    def link(self, prose: Mapping[str, str], urls: Mapping[str, str], before: Linking) -> Linking:
        """Links what the prose of the pages mentions, but for that of pages that stand."""
        places = Places.of(self.edition.glossary, tuple(self.pages), self.withheld, urls)
        made = (page for source, page in self.pages.items() if source not in self.standing)
        return before.again(made, prose, places)

    def mentioned_in(self, mentions: Mapping[str, Sequence[str]]) -> Mapping[str, tuple[Link, ...]]:
        """Lists by source where a page is mentioned, from what all pages mention."""
        return mentioned_in(self.pages, mentions)

    def with_pages(self, sources: Iterable[str]) -> Site:
        """Makes the pages of devices that were taken to stand, and do not."""
        made = {source: page_of(self.edition, source) for source in sources}
        return replace(self, pages={**self.pages, **made}, standing=self.standing - made.keys())

    def finish(self, html: str) -> str:
        """Puts the engravings into a finished page."""
        return self.prints.finish(html)


def build_site(
    root: Path,
    settings: Settings,
    *,
    drafts: bool,
    before: Site | None,
    workshop: Workshop = _PLAIN,
) -> Site:
    """Builds the site of a glossary. Engraving goes on in the background meanwhile.

    Args:
        root: The folder of the entries.
        settings: The options.
        drafts: Whether the author is looking: drafts and broken entries have pages, and pages
            show their problems in full.
        before: An earlier build, of which is used again what has not changed; None for none.
        workshop: What it works with.

    Raises:
        EngraversError: Nothing is there that could engrave.
    """
    if workshop.executor is None:
        with executor_of(settings.workers, settings.executor) as executor:
            own = replace(workshop, executor=executor)
            return build_site(root, settings, drafts=drafts, before=before, workshop=own)
    tell = workshop.tell
    # What an earlier build could not put into the cache still lies where it was.
    packs = Packs(workshop.cache, Spare() if before is None else before.prints.packs.spare)
    press = Press(workshop.executor, packs)
    reading = read_all(root, settings, {} if before is None else before.read)
    published = reading.glossary if drafts else without_drafts(reading.glossary)
    known = before.edition.worked if before is not None and before.edition.settings == settings else {}
    worked: dict[str, Worked] = {}
    begun: dict[str, str] = {}
    for number, device in enumerate(published.devices, 1):
        tell("placing", number, len(published.devices))
        same = known.get(device.slug)
        if same is None or not _same_device(same.device, device):
            worked[device.slug] = _worked(device, settings, workshop.cache)
            (begun[device.slug],) = press.begin([Making.of(worked[device.slug])])
        else:
            worked[device.slug] = same
    fitting = Fitting(published.songs, workshop.cache)
    fitted = _fitted_before(before, fitting, worked)
    for number, (slug, one) in enumerate(worked.items(), 1):
        tell("fitting into songs", number, len(worked))
        if slug not in fitted:
            fitted[slug] = _fit(press, fitting, one.device)
    checked = {
        device.slug: before.checked[device.slug]
        if before is not None and _stood_there(before, worked[device.slug], device)
        else recall_checks(workshop.cache, device, settings)
        for device in published.devices
    }
    problems = in_order(_of_published(check_reading(reading, settings, checked), reading, published))
    takes, unread = _practice(root, reading.glossary, shown=drafts or settings.publish_practice)
    edition = Edition(
        glossary=published,
        directory=Directory.of(reading.glossary, published),
        worked=worked,
        fitted=fitted,
        related=_related(published, None if before is None else before.edition),
        problems=problems,
        settings=settings,
        preview=drafts,
        practice=takes,
        practice_problems=unread,
    )
    edition = replace(edition, around=edition.surroundings(None if before is None else before.edition))
    pages = _pages(edition, reading, standing := workshop.standing(edition, reading.broken))
    for done, every in press.collect():
        tell("engraving", done, every)
    made = {} if before is None else dict(before.prints.made)
    made |= {slug: press.done[key] for slug, key in begun.items()}
    made = {slug: made[slug] for slug in worked}
    there = _there(press, fitted, before)
    failures = _failures([*there.values(), *made.values()], worked)
    problems = in_order((*problems, *failures))
    if failures:
        edition = replace(edition, problems=problems)
        pages = _pages(edition, reading, standing)
    every_source = [source_of_entry(entry) for entry in reading.glossary.entries()]
    every_source += [source_of(one.kind, one.slug) for one in reading.broken]
    withheld = tuple(source for source in every_source if source not in pages)
    old = moved(published, pages, withheld)
    again = partial(executor_of, settings.workers, settings.executor)
    # What was worked out for the pages goes with them.
    bare = {slug: replace(one) for slug, one in worked.items()}
    prints = Prints(packs, again, bare, replace(fitting), fitted, made, there)
    files, told = filing_of(prints, _exports(edition)), in_order((*edition.problems, *unread))
    return Site(edition, pages, files, prints, withheld, old, told, checked, reading.read, standing)


def _related(published: Glossary, before: Edition | None) -> Mapping[str, tuple[Relation, ...]]:
    """Compares all devices with each other, unless nothing has changed but prose."""
    same = before is not None and before.glossary.says_the_same(published)
    return before.related if before is not None and same else relations(published)


def _exports(edition: Edition) -> dict[str, bytes]:
    """Writes what other programs and the page that finds devices read, by address."""
    keys = {slug: [key.placement for key in one.keys] for slug, one in edition.worked.items()}
    fits = {slug: one.fits for slug, one in edition.fitted.items()}
    shelf = edition.glossary
    text = glossary_json(shelf, edition.problems, lambda one: keys[one.slug], fits, edition.related)
    return {
        "glossary.json": text.encode(),
        "glossary.schema.json": schema_json().encode(),
        INDEX: find_index(shelf.devices),
    }


def _practice(
    root: Path, glossary: Glossary, *, shown: bool
) -> tuple[tuple[Take, ...] | None, tuple[Problem, ...]]:
    """Reads the author's record, if there is one that anybody may see in this build."""
    data = record_in(root) if shown else None
    return (None, ()) if data is None else read_record(data, glossary.devices)


def _pages(edition: Edition, reading: Reading, standing: frozenset[str]) -> dict[str, Page]:
    pages = {page.source: page for page in pages_of(edition, standing)}
    for one in reading.broken if edition.preview else ():
        found = tuple(problem for problem in edition.problems if problem.place.file == one.path)
        source = source_of(one.kind, one.slug)
        pages.setdefault(source, broken_page(source, one.title, found))
    return pages


def without_drafts(glossary: Glossary) -> Glossary:
    """Leaves drafts out, and undefined concepts that only drafts name."""
    devices = tuple(device for device in glossary.devices if not device.draft)
    named = {ref.slug for device in devices for ref in device.concepts}
    return Glossary(
        devices,
        tuple(song for song in glossary.songs if not song.draft),
        tuple(one for one in glossary.concepts if not one.draft and (one.defined or one.slug in named)),
        tuple(one for one in glossary.collections if not one.draft),
        glossary.sources,
    )


def _of_published(problems: Sequence[Problem], reading: Reading, published: Glossary) -> list[Problem]:
    """Leaves out what is wrong with entries that are not published."""
    shown = {source_of_entry(entry) for entry in published.entries()}
    hidden = {entry.place.file for entry in reading.glossary.entries() if source_of_entry(entry) not in shown}
    return [problem for problem in problems if problem.place.file not in hidden]


def _worked(device: Device, settings: Settings, cache: Cache = _NOTHING) -> Worked:
    keys = map(InKey, placements(device.passage, device.compass, settings))
    return Worked(device, tuple(keys), partial(recall_fingering, cache))


def _fitted_before(before: Site | None, fitting: Fitting, worked: Mapping[str, Worked]) -> dict[str, Fitted]:
    """Gives where devices fit that an earlier build has placed in the same songs."""
    if before is None or not _same_songs(before.edition.glossary.songs, fitting.songs):
        return {}
    known = before.edition
    return {slug: known.fitted[slug] for slug, one in worked.items() if known.worked.get(slug) is one}


def _same_device(device: Device, other: Device) -> bool:
    """Tells whether devices are the same, and signs such as C for 4/4, which are not compared, too."""
    return device == other and _signs(device) == _signs(other)


def _signs(device: Device) -> list[list[str]]:
    versions = [notation for _, notation in versions_of(device).values()]
    return [[bar.meter.symbol for bar in passage.bars] for passage in (device.passage, *versions)]


def _stood_there(before: Site, worked: Worked, device: Device) -> bool:
    """Tells whether a device is that of an earlier build, and stood at the same place in its file."""
    same = before.edition.worked.get(device.slug) is worked
    # Another place makes no other device; a file that was not read again has the same passage.
    return same and before.edition.glossary.device[device.slug].passage is device.passage


def _same_songs(songs: Sequence[Song], others: Sequence[Song]) -> bool:
    """Tells whether songs are the same, and signs such as C for 4/4, which are not compared, too."""
    signs, theirs = (
        [[song.meter.symbol, *(bar.bar.meter.symbol for bar in song.played)] for song in some]
        for some in (songs, others)
    )
    return songs == others and signs == theirs


def _fit(press: Press, fitting: Fitting, device: Device) -> Fitted:
    """Finds where a device fits, and has it engraved as it is carried over, but for what is there."""
    known = fitting.known(device)
    if known is not None and not press.recall(one.drawing for one in known.carried if one.drawing):
        return known
    found, jobs = fitting.find(device)
    press.order(jobs)
    return found


def _there(press: Press, fitted: Mapping[str, Fitted], before: Site | None) -> dict[tuple[str, str], Done]:
    """Gives what came of the figures of devices carried over to songs, in this build or an earlier one."""
    known = {} if before is None else before.prints.there
    return {
        (slug, there.figure): press.done.get(there.drawing) or known[slug, there.figure]
        for slug, one in fitted.items()
        for there in one.carried
        if there.drawing
    }


def _failures(results: Iterable[Done], worked: Mapping[str, Worked]) -> list[Problem]:
    return [
        Problem(
            worked[one.slug].device.notation_place,
            "engraving.failed",
            f"{one.slot} could not be engraved: {one.reason}",
        )
        for done in results
        for one in done.failures
    ]
