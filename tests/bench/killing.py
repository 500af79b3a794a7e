"""Kills builds at random moments, builds again after each, and says what each left.

Every other build begins without a cache.

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
    wrong = 0
    with TemporaryDirectory() as folder:
        began = monotonic()
        undisturbed = built(glossary(Path(folder) / "other"))
        length = monotonic() - began
        book = glossary(Path(folder) / "book")
        for count in range(number):
            share, cold = rng.random(), count % 2 == 0
            left, again = kill_and_rebuild(book, undisturbed, [share * length], cold=cold)
            cache = "without" if cold else "with"
            print(f"{share:4.0%} of a build {cache} a cache: {left}; built again: {again}", flush=True)
            wrong += left == "mixed" or again != "same"
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 20))
