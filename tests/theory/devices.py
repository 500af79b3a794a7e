"""A device around a passage, for tests of rules that look at devices."""

from transposary.glossary import Device
from transposary.passage import Passage
from transposary.pitch import Pitch
from transposary.problems import Place


def device(passage: Passage, *, compass: str = "", tempo: int | None = None) -> Device:
    """Makes a device without claims; `compass` is written as `range:` is."""
    low, _, high = compass.partition("-")
    return Device(
        slug="x",
        title="X",
        summary="",
        roles=(),
        passage=passage,
        place=Place("devices/x.md"),
        notation_place=Place("devices/x.md", 5, 11),
        compass=(Pitch.parse(low), Pitch.parse(high)) if compass else None,
        tempo=tempo,
    )
