"""Engraving many figures."""

import os
import time

import pytest

from tests.engraving.samples import STEPPING_OUT, TWO_HANDS
from transposary.engraving import Engraving, EngravingFailure, Job, engrave, pool, shared_defs
from transposary.notes import notes


class _Trap(tuple[str, ...]):
    """Labels that call a function in the worker that unpacks them."""

    __slots__ = ()
    call: tuple[object, tuple[object, ...]] = (os._exit, (3,))

    def __reduce__(self) -> tuple[object, tuple[object, ...]]:
        return self.call


class _Snare(_Trap):
    __slots__ = ()
    call = (time.sleep, (600,))


def _jobs(devices: int) -> list[Job]:
    return [
        Job(f"device-{device}", str(slot), passage, ("",) * len(notes(passage)))
        for device, passage in zip(range(devices), (STEPPING_OUT, TWO_HANDS) * devices, strict=False)
        for slot in range(12)
    ]


def test_workers_give_what_one_process_gives() -> None:
    """The results and their order are the same with any number of workers."""
    jobs = _jobs(4)
    alone = engrave(jobs, 1)
    assert engrave(jobs, 2) == alone == engrave(jobs, 3)
    assert [(one.slug, one.slot) for one in alone] == [(job.slug, job.slot) for job in jobs]


def test_a_worker_that_dies_or_hangs_costs_only_its_key(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every other key is engraved, and the failures say which key and why."""
    monkeypatch.setattr(pool, "_PATIENCE", 0.5)
    jobs = _jobs(4)
    jobs[5] = Job("device-0", "5", STEPPING_OUT, _Trap())
    jobs[30] = Job("device-2", "6", STEPPING_OUT, _Snare())
    results = engrave(jobs, 2)
    assert [one for one in results if isinstance(one, EngravingFailure)] == [
        EngravingFailure("device-0", "5", "verovio crashed"),
        EngravingFailure("device-2", "6", "verovio did not finish in time"),
    ]
    assert sum(isinstance(one, Engraving) for one in results) == len(jobs) - 2


def test_glyphs_stand_once_a_page() -> None:
    """The shared definitions hold each glyph of the engravings once, and all that they use."""
    drawn = [one for one in engrave(_jobs(2), 1) if isinstance(one, Engraving)]
    shared = shared_defs(drawn)
    used = {part.partition('"')[0] for one in drawn for part in one.svg.split('href="#')[1:]}
    defined = [part.partition('"')[0] for part in shared.split('id="')[1:]]
    assert sorted(used) == defined
