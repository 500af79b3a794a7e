"""Where a device fits, found and kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.site.book import ENTRIES, write
from transposary.cache import Cache
from transposary.engraving.kept import packed, unpacked
from transposary.glossary import Device, Glossary
from transposary.reading import read_glossary
from transposary.repertoire import fits_of, repertoire_of
from transposary.site.fitted import Fitted, Fitting


@pytest.fixture(scope="module")
def glossary(tmp_path_factory: pytest.TempPathFactory) -> Glossary:
    """A device that fits into a song."""
    return read_glossary(write(tmp_path_factory.mktemp("entries"), ENTRIES)).glossary


@pytest.fixture
def fitting(glossary: Glossary, tmp_path: Path) -> Fitting:
    """What finds where devices fit, with an empty cache."""
    return Fitting(glossary.songs, Cache(tmp_path))


@pytest.fixture
def climb(glossary: Glossary) -> Device:
    """The device."""
    return glossary.device["climb"]


def test_what_was_found_is_known_to_the_next_build(
    fitting: Fitting, climb: Device, glossary: Glossary
) -> None:
    """Places, the device carried over and its words come back as they were found."""
    assert fitting.known(climb) is None
    found, jobs = fitting.find(climb)
    assert Fitting(glossary.songs, fitting.cache).known(climb) == found
    assert found.fits == fits_of(climb, repertoire_of(glossary.songs))
    assert [job.slot for job in jobs] == [one.figure for one in found.carried if not one.refusal]


def test_only_what_decides_where_it_fits_counts(fitting: Fitting, climb: Device) -> None:
    """Prose and references change nothing; a chord, the frame or a song does."""
    fitting.find(climb)
    for same in (replace(climb, prose="Other words."), replace(climb, concepts=(), claims=())):
        assert fitting.known(same) is not None
    moved = replace(climb, passage=replace(climb.passage, symbols=()))
    assert fitting.known(moved) is None
    songs = [replace(one, prose="Other words.", genres=("folk",)) for one in fitting.songs]
    assert Fitting(songs, fitting.cache).known(climb) is not None
    assert Fitting(songs[:-1], fitting.cache).known(climb) is None


def _fit(place: int, value: object) -> Callable[[list[Any]], None]:
    def change(record: list[Any]) -> None:
        record[0][0][place] = value

    return change


def _there(place: int, value: object) -> Callable[[list[Any]], None]:
    def change(record: list[Any]) -> None:
        record[1][0][place] = value

    return change


@pytest.mark.parametrize(
    "change",
    [
        _fit(0, "another-song"),
        _fit(1, "Z"),
        _fit(2, 99),
        _fit(3, 10**9),
        _fit(3, "1"),
        _fit(5, []),
        _fit(5, [7]),
        _fit(6, 10**9),
        _fit(7, [2.0, 1.0, 1.0]),
        _fit(8, [1]),
        _fit(9, "\x1b[2J"),
        _there(0, 7),
        _there(1, None),
        _there(2, "x"),
        _there(2, 10**9),
        _there(3, None),
        _there(4, [{}]),
        _there(7, ["Bar 1."]),
        _there(8, ["C"]),
        _there(9, "../../x"),
        lambda record: record.pop(),
        lambda record: record[1][0].pop(),
    ],
)
def test_nothing_is_taken_that_cannot_have_been_found(
    fitting: Fitting, climb: Device, change: Callable[[list[Any]], object]
) -> None:
    """A cache that a stranger has filled names no bars that a song does not have, and no other file."""
    fitting.find(climb)
    assert fitting.cache.folder is not None
    (path,) = fitting.cache.folder.glob("??/*")
    record = unpacked(path.read_bytes()[16:])
    change(record)
    fitting.cache.put(path.name, packed(record))
    assert fitting.known(climb) is None


def test_without_a_cache_nothing_is_known(glossary: Glossary, climb: Device) -> None:
    """Everything is found again."""
    fitting = Fitting(glossary.songs, Cache())
    assert isinstance(fitting.find(climb)[0], Fitted)
    assert fitting.known(climb) is None


def test_what_is_shown_of_a_place_is_made_once(fitting: Fitting, climb: Device) -> None:
    """Several pages show a place; other places are something else."""
    fitted, _ = fitting.find(climb)
    other, _ = fitting.find(climb)
    made = [one.once(one.fits[0], object) for one in (fitted, fitted, other)]
    assert made[0] is made[1]
    assert made[0] is not made[2]
