"""What the pages are made from: the published glossary with all that was computed for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from transposary.glossary import Device, Glossary, Kind, matching_name, source_name
from transposary.practice import Take
from transposary.problems import Problem
from transposary.repertoire import Fit
from transposary.settings import Settings
from transposary.site.fitted import Fitted
from transposary.site.links import Directory, Link, called
from transposary.site.related import Relation
from transposary.site.worked import Worked


@dataclass(frozen=True)
class Edition:
    """A glossary ready to be set.

    Attributes:
        glossary: What is published.
        directory: Who has a page.
        worked: The devices with what was computed from them, by slug.
        fitted: Where the devices fit, by slug.
        related: The devices related to each device, by slug.
        problems: All problems of the build, in order.
        settings: The options.
        preview: Whether the author is looking at it: problems are then shown in full.
        practice: The author's record, or None where there is none to show.
        practice_problems: What is wrong with that record. They are as private as it is, and so are
            not among the others, which go into the export.
        around: What the pages of all devices depend on besides these; None where nobody knows.
    """

    glossary: Glossary
    directory: Directory
    worked: Mapping[str, Worked]
    fitted: Mapping[str, Fitted]
    related: Mapping[str, tuple[Relation, ...]]
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
            for fit in self.fitted[device.slug].fits:
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
    def terms(self) -> Mapping[str, Link]:
        """Links to the concepts by every name they have, folded for matching."""
        return {
            matching_name(name): self.directory.entry(Kind.CONCEPT, concept.slug)
            # The glossary's own come last, and so stand before those of others of the same name.
            for concept in sorted(self.glossary.concepts, key=lambda one: not source_name(one.slug))
            for name in (*concept.aliases, concept.title)
        }
