"""Engraving many figures."""

import os
import signal
import time
from concurrent.futures import BrokenExecutor, Executor, ProcessPoolExecutor
from multiprocessing import current_process, get_context
from typing import NoReturn

import pytest

from tests.engraving.samples import STEPPING_OUT, TWO_HANDS
from transposary import processes
from transposary.engraving import (
    EngraversError,
    Engraving,
    EngravingFailure,
    Job,
    Press,
    engrave,
    executor_of,
    pool,
    shared_defs,
)
from transposary.notes import notes
from transposary.processes import Processes, WorkerAbsentError


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
    monkeypatch.setattr(pool, "_PATIENCE", 4.0)
    monkeypatch.setattr(pool, "_FIGURE_PATIENCE", 3.0)
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
    """A worker killed between two tasks costs nothing."""
    with Processes(1, 60.0) as workers:
        first = workers.submit(os.getpid).result()
        os.kill(first, signal.SIGKILL)
        workers._workers[0].process.join()
        assert workers.submit(os.getpid).result() != first


def test_workers_that_never_start_are_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where processes cannot be made, the build says what to do."""
    monkeypatch.setattr(processes, "_START_PATIENCE", 0.0)
    with pytest.raises(EngraversError, match="the engraving workers do not start; set workers to 1"):
        engrave(_jobs(2, keys=1), 2)


def test_a_process_that_may_have_no_children_has_no_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    """A build within a daemonic process says what to do, as on a machine without room for another."""
    monkeypatch.setattr(current_process(), "_config", {**current_process()._config, "daemon": True})
    with Processes(1, 60.0) as workers:
        assert isinstance(workers.submit(os.getpid).exception(60), WorkerAbsentError)
    said = "the engraving workers do not start; set workers to 1 to do without"
    with pytest.raises(EngraversError, match=said):
        engrave(_jobs(2, keys=1), 2)
    press = Press(_Broken())
    press.order(_jobs(1, keys=1))
    with pytest.raises(EngraversError, match=said):
        list(press.collect())


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_nobody_waits_for_workers_whose_keeper_has_ended() -> None:
    """Whatever ends the thread that hands out tasks, those who wait are told, and those who come later."""
    with Processes(1, 60.0) as workers:
        # A task that cannot be sent to another process.
        assert isinstance(workers.submit(lambda: None).exception(60), WorkerAbsentError)
        assert isinstance(workers.submit(os.getpid).exception(60), WorkerAbsentError)


def test_dismissed_workers_take_nothing() -> None:
    """Tasks that nobody has begun with can be taken back, and none is taken after the end."""
    workers = Processes(1, 60.0)
    begun = workers.submit(time.sleep, 0.2)
    waiting = [workers.submit(time.sleep, 0.0) for _ in range(3)]
    workers.shutdown(cancel_futures=True)
    workers.shutdown()
    assert all(future.cancelled() for future in waiting)
    assert begun.cancelled() or begun.result() is None
    with pytest.raises(RuntimeError, match="dismissed"):
        workers.submit(os.getpid)


class _Broken(Executor):
    def submit(self, *_: object) -> NoReturn:
        raise BrokenExecutor


def broken_executor() -> ProcessPoolExecutor:
    """Makes an executor of the standard library, which breaks as a whole when a worker dies."""
    return ProcessPoolExecutor(1, get_context("spawn"))


def test_another_executor_may_break() -> None:
    """What an executor by import path does not deliver is engraved without it, but for the culprit."""
    jobs = _jobs(3, keys=1)
    jobs[0] = Job("device-0", "0", STEPPING_OUT, _Trap())
    with executor_of(0, f"{__name__}:broken_executor") as executor:
        press = Press(executor)
        ordered = [one for job in jobs for one in press.order([job])]
        assert list(press.collect())[-1] == (3, 3)
    found = press.results(ordered)
    assert found["device-0", "0"] == EngravingFailure("device-0", "0", "the engraver crashed")
    assert [found[job.slug, job.slot] for job in jobs[1:]] == list(engrave(jobs[1:], 1))


@pytest.mark.parametrize("path", ["nowhere", "nowhere:nothing", f"{__name__}:nothing", "os:getpid", "os:"])
def test_an_executor_that_is_none_is_refused(path: str) -> None:
    """An import path that leads to nothing, or to something else, is told."""
    with pytest.raises(EngraversError, match=f"`executor`: {path} "):
        executor_of(0, path)


def test_glyphs_stand_once_a_page() -> None:
    """The shared definitions hold each glyph of the engravings once, and all that they use."""
    drawn = [one for one in engrave(_jobs(2), 1) if isinstance(one, Engraving)]
    shared = shared_defs(drawn)
    used = {part.partition('"')[0] for one in drawn for part in one.svg.split('href="#')[1:]}
    defined = [part.partition('"')[0] for part in shared.split('id="')[1:]]
    assert sorted(used) == defined
