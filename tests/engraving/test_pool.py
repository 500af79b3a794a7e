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


def _jobs(devices: int, keys: int = 12) -> list[Job]:
    return [
        Job(f"device-{device}", str(slot), passage, ("",) * len(notes(passage)))
        for device, passage in zip(range(devices), (STEPPING_OUT, TWO_HANDS) * devices, strict=False)
        for slot in range(keys)
    ]


def test_workers_give_what_one_process_gives() -> None:
    """The results and their order are the same with any number of workers."""
    jobs = _jobs(4)
    alone = engrave(jobs, 1)
    assert engrave(jobs, 2) == alone == engrave(jobs, 3)
    assert [(one.slug, one.slot) for one in alone] == [(job.slug, job.slot) for job in jobs]


def test_a_worker_that_dies_or_hangs_costs_only_its_key(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every other key is engraved, and the failures say which key and why."""
    monkeypatch.setattr(pool, "_FEW", 0)
    monkeypatch.setattr(pool, "_PATIENCE", 3.0)
    jobs = _jobs(4, keys=2)
    jobs[1] = Job("device-0", "1", STEPPING_OUT, _Trap())
    jobs[4] = Job("device-2", "0", STEPPING_OUT, _Snare())
    results = engrave(jobs, 2)
    assert [one for one in results if isinstance(one, EngravingFailure)] == [
        EngravingFailure("device-0", "1", "the engraver crashed"),
        EngravingFailure("device-2", "0", "the engraver did not finish in time"),
    ]
    assert sum(isinstance(one, Engraving) for one in results) == len(jobs) - 2


def test_a_worker_that_died_idle_is_replaced() -> None:
    """A worker killed between two batches costs nothing."""
    jobs = _jobs(2, keys=1)
    crew = pool._Crew(jobs, [(0,), (1,)])
    crew._workers = [pool._hire(crew._context)]
    crew._collect()
    crew._workers[0].process.kill()
    crew._workers[0].process.join()
    crew._todo.appendleft((0, 1))
    crew._hand_out()
    assert crew._workers[0].process.is_alive()
    assert list(crew._todo)[:2] == [(0,), (1,)]
    pool._dismiss(crew._workers[0])


def test_workers_that_never_start_are_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where processes cannot be made, the build says what to do."""
    monkeypatch.setattr(pool, "_FEW", 0)
    monkeypatch.setattr(pool, "_START_PATIENCE", 0.0)
    with pytest.raises(RuntimeError, match="the engraving workers do not start; set workers to 1"):
        engrave(_jobs(2, keys=1), 2)


def test_glyphs_stand_once_a_page() -> None:
    """The shared definitions hold each glyph of the engravings once, and all that they use."""
    drawn = [one for one in engrave(_jobs(2), 1) if isinstance(one, Engraving)]
    shared = shared_defs(drawn)
    used = {part.partition('"')[0] for one in drawn for part in one.svg.split('href="#')[1:]}
    defined = [part.partition('"')[0] for part in shared.split('id="')[1:]]
    assert sorted(used) == defined
