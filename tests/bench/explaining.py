"""What explaining and proving costs beside engraving: ratios of one run, over the demo.

    python tests/bench/explaining.py

The theory runs on every save, so explaining a device has to cost less than a fifth of its twelve
engravings.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import process_time

from transposary.check import check_device
from transposary.engraving import Job, engrave
from transposary.glossary import Device
from transposary.reading import read_glossary
from transposary.settings import Settings
from transposary.theory.degrees import degree_text, degrees
from transposary.theory.explanation import explain
from transposary.theory.keys import placements
from transposary.theory.transposition import place

ENTRIES = Path(__file__).parents[2] / "entries"
SETTINGS = Settings(workers=1)
WANTED = 0.2


def jobs_of(device: Device) -> list[Job]:
    """Gives the twelve engravings of a device."""
    keys = placements(device.passage, device.compass, SETTINGS)
    placed = [(key.slot, place(device.passage, key)) for key in keys]
    return [
        Job(device.slug, slot, passage, tuple(str(one) for one in degrees(passage)))
        for slot, passage in placed
    ]


def seconds(work: Callable[[], object]) -> float:
    """Measures the processor time of a piece of work, the quicker one of two."""
    found = []
    for _ in range(2):
        start = process_time()
        work()
        found.append(process_time() - start)
    return min(found)


def main() -> int:
    """Prints the ratios, and fails where explaining costs too much."""
    devices = read_glossary(ENTRIES).glossary.devices
    engraving = seconds(lambda: engrave([job for device in devices for job in jobs_of(device)], 1))
    parts = {
        "explain": seconds(lambda: [explain(device.passage) for device in devices]),
        "degrees": seconds(
            lambda: [degree_text(d.passage, voice.name) for d in devices for voice in d.passage.voices]
        ),
        "check": seconds(lambda: [check_device(device, SETTINGS) for device in devices]),
        "place": seconds(lambda: [jobs_of(device) for device in devices]),
    }
    print(f"{len(devices)} devices, twelve engravings each: {engraving:.2f} s of processor time")
    for name, cost in parts.items():
        print(f"{name:10} {cost / engraving:6.3f} of the engraving")
    return 0 if parts["explain"] / engraving < WANTED else 1


if __name__ == "__main__":
    sys.exit(main())
