"""ABC: our own strict reader of a documented subset, and a writer of the same subset."""

from transposary.reading.abc.reader import read_abc
from transposary.reading.abc.writer import write_abc

__all__ = ["read_abc", "write_abc"]
