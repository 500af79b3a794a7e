"""A device with what is computed from its notes, each thing when somebody asks for it.

Of most devices a build asks little: their pages and figures are those of the build before.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TypeVar, cast

from transposary.engraving.together import together
from transposary.glossary import AppliedIn, Device
from transposary.passage import Key, Passage
from transposary.pitch import pretty
from transposary.repertoire.carrying import in_key, with_signature
from transposary.theory.degrees import degrees
from transposary.theory.explanation import Explanation, explain
from transposary.theory.fingering.keys import HandFingering, finger, fingers_in
from transposary.theory.fingering.own import bent
from transposary.theory.keys import UNISON, Placement, pretty_key
from transposary.theory.transposition import place
from transposary.theory.words import in_words

T = TypeVar("T")

FindFingers = Callable[[Passage, Sequence[Placement]], tuple[HandFingering, ...]]
"""Fingers a passage, given in its home key, in some of its keys."""


@dataclass(frozen=True, slots=True)
class InKey:
    """One of the keys of a device.

    Attributes:
        placement: The slot, the key and how the device comes there.
    """

    placement: Placement

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


@dataclass(frozen=True)
class AsPlayed:
    """A version of a device as it was played in a song.

    Attributes:
        figure: Name of its figure, in the place of a slot.
        passage: The notes.
        own: The device itself in that key, to be compared with it.
        together: Whether both stand in one figure, bar under bar.
    """

    figure: str
    passage: Passage
    own: Passage
    together: bool = False

    @cached_property
    def words(self) -> str:
        """The notes in words."""
        return in_words(self.passage)

    @cached_property
    def own_words(self) -> str:
        """The notes of the device itself in words."""
        return in_words(self.own)

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


def without_words(device: Device) -> Device:
    """Leaves of a device what is made of its notes: its prose and its references change nothing there."""
    return replace(
        device,
        summary="",
        aliases=(),
        concepts=(),
        genres=(),
        level=None,
        claims=(),
        scales=(),
        heard_in=(),
        applied_in=(),
        variant_of=None,
        see_also=(),
        added=None,
        revised=None,
        accept=(),
        draft=False,
        prose="",
    )


def versions_of(device: Device) -> dict[str, tuple[AppliedIn, Passage]]:
    """Gives the versions as played that the author has written down, by the name of the figure."""
    written = [(one, one.notation) for one in device.applied_in if one.notation is not None]
    return {f"as-played-{number}": version for number, version in enumerate(written, 1)}


def as_played(figure: str, device: Device, notation: Passage) -> AsPlayed:
    """Sets a version as played beside the device in the key of that version."""
    own = in_key(device, with_signature(Key(notation.key.tonic, device.passage.key.mode)))
    return AsPlayed(figure, notation, own, together(own, notation) is not None)


def in_placement(passage: Passage, placement: Placement, fingering: Sequence[HandFingering]) -> Passage:
    """Gives a passage in one of its keys; the author's own fingers bend where they have to.

    Args:
        passage: In the home key.
        placement: Where it lies in that key.
        fingering: Its fingers in every key.
    """
    placed = place(passage, placement)
    return placed if placement.interval == UNISON else bent(placed, fingers_in(fingering, placement.slot))


@dataclass(frozen=True)
class Worked:
    """A device with everything computed from its notes.

    Attributes:
        device: The device.
        keys: Its twelve keys, in the order of the slots.
        find_fingers: Finds fingers for it in every key.
    """

    device: Device
    keys: tuple[InKey, ...]
    find_fingers: FindFingers = field(default=finger, repr=False, compare=False)

    @cached_property
    def fingering(self) -> tuple[HandFingering, ...]:
        """Fingers for it in every key, hand by hand."""
        return self.find_fingers(self.device.passage, [key.placement for key in self.keys])

    @cached_property
    def played(self) -> tuple[AsPlayed, ...]:
        """Its versions as played, where the author has written them down."""
        versions = versions_of(self.device).items()
        return tuple(as_played(figure, self.device, notation) for figure, (_, notation) in versions)

    @cached_property
    def explanation(self) -> Explanation:
        """What is explained about it, kept as long as it does not change."""
        return explain(self.device.passage)

    @property
    def said(self) -> Mapping[str, str]:
        """What its versions as played show, in words, by name of the figure."""
        own = {one.own_figure: one.own_words for one in self.played if not one.together}
        return {one.figure: one.said for one in self.played} | own

    def version(self, applied: AppliedIn) -> AsPlayed | None:
        """Gives the version that was played somewhere, where the author has written it down."""
        written = [one for one, _ in versions_of(self.device).values()]
        return next((one for at, one in zip(written, self.played, strict=True) if at is applied), None)

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
        """The key in which the author wrote it."""
        return next(key for key in self.keys if key.placement.key == self.device.passage.key)

    def in_slot(self, slot: str) -> InKey:
        """Gives its key of a slot."""
        return next(key for key in self.keys if key.slot == slot)

    def passage_in(self, key: InKey) -> Passage:
        """Gives its notes in one of its keys, made anew each time: of all keys they take much room."""
        return in_placement(self.device.passage, key.placement, self.fingering)

    def chords_in(self, key: InKey) -> Passage:
        """Gives its bars and chord symbols in one of its keys, without notes."""
        return place(replace(self.device.passage, voices=()), key.placement)


def labels(passage: Passage) -> tuple[str, ...]:
    """Gives the degrees of a passage, as they stand under its notes."""
    return tuple(pretty(str(degree)) for degree in degrees(passage))
