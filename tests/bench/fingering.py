"""What fingering costs beside engraving: ratios of one run, over the demo.

    python tests/bench/fingering.py

Fingering a device in its twelve keys has to cost less than a fifth of its twelve engravings.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import process_time

from transposary.engraving import Job, engrave
from transposary.reading import read_glossary
from transposary.settings import Settings
from transposary.theory.degrees import degrees
from transposary.theory.fingering.keys import finger
from transposary.theory.keys import placements
from transposary.theory.transposition import place

ENTRIES = Path(__file__).parents[2] / "entries"
SETTINGS = Settings(workers=1)
WANTED = 0.2


def main() -> int:
    """Prints the ratios, and fails where fingering a device costs too much."""
    devices = read_glossary(ENTRIES).glossary.devices
    keys = {one.slug: placements(one.passage, one.compass, SETTINGS) for one in devices}
    ratios = {}
    spent = [0.0, 0.0]
    for device in devices:
        jobs = [
            Job(device.slug, key.slot, music, tuple(str(one) for one in degrees(music)))
            for key in keys[device.slug]
            for music in (place(device.passage, key),)
        ]
        start = process_time()
        engrave(jobs, 1)
        engraved = process_time()
        finger(device.passage, keys[device.slug])
        costs = (engraved - start, process_time() - engraved)
        ratios[device.slug] = costs[1] / costs[0]
        spent = [total + cost for total, cost in zip(spent, costs, strict=True)]
    worst = max(ratios, key=lambda slug: ratios[slug])
    print(f"{len(devices)} devices, twelve engravings each: {spent[0]:.2f} s of processor time")
    print(f"fingering  {spent[1] / spent[0]:6.3f} of the engraving, each device for the first time")
    print(f"the dearest: {ratios[worst]:.3f}, {worst}")
    return 0 if ratios[worst] < WANTED else 1


if __name__ == "__main__":
    sys.exit(main())
