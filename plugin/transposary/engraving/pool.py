"""Engraving many figures in the background, by whatever executor, with a cache of earlier ones.

A device is handed out with all its figures. What an executor does not deliver, because a worker
crashed or hung or the executor broke, is tried again figure by figure in a process that may be
lost, so that it costs nothing but the figure that does it.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, CancelledError, Executor, Future, wait
from dataclasses import dataclass, field
from functools import cache as cached
from importlib import import_module
from threading import get_ident

from transposary.cache import Cache
from transposary.engraving.figures import Engraving, EngravingFailure, Job, draw
from transposary.engraving.kept import keep, kept, key_of_jobs
from transposary.engraving.toolkit import Engraver
from transposary.processes import Processes, WorkerAbsentError, WorkerLostError

Result = Engraving | EngravingFailure

_NONE = Cache()

_PATIENCE = 60.0
"""Seconds that a device may take; its twelve keys take a tenth of one."""

_FIGURE_PATIENCE = 10.0
"""Seconds that a figure may take when it is tried by itself."""

_SILENCE = 120.0
"""Seconds after which an executor that has delivered nothing is not waited for any more."""


class InThisProcess(Executor):
    """Does each task at once, here: for whoever wants no processes, and takes the risk."""

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN002, ANN003, ANN201  (the standard library's signature)
        """Does a task and gives it done."""
        future: Future[object] = Future()
        future.set_result(fn(*args, **kwargs))
        return future


def executor_of(workers: int, path: str = "") -> Executor:
    """Makes what engraves.

    Args:
        workers: Processes at most; 0 for as many as there are cores, 1 for none besides this.
        path: Where a function stands that makes another executor: `package.module:function`.

    Raises:
        ValueError: Nothing is found there that makes an executor.
    """
    if path:
        return _imported(path)
    return InThisProcess() if workers == 1 else Processes(workers or os.cpu_count() or 1, _PATIENCE)


def _imported(path: str) -> Executor:
    module, _, name = path.partition(":")
    try:
        made = getattr(import_module(module), name)()
    except (ImportError, AttributeError, ValueError) as error:
        raise ValueError(f"`executor`: {path} cannot be used: {error}") from error
    if isinstance(made, Executor):
        return made
    raise ValueError(f"`executor`: {path} gives no concurrent.futures.Executor")


@dataclass(slots=True)
class _Unit:
    """Figures that are kept together: those that share their systems, or one alone."""

    places: tuple[int, ...]
    key: str


@dataclass(slots=True)
class Press:
    """Engraves jobs in the background.

    Attributes:
        executor: What does it.
        cache: Where engravings of earlier builds are found, and new ones are kept.
    """

    executor: Executor
    cache: Cache = _NONE
    _waiting: dict[Future[list[Result]], tuple[Sequence[Job], list[_Unit]]] = field(default_factory=dict)
    _done: list[Result] = field(default_factory=list)

    def order(self, jobs: Sequence[Job]) -> None:
        """Begins with the figures of a device, but for those that are kept."""
        fresh: list[_Unit] = []
        for places in _units(jobs):
            mine = [jobs[place] for place in places]
            key = key_of_jobs(mine)
            drawn = kept(self.cache, key, mine)
            if drawn is None:
                fresh.append(_Unit(places, key))
            else:
                self._done += drawn
        if fresh:
            wanted = tuple(jobs[place] for unit in fresh for place in unit.places)
            self._waiting[self._submit(wanted)] = (wanted, fresh)

    def _submit(self, jobs: Sequence[Job]) -> Future[list[Result]]:
        try:
            return self.executor.submit(draw_here, jobs)
        except BrokenExecutor as error:
            # One that broke with an earlier device takes no more of them.
            refused: Future[list[Result]] = Future()
            refused.set_exception(error)
            return refused

    def collect(self) -> Iterator[tuple[int, int]]:
        """Waits for everything; says after each device how many of how many are done.

        Raises:
            RuntimeError: Worker processes do not start here.
        """
        every = len(self._waiting)
        left = set(self._waiting)
        while left:
            done, left = wait(left, _SILENCE, FIRST_COMPLETED)
            if not done:
                done, left = left, set()
            for future in done:
                self._take(future, *self._waiting.pop(future))
            yield every - len(left), every

    def cancel(self) -> None:
        """Takes back what nobody has begun with."""
        for future in self._waiting:
            future.cancel()

    def results(self) -> Mapping[tuple[str, str], Result]:
        """Gives all that was collected, by slug and slot."""
        return {(one.slug, one.slot): one for one in self._done}

    def _take(self, future: Future[list[Result]], jobs: Sequence[Job], units: Iterable[_Unit]) -> None:
        results = _delivered(future) or _one_by_one(jobs)
        self._done += results
        rest = iter(results)
        for unit in units:
            mine = [next(rest) for _ in unit.places]
            drawn = [one for one in mine if isinstance(one, Engraving)]
            if len(drawn) == len(mine):
                keep(self.cache, unit.key, drawn)


def engrave(jobs: Sequence[Job], workers: int, cache: Cache = _NONE) -> tuple[Result, ...]:
    """Engraves jobs; the results stand in their order and depend neither on workers nor cache.

    Args:
        jobs: What to engrave.
        workers: Worker processes; 0 for as many as there are cores, 1 for none besides this.
        cache: Where engravings of earlier builds are found, and these are kept.

    Raises:
        RuntimeError: Worker processes do not start here.
    """
    by_device: dict[str, list[Job]] = {}
    for job in jobs:
        by_device.setdefault(job.slug, []).append(job)
    with executor_of(workers) as executor:
        press = Press(executor, cache)
        for mine in by_device.values():
            press.order(mine)
        for _ in press.collect():
            pass
        found = press.results()
    return tuple(found[job.slug, job.slot] for job in jobs)


def draw_here(jobs: Sequence[Job]) -> list[Result]:
    """Engraves figures in this process; what a worker runs."""
    return draw(jobs, _engraver(get_ident()))


@cached
def _engraver(thread: int) -> Engraver:  # noqa: ARG001  (a toolkit is good in one thread)
    return Engraver()


def _units(jobs: Sequence[Job]) -> list[tuple[int, ...]]:
    alike: dict[int, list[int]] = {}
    for place, job in enumerate(jobs):
        alike.setdefault(id(job.like[0] if job.like else job), []).append(place)
    return [tuple(places) for places in alike.values()]


def _delivered(future: Future[list[Result]]) -> list[Result] | None:
    """Gives what an executor made of a device; None where it did not, whatever the reason."""
    try:
        error = future.exception(0)
    except (TimeoutError, CancelledError):
        future.cancel()
        return None
    absent = isinstance(error, WorkerAbsentError)
    if absent:
        raise RuntimeError("the engraving workers do not start; set workers to 1 to do without") from error
    return future.result() if error is None else None


def _one_by_one(jobs: Sequence[Job]) -> list[Result]:
    """Tries the figures of a device by themselves, in a process that may be lost."""
    results: list[Result] = []
    with Processes(1, _FIGURE_PATIENCE) as spare:
        for job in jobs:
            try:
                results += spare.submit(draw_here, (job,)).result()
            except WorkerLostError as error:
                results.append(EngravingFailure(job.slug, job.slot, f"the engraver {error}"))
    return results
