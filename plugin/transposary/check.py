"""Everything that is checked in a glossary once it has been read, one function a rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from transposary.glossary import (
    AppliedIn,
    Collection,
    Concept,
    Device,
    Entry,
    Glossary,
    Kind,
    Ref,
    kind_of,
    source_name,
)
from transposary.notes import attacks
from transposary.passage import Passage
from transposary.problems import Place, Problem, Severity, in_order
from transposary.reading import Reading
from transposary.reading.skeletons import prose_to_write, still_to_write
from transposary.repertoire.applied import check_applied_chords
from transposary.settings import Settings
from transposary.song import Song
from transposary.theory.claims import check_claims
from transposary.theory.clash import check_clashes
from transposary.theory.playability import check_playability
from transposary.theory.spelling import check_spelling
from transposary.theory.symbols import check_symbols

Known = Mapping[str, tuple[Problem, ...]]
"""What `check_device` has found before, by slug."""

_NOTHING_KNOWN: Known = {}


def check_glossary(
    glossary: Glossary, settings: Settings, known: Known = _NOTHING_KNOWN
) -> tuple[Problem, ...]:
    """Runs every check over the entries of a glossary and leaves out the remarks they accept.

    Args:
        glossary: The entries.
        settings: The options.
        known: Of devices that were checked before.
    """
    found: list[Problem] = []
    for device in glossary.devices:
        if source_name(device.slug):
            # Whoever imports it has left it out if anything is wrong with it.
            continue
        found += known[device.slug] if device.slug in known else check_device(device, settings)
        found += check_applied(device, glossary)
        found += check_applied_chords(device, glossary)
    found += check_likeness(glossary)
    found += check_broader(glossary)
    found += check_variants(glossary)
    found += check_see_also(glossary)
    found += check_drafts(glossary)
    found += check_unwritten(glossary)
    return accepted(in_order(found), glossary.devices)


def check_reading(reading: Reading, settings: Settings, known: Known = _NOTHING_KNOWN) -> tuple[Problem, ...]:
    """Gathers all that an author should see: what reading found, and every check.

    What could be read of the entries that were left out is checked by itself, so that all
    their problems come out in one run.

    Args:
        reading: What a folder holds.
        settings: The options.
        known: Of devices that were checked before.
    """
    found = [*reading.problems, *check_glossary(reading.glossary, settings, known)]
    left_out = [one.entry for one in reading.broken if isinstance(one.entry, Device)]
    for device in left_out:
        found += check_device(device, settings)
        found += check_applied(device, reading.glossary)
        found += check_applied_chords(device, reading.glossary)
    return accepted(in_order(found), (*reading.glossary.devices, *left_out))


def check_device(device: Device, settings: Settings) -> tuple[Problem, ...]:
    """Runs the checks that look at one device alone."""
    return (
        *check_claims(device),
        *check_spelling(device),
        *check_clashes(device),
        *check_symbols(device),
        *check_playability(device, settings),
    )


def accepted(problems: Sequence[Problem], devices: Sequence[Device]) -> tuple[Problem, ...]:
    """Leaves out the remarks that the devices they stand in accept."""
    accepting = {device.place.file: device.accept for device in devices}
    return tuple(
        problem
        for problem in problems
        if problem.severity is Severity.ERROR
        or problem.rule.rpartition(".")[2] not in accepting.get(problem.place.file, ())
    )


def check_applied(device: Device, glossary: Glossary) -> tuple[Problem, ...]:
    """Finds bars of songs that a device names and that the songs do not have."""
    return tuple(
        problem
        for applied in device.applied_in
        if applied.song.slug and applied.song.slug in glossary.song
        for problem in _missing_bars(applied, glossary.song[applied.song.slug])
    )


def _missing_bars(applied: AppliedIn, song: Song) -> Iterator[Problem]:
    bars = applied.bars
    if bars.section is None:
        numbers = [bar.number for bar in song.played]
        if not {bars.first, bars.last} <= set(numbers):
            text = (
                f"{song.title} has the bars {min(numbers)} to {max(numbers)} through its form, found {bars}"
            )
            yield Problem(bars.place, "reference.bars", text)
        return
    section = next((one for one in song.sections if one.name == bars.section), None)
    if section is None:
        names = ", ".join(one.name for one in song.sections)
        text = f"expected a section of {song.title}, found `{bars.section}`"
        yield Problem(bars.place, "reference.bars", text, f"its sections are {names}")
    elif bars.last > len(section.bars) or bars.first < 1:
        text = f"section {section.name} of {song.title} has the bars 1 to {len(section.bars)}, found {bars}"
        yield Problem(bars.place, "reference.bars", text)


def check_likeness(glossary: Glossary) -> tuple[Problem, ...]:
    """Remarks on devices whose notes are those of another one, moved to another pitch."""
    alike: dict[object, list[Device]] = {}
    # Those of others come first: only a remark in an entry of one's own can be accepted.
    for device in sorted(glossary.devices, key=lambda one: not source_name(one.slug)):
        alike.setdefault(_shape(device.passage), []).append(device)
    return tuple(
        _likeness(first, other)
        for first, *others in alike.values()
        for other in others
        if not source_name(other.slug) or source_name(other.slug) != source_name(first.slug)
        if not _meant(first, other)
    )


def _shape(passage: Passage) -> tuple[tuple[Fraction, Fraction, int], ...]:
    """Gives what transposition leaves alone: when, how long and how far above the lowest note."""
    struck = [note for note in attacks(passage) if not note.grace]
    lowest = min((note.pitch.midi for note in struck), default=0)
    return tuple(sorted((note.onset, note.duration, note.pitch.midi - lowest) for note in struck))


def _meant(one: Device, other: Device) -> bool:
    said = {device.variant_of.slug for device in (one, other) if device.variant_of}
    return bool(said & {one.slug, other.slug}) or "likeness" in one.accept


def _likeness(first: Device, other: Device) -> Problem:
    text = f"these are the notes of {first.title} ({first.place.file}), moved to another pitch"
    hint = f"write `variant_of: {first.slug}` if that is meant, or keep one of the two"
    return Problem.remark(other.notation_place, "glossary.likeness", text, hint)


def check_broader(glossary: Glossary) -> tuple[Problem, ...]:
    """Finds concepts that are broader than themselves, directly or by way of others."""
    return _circles(
        {concept.slug: concept.broader for concept in glossary.concepts}, "broader", "broader than"
    )


def check_variants(glossary: Glossary) -> tuple[Problem, ...]:
    """Finds devices that are variants of themselves, directly or by way of others."""
    above = {device.slug: device.variant_of for device in glossary.devices}
    return _circles(above, "variant_of", "a variant of")


def _circles(above: Mapping[str, Ref | None], field: str, relation: str) -> tuple[Problem, ...]:
    """Follows a relation upward from each entry, and reports each circle once."""
    problems: list[Problem] = []
    done: set[str] = set()
    for start in sorted(above):
        way: list[str] = []
        at: str | None = start
        while at is not None and at not in done and at not in way:
            way.append(at)
            ref = above.get(at)
            at = ref.slug if ref else None
        if at is not None and at in way:
            circle = [*way[way.index(at) :], at]
            last = above[circle[-2]]
            place = last.place if last else Place("")
            text = f"`{field}` goes round in a circle: {', '.join(circle[:-1])} and {at} again"
            problems.append(
                Problem(place, "reference.circle", text, f"nothing is {relation} itself: take one out")
            )
        done.update(way)
    return tuple(problems)


def check_see_also(glossary: Glossary) -> tuple[Problem, ...]:
    """Finds devices that refer the reader to themselves."""
    return tuple(
        Problem(ref.place, "reference.device", "`see_also` names this very device", "take it out")
        for device in glossary.devices
        for ref in device.see_also
        if ref.slug == device.slug
    )


def check_drafts(glossary: Glossary) -> tuple[Problem, ...]:
    """Remarks on links from published entries to drafts, which readers see as plain text."""
    drafts = {(kind_of(entry), entry.slug) for entry in glossary.entries() if entry.draft}
    return tuple(
        Problem.remark(
            ref.place,
            "reference.draft",
            f"the {kind.noun} `{ref.name}` is a draft: readers see its name without a link",
            "publish it, or leave this until you do",
        )
        for entry in glossary.entries()
        if not entry.draft
        for kind, ref in _references(entry)
        if (kind, ref.slug) in drafts
    )


def check_unwritten(glossary: Glossary) -> tuple[Problem, ...]:
    """Remarks on published entries that still say what stands in a new one."""
    own = [entry for entry in glossary.entries() if not entry.draft and not source_name(entry.slug)]
    found = []
    for entry in own:
        if isinstance(entry, Device) and still_to_write(entry.summary):
            found.append(_unwritten(entry, "summary", "say in a sentence what it is"))
        if entry.prose.strip() == prose_to_write(kind_of(entry), entry.title):
            found.append(_unwritten(entry, "prose", "write your own words below the second line `---`"))
    return tuple(found)


def _unwritten(entry: Entry, what: str, hint: str) -> Problem:
    text = f"the {what} is still the one that a new {kind_of(entry).noun} begins with"
    return Problem.remark(entry.place, "entry.unwritten", text, hint)


def _references(entry: Entry) -> Iterator[tuple[Kind, Ref]]:
    match entry:
        case Device():
            yield from ((Kind.CONCEPT, ref) for ref in entry.concepts)
            yield from ((Kind.SONG, heard.song) for heard in entry.heard_in if heard.song)
            yield from ((Kind.SONG, applied.song) for applied in entry.applied_in)
            yield from ((Kind.DEVICE, ref) for ref in (entry.variant_of, *entry.see_also) if ref)
        case Concept() if entry.broader:
            yield Kind.CONCEPT, entry.broader
        case Collection():
            yield from ((Kind.DEVICE, item.device) for item in entry.items if item.device)
            yield from ((Kind.SONG, item.song) for item in entry.items if item.song)
        case _:
            return
