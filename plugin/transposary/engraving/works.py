"""What is made of a device in one go, in a worker, and where it lies when it is done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from transposary.engraving.figures import Engraving, EngravingFailure, Job

Result = Engraving | EngravingFailure

Signs = tuple[tuple[str, str], ...]
"""Glyphs as (id, definition)."""


class Work(Protocol):
    """Figures to engrave, and what to make of them; it goes to a worker and has to be picklable."""

    @property
    def slug(self) -> str:
        """The device."""

    def key(self) -> str:
        """Makes the key in the cache from all that the result depends on."""

    def ready(self) -> Work:
        """Gives it with all that a worker should not have to find."""

    def jobs(self) -> Sequence[Job]:
        """Lists the figures."""

    def packed(self, results: Sequence[Result]) -> bytes:
        """Makes the result from the figures, in the order of the jobs, and packs it."""

    def signs(self, data: bytes) -> Signs | None:
        """Reads from a pack the signs that many devices share; None where they are not as we write them."""


@dataclass(frozen=True, slots=True)
class Done:
    """A work that is done.

    Attributes:
        key: Where its pack lies. It names the content: equal keys, equal packs.
        failures: The figures that could not be engraved, and are not in the pack.
        signs: The signs that it shares with other devices.
    """

    key: str
    failures: tuple[EngravingFailure, ...] = ()
    signs: Signs = ()

    @property
    def failed(self) -> frozenset[str]:
        """The names of the figures that could not be engraved."""
        return frozenset(one.slot for one in self.failures)
