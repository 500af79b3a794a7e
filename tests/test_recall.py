"""Checks and fingers from the cache."""

from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.site.book import ENTRIES, write
from transposary import recall
from transposary.cache import Cache
from transposary.check import check_device
from transposary.engraving.kept import packed, unpacked
from transposary.glossary import Device
from transposary.reading import read_glossary
from transposary.recall import recall_checks, recall_fingering
from transposary.settings import Settings
from transposary.theory.fingering.keys import finger
from transposary.theory.keys import placements

SETTINGS = Settings()


@pytest.fixture(scope="module")
def devices(tmp_path_factory: pytest.TempPathFactory) -> Sequence[Device]:
    """The devices of the small glossary."""
    return read_glossary(write(tmp_path_factory.mktemp("entries"), ENTRIES)).glossary.devices


def test_what_was_found_is_found_again(
    devices: Sequence[Device], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Problems and fingers come back as they were, and nothing is searched."""
    cache = Cache(tmp_path)
    placed = {one.slug: placements(one.passage, one.compass, SETTINGS) for one in devices}
    checked = [check_device(one, SETTINGS) for one in devices]
    assert any(checked)
    fingers = [finger(one.passage, placed[one.slug]) for one in devices]
    for _ in range(2):
        assert [recall_checks(cache, one, SETTINGS) for one in devices] == checked
        assert [recall_fingering(cache, one.passage, placed[one.slug]) for one in devices] == fingers
        monkeypatch.delattr(recall, "check_device", raising=False)
        monkeypatch.delattr(recall, "finger", raising=False)


def test_options_are_heeded(devices: Sequence[Device], tmp_path: Path) -> None:
    """A smaller hand is checked by itself."""
    cache, small = Cache(tmp_path), Settings(hand_span=5)
    device = next(one for one in devices if check_device(one, small) != check_device(one, SETTINGS))
    assert recall_checks(cache, device, SETTINGS) == check_device(device, SETTINGS)
    assert recall_checks(cache, device, small) == check_device(device, small)


def _only(cache: Cache) -> str:
    assert cache.folder is not None
    (path,) = (path for path in cache.folder.glob("*/*") if path.is_file())
    return path.name


@pytest.mark.parametrize(
    "record",
    [
        ["x.md", 1, 1, "theory.degrees", "\x1b[2Jtext", "", "error"],
        ["x.md", True, 1, "theory.degrees", "text", "", "error"],
        ["x.md", 1, 1, "theory.degrees", "text", "", "fatal"],
        ["x.md", 1, 1, "theory.degrees", "text", None, "error"],
        ["x.md"],
        7,
    ],
)
def test_foreign_problems_are_not_told(devices: Sequence[Device], tmp_path: Path, record: object) -> None:
    """What no check writes counts as missing."""
    cache = Cache(tmp_path)
    found = recall_checks(cache, devices[0], SETTINGS)
    cache.put(_only(cache), packed([record]))
    assert recall_checks(cache, devices[0], SETTINGS) == found


@pytest.mark.parametrize("wrong", [[], [[]], [[[["C"], []]]], 7, None, "slots", "finger", "grip"])
def test_foreign_fingers_are_not_taken(devices: Sequence[Device], tmp_path: Path, wrong: object) -> None:
    """Other keys, a sixth finger, or fingers for other notes count as missing."""
    cache, device = Cache(tmp_path), devices[0]
    placed = placements(device.passage, device.compass, SETTINGS)
    found = recall_fingering(cache, device.passage, placed)
    name = _only(cache)
    data = cache.get(name)
    assert data is not None
    content = unpacked(data)
    if wrong == "slots":
        content[0][0][0][0] = "H"
    elif wrong == "finger":
        content[0][0][1][0] = [6]
    elif wrong == "grip":
        content[0][0][1].pop()
    else:
        content = wrong
    cache.put(name, packed(content))
    assert recall_fingering(cache, device.passage, placed) == found
