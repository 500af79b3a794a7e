"""What is made of a device in one go, in a worker: its figures, and what needs them or its notes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol, TypeVar

from transposary.engraving.figures import Engraving, EngravingFailure, Job

Result = Engraving | EngravingFailure

Made = TypeVar("Made")


class Work(Protocol[Made]):
    """Figures to engrave, and what to do with them; it goes to a worker and has to be picklable."""

    @property
    def slug(self) -> str:
        """The device."""

    def key(self) -> str:
        """Makes the key in the cache from all that the result depends on."""

    def ready(self) -> Work[Made]:
        """Gives it with all that a worker should not have to find."""

    def jobs(self) -> Sequence[Job]:
        """Lists the figures."""

    def finish(self, results: Sequence[Result]) -> Made:
        """Makes the result from the figures, in the order of the jobs."""

    def packed(self, made: Made) -> bytes | None:
        """Writes a result for the cache; None where it is not to be kept."""

    def unpacked(self, data: bytes) -> Made | None:
        """Reads a result from the cache; None where it is not as we write it."""
