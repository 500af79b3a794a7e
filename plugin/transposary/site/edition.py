"""What the pages are made from: the published glossary with all that was computed for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar, cast

from transposary.engraving import Engraving, EngravingFailure
from transposary.glossary import AppliedIn, Device, Glossary, Kind, matching_name, source_name
from transposary.passage import Passage
from transposary.pitch import pretty
from transposary.practice import Take
from transposary.problems import Problem
from transposary.repertoire import Fit
from transposary.repertoire.carrying import Carried
from transposary.repertoire.judging import Voiced, voiced
from transposary.repertoire.landing import Refusal
from transposary.settings import Settings
from transposary.site.links import Directory, Link, called
from transposary.site.related import Relation, relations
from transposary.theory.explanation import Explanation, explain
from transposary.theory.fingering.keys import HandFingering
from transposary.theory.keys import Placement, pretty_key

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class InKey:
    """A device in one key.

    Attributes:
        placement: The slot, the key and how the device came there.
        passage: The notes.
    """

    placement: Placement
    passage: Passage

    @property
    def slot(self) -> str:
        """The slot, which names anchors and files."""
        return self.placement.slot

    @property
    def tonic(self) -> str:
        """The tonic as readers see it: `E♭`."""
        return pretty(str(self.placement.key.tonic))

    @property
    def name(self) -> str:
        """The key as readers see it: `E♭ major`."""
        return pretty_key(self.placement.key)


@dataclass(frozen=True, slots=True)
class AsPlayed:
    """A version of a device as it was played in a song.

    Attributes:
        figure: Name of its figure, in the place of a slot.
        applied: Where it was played.
        passage: The notes.
        words: The notes in words.
        own: The device itself in that key, to be compared with it.
        own_words: Its notes in words.
        together: Whether both stand in one figure, bar under bar.
    """

    figure: str
    applied: AppliedIn
    passage: Passage
    words: str
    own: Passage
    own_words: str
    together: bool = False

    @property
    def said(self) -> str:
        """What its figure shows, in words."""
        if not self.together:
            return self.words
        head = "The device stands above, what was played below it."
        return f"{head}\nThe device:\n{self.own_words}\nAs played:\n{self.words}"

    @property
    def own_figure(self) -> str:
        """Name of the figure of the device itself."""
        return f"{self.figure}-from"


@dataclass(frozen=True, slots=True)
class There:
    """A device carried over to the best of the places where it fits in a song.

    Attributes:
        fit: The place.
        carried: The device there, or why it cannot be carried over.
        words: Its notes there in words; empty where there are none.
    """

    fit: Fit
    carried: Carried | Refusal
    words: str

    @property
    def figure(self) -> str:
        """Name of its figure, in the place of a slot."""
        return f"in-{self.fit.song}"


@dataclass(frozen=True)
class Worked:
    """A device with everything computed from its notes.

    Attributes:
        device: The device.
        keys: It in twelve keys, in the order of the slots.
        played: Its versions as played, where the author has written them down.
        fingering: Fingers for it in every key, hand by hand.
    """

    device: Device
    keys: tuple[InKey, ...]
    played: tuple[AsPlayed, ...]
    fingering: tuple[HandFingering, ...]

    @cached_property
    def explanation(self) -> Explanation:
        """What is explained about it, kept as long as it does not change."""
        return explain(self.device.passage)

    @cached_property
    def voiced(self) -> tuple[Voiced, ...]:
        """Its notes, prepared for being judged in songs."""
        return voiced(self.device)

    def while_same(self, made_from: object, make: Callable[[], T]) -> T:
        """Gives the page that was made from something, and makes it when that is no longer the same."""
        known = self._page.get("page")
        if known is None or known[0] != made_from:
            known = self._page["page"] = made_from, make()
        return cast("T", known[1])

    @cached_property
    def _page(self) -> dict[str, tuple[object, object]]:
        return {}

    @cached_property
    def _made(self) -> dict[Callable[[Worked], object], object]:
        return {}

    def once(self, make: Callable[[Worked], T]) -> T:
        """Gives what is made from this alone, and makes it once as long as it does not change."""
        if make not in self._made:
            self._made[make] = make(self)
        return cast("T", self._made[make])

    @property
    def home(self) -> InKey:
        """It in the key in which the author wrote it."""
        return next(key for key in self.keys if key.placement.key == self.device.passage.key)

    def in_slot(self, slot: str) -> InKey:
        """Gives it in the key of a slot."""
        return next(key for key in self.keys if key.slot == slot)


@dataclass(frozen=True, slots=True)
class Made:
    """What is made of a device in a worker, and not needed before its page is finished.

    Attributes:
        engravings: The figures of its pages.
        failures: The figures that could not be engraved, those of parts among them.
        words: Its notes in words, by slot.
        files: Its music and parts, by address from the site's root.
        glyphs: The signs of its parts as (id, definition).
    """

    engravings: tuple[Engraving, ...]
    failures: tuple[EngravingFailure, ...]
    words: Mapping[str, str]
    files: Mapping[str, bytes]
    glyphs: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Edition:
    """A glossary ready to be set.

    Attributes:
        glossary: What is published.
        directory: Who has a page.
        worked: The devices with what was computed from them, by slug.
        fits: Where the devices fit, the best places first, by slug.
        carried: The devices carried over to songs, in the order of `fits`, by slug.
        made: What the workers made of the devices, by slug; empty until they are done.
        engravings: All figures of pages, by slug of the device and name of the figure; the same.
        problems: All problems of the build, in order.
        settings: The options.
        preview: Whether the author is looking at it: problems are then shown in full.
        practice: The author's record, or None where there is none to show.
        around: What the pages of all devices depend on besides these; None where nobody knows.
        practice_problems: What is wrong with it. They are as private as it is, and so are not among
            the others, which go into the export.
    """

    glossary: Glossary
    directory: Directory
    worked: Mapping[str, Worked]
    fits: Mapping[str, tuple[Fit, ...]]
    carried: Mapping[str, tuple[There, ...]]
    made: Mapping[str, Made]
    engravings: Mapping[tuple[str, str], Engraving]
    problems: tuple[Problem, ...]
    settings: Settings
    preview: bool
    practice: tuple[Take, ...] | None = None
    practice_problems: tuple[Problem, ...] = ()
    around: object = None

    def surroundings(self, before: Edition | None) -> object:
        """Gives what `around` is for this edition: the same as in another one where it is equal."""
        shelf = self.glossary
        lists = tuple((called(one), one.slug, one.items) for one in shelf.collections)
        around = (self.directory, self.terms, shelf.songs, lists, self.settings, self.preview)
        return before.around if before is not None and before.around == around else around

    @cached_property
    def offered(self) -> Mapping[str, tuple[tuple[Device, tuple[Fit, ...]], ...]]:
        """The devices that fit in each song, by its slug, with the places where they do."""
        found: dict[str, dict[str, list[Fit]]] = {}
        for device in self.glossary.devices:
            for fit in self.fits[device.slug]:
                found.setdefault(fit.song, {}).setdefault(device.slug, []).append(fit)
        known = self.glossary.device
        return {
            song: tuple((known[slug], tuple(fits)) for slug, fits in devices.items())
            for song, devices in found.items()
        }

    @cached_property
    def problems_in(self) -> Mapping[str, tuple[tuple[int, Problem], ...]]:
        """The problems by file, each with its place among all of them."""
        found: dict[str, list[tuple[int, Problem]]] = {}
        for place, problem in enumerate(self.problems):
            found.setdefault(problem.place.file, []).append((place, problem))
        return {file: tuple(problems) for file, problems in found.items()}

    @cached_property
    def related(self) -> Mapping[str, tuple[Relation, ...]]:
        """The devices related to each device, by slug."""
        return relations(self.glossary)

    @cached_property
    def terms(self) -> Mapping[str, Link]:
        """Links to the concepts by every name they have, folded for matching."""
        return {
            matching_name(name): self.directory.entry(Kind.CONCEPT, concept.slug)
            # The glossary's own come last, and so stand before those of others of the same name.
            for concept in sorted(self.glossary.concepts, key=lambda one: not source_name(one.slug))
            for name in (*concept.aliases, concept.title)
        }

    @cached_property
    def words(self) -> Mapping[tuple[str, str], str]:
        """The notes of every figure in words, by slug of the device and name of the figure."""
        keys = {(slug, slot): text for slug, one in self.made.items() for slot, text in one.words.items()}
        played = [(slug, version) for slug, one in self.worked.items() for version in one.played]
        keys |= {(slug, version.figure): version.said for slug, version in played}
        own = {(slug, one.own_figure): one.own_words for slug, one in played if not one.together}
        return keys | own
