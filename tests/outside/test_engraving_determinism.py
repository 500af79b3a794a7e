"""The same passage gives the same bytes in any process, with any hash seed and number of workers."""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def main() -> None:
    """Prints a digest of everything that the engraving room makes of the samples."""
    from tests.engraving.samples import SAMPLES
    from transposary.engraving import Job, engrave
    from transposary.engraving.midi import write_midi
    from transposary.engraving.musicxml import write_musicxml
    from transposary.notes import notes

    digest = hashlib.sha256()
    jobs = [
        Job(f"{name} {copy}", "C", passage, ("1",) * len(notes(passage)))
        for copy in range(3)
        for name, passage in SAMPLES.items()
    ]
    for drawn in engrave(jobs, int(sys.argv[1])):
        digest.update(repr(drawn).encode())
    for name, passage in SAMPLES.items():
        digest.update(write_musicxml(passage, title=name, tempo=92).encode())
        digest.update(write_midi(passage, tempo=92, title=name))
    sys.stdout.write(digest.hexdigest())


def _digest(seed: str, workers: str) -> str:
    environment = os.environ | {"PYTHONHASHSEED": seed, "PYTHONPATH": f"{ROOT / 'plugin'}{os.pathsep}{ROOT}"}
    run = subprocess.run(
        (sys.executable, __file__, workers), env=environment, capture_output=True, text=True, check=True
    )
    assert run.stderr == ""
    return run.stdout


def test_bytes_do_not_depend_on_hash_seed_or_workers() -> None:
    """Three runs that differ in all that may not matter agree on every figure and file."""
    digests = {_digest("1", "1"), _digest("2", "2"), _digest("3", "3")}
    assert len(digests) == 1
    assert len(digests.pop()) == 64


if __name__ == "__main__":
    main()
