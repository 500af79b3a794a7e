"""Where devices fit, judged by hand on the demo's songs."""

import pytest

from tests.demo import GLOSSARY
from transposary.repertoire import fits_of, repertoire_of

REPERTOIRE = repertoire_of(GLOSSARY.songs)

PLACES = [
    ("amen-with-a-shadow", "amazing-grace", "Out", 1, "F", 1.0),
    ("back-door", "umbrella-weather", "B", 2, "Ab", 0.97),
    ("dorian-clockwork", "kitchen-clock", "A", 1, "D", 1.0),
    ("minor-turnaround", "night-ferry", "A2", 7, "C", 1.0),
]


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place[0])
def test_device_fits(place: tuple[str, str, str, int, str, float]) -> None:
    """A device is offered where a player would use it."""
    device, *wanted = place
    found = fits_of(GLOSSARY.device[device], REPERTOIRE)
    assert tuple(wanted) in [(fit.song, fit.section, fit.first, str(fit.tonic), fit.score) for fit in found]
