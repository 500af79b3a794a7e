"""Kills builds at random moments, and says what each left: the old site, or the new one.

Use: python -m tests.bench.killing [NUMBER]
"""

from __future__ import annotations

import sys
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from time import monotonic

from tests.faults import built, glossary, kill_and_rebuild


def main(number: int) -> int:
    """Kills so many builds; gives 1 where a site was mixed, or differs after an undisturbed build."""
    rng = Random(number)  # noqa: S311  (test data, no secret)
    shares = [rng.random() for _ in range(number)]
    with TemporaryDirectory() as folder:
        began = monotonic()
        undisturbed = built(glossary(Path(folder) / "other"))
        length = monotonic() - began
        book = glossary(Path(folder) / "book")
        *left, last = kill_and_rebuild(book, undisturbed, [share * length for share in shares])
    for share, what in zip(shares, left, strict=True):
        print(f"killed at {share:4.0%} of a build: {what}")
    print(f"built again: {last}")
    return int("mixed" in left or last != "same")


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 20))
