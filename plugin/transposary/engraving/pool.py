"""Engraving many figures in the background, by whatever executor, with a cache of earlier ones.

A device is handed out with all its figures, and with what is made from them (`works`). What an
executor does not deliver, because a worker crashed or hung or the executor broke, is tried again
figure by figure in a process that may be lost, so that it costs nothing but the figure that does it.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, CancelledError, Executor, Future, wait
from dataclasses import dataclass, field
from functools import cache as cached
from importlib import import_module
from threading import get_ident
from typing import Any, Generic, TypeVar

from transposary.cache import Cache
from transposary.engraving.figures import Engraving, EngravingFailure, Job, draw
from transposary.engraving.kept import keep, kept_figures, key_of_jobs
from transposary.engraving.toolkit import Engraver
from transposary.engraving.works import Made, Result, Work
from transposary.processes import Processes, WorkerAbsentError, WorkerLostError

_Given = TypeVar("_Given")
_Got = TypeVar("_Got")

_NONE = Cache()

_PATIENCE = 60.0
"""Seconds that a device may take; its twelve keys take a tenth of one."""

_FIGURE_PATIENCE = 10.0
"""Seconds that a figure may take when it is tried by itself."""

_SILENCE = 120.0
"""Seconds after which an executor that has delivered nothing is not waited for any more."""


_ABSENT = "the engraving workers do not start; set workers to 1 to do without"


class EngraversError(Exception):
    """Nothing is there that could engrave; the text says what to change."""


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
        EngraversError: Nothing is found there that makes an executor.
    """
    if path:
        return _imported(path)
    return InThisProcess() if workers == 1 else Processes(workers or os.cpu_count() or 1, _PATIENCE)


def _imported(path: str) -> Executor:
    module, _, name = path.partition(":")
    try:
        made = getattr(import_module(module), name)()
    except (ImportError, AttributeError, ValueError) as error:
        raise EngraversError(f"`executor`: {path} cannot be used: {error}") from error
    if isinstance(made, Executor):
        return made
    raise EngraversError(f"`executor`: {path} gives no concurrent.futures.Executor")


@dataclass(slots=True)
class _Unit:
    """Figures that are kept together: those that share their systems, or one alone."""

    places: tuple[int, ...]
    key: str


@dataclass(slots=True)
class Press(Generic[Made]):
    """Engraves jobs, and does works, in the background.

    Attributes:
        executor: What does it.
        cache: Where results of earlier builds are found, and new ones are kept.
        made: The results of the works that were collected, by device.
    """

    executor: Executor
    cache: Cache = _NONE
    made: dict[str, Made] = field(default_factory=dict)
    _figures: dict[Future[list[Result]], tuple[Sequence[Job], list[_Unit]]] = field(default_factory=dict)
    _works: dict[Future[tuple[Made, bytes | None]], tuple[Work[Made], str]] = field(default_factory=dict)
    _done: list[Result] = field(default_factory=list)

    def order(self, jobs: Sequence[Job]) -> None:
        """Begins with the figures of a device, but for those that are kept."""
        fresh: list[_Unit] = []
        for places in _units(jobs):
            mine = [jobs[place] for place in places]
            key = key_of_jobs(mine)
            drawn = kept_figures(self.cache, key, mine[0].slug, [job.slot for job in mine])
            if drawn is None:
                fresh.append(_Unit(places, key))
            else:
                self._done += drawn
        if fresh:
            wanted = tuple(jobs[place] for unit in fresh for place in unit.places)
            self._figures[_submitted(self.executor, draw_here, wanted)] = (wanted, fresh)

    def recall(self, slug: str, drawings: Mapping[str, str]) -> set[str]:
        """Takes figures of a device that are kept, each by itself.

        Args:
            slug: The device.
            drawings: The key of each figure in the cache, by its name.

        Returns:
            The names of those that are not there.
        """
        lacking = set()
        for slot, key in drawings.items():
            drawn = kept_figures(self.cache, key, slug, [slot])
            if drawn is None:
                lacking.add(slot)
            else:
                self._done += drawn
        return lacking

    def begin(self, work: Work[Made]) -> None:
        """Begins with all that is to be made of a device, unless it is kept."""
        key = work.key()
        data = self.cache.get(key)
        made = None if data is None else work.unpacked(data)
        if made is None:
            self._works[_submitted(self.executor, do_here, work.ready())] = (work, key)
        else:
            self.made[work.slug] = made

    def collect(self) -> Iterator[tuple[int, int]]:
        """Waits for everything; says after each device how many of how many are done.

        Raises:
            EngraversError: Worker processes do not start here.
        """
        left = self._waiting()
        every = len(left)
        while left:
            done, left = wait(left, _SILENCE, FIRST_COMPLETED)
            if not done:
                done, left = left, set()
            for future in done:
                if future in self._works:
                    self._take_made(*self._works.pop(future), _delivered(future))
                else:
                    self._take(*self._figures.pop(future), _delivered(future))
            yield every - len(left), every

    def cancel(self) -> None:
        """Takes back what nobody has begun with."""
        for future in self._waiting():
            future.cancel()

    def _waiting(self) -> set[Future[Any]]:
        return {*self._figures, *self._works}

    def results(self) -> Mapping[tuple[str, str], Result]:
        """Gives the figures of all jobs that were collected, by slug and slot."""
        return {(one.slug, one.slot): one for one in self._done}

    def _take(self, jobs: Sequence[Job], units: Iterable[_Unit], delivered: list[Result] | None) -> None:
        results = _one_by_one(jobs) if delivered is None else delivered
        self._done += results
        rest = iter(results)
        for unit in units:
            mine = [next(rest) for _ in unit.places]
            drawn = [one for one in mine if isinstance(one, Engraving)]
            if len(drawn) == len(mine):
                keep(self.cache, unit.key, drawn)

    def _take_made(self, work: Work[Made], key: str, delivered: tuple[Made, bytes | None] | None) -> None:
        made, packed = _done(work, _one_by_one(work.jobs())) if delivered is None else delivered
        self.made[work.slug] = made
        if packed is not None:
            self.cache.put(key, packed)


def engrave(jobs: Sequence[Job], workers: int, cache: Cache = _NONE) -> tuple[Result, ...]:
    """Engraves jobs; the results stand in their order and depend neither on workers nor cache.

    Args:
        jobs: What to engrave.
        workers: Worker processes; 0 for as many as there are cores, 1 for none besides this.
        cache: Where engravings of earlier builds are found, and these are kept.

    Raises:
        EngraversError: Worker processes do not start here.
    """
    by_device: dict[str, list[Job]] = {}
    for job in jobs:
        by_device.setdefault(job.slug, []).append(job)
    with executor_of(workers) as executor:
        press = Press[None](executor, cache)
        for mine in by_device.values():
            press.order(mine)
        for _ in press.collect():
            pass
        found = press.results()
    return tuple(found[job.slug, job.slot] for job in jobs)


def draw_here(jobs: Sequence[Job]) -> list[Result]:
    """Engraves figures in this process; what a worker runs."""
    return draw(jobs, _engraver(get_ident()))


def do_here(work: Work[Made]) -> tuple[Made, bytes | None]:
    """Makes all of a device in this process, and packs it to be kept; what a worker runs."""
    return _done(work, draw_here(work.jobs()))


def _done(work: Work[Made], results: Sequence[Result]) -> tuple[Made, bytes | None]:
    made = work.finish(results)
    return made, work.packed(made)


def _submitted(executor: Executor, function: Callable[[_Given], _Got], given: _Given) -> Future[_Got]:
    try:
        return executor.submit(function, given)
    except BrokenExecutor as error:
        # One that broke with an earlier device takes no more of them.
        refused: Future[_Got] = Future()
        refused.set_exception(error)
        return refused


@cached
def _engraver(thread: int) -> Engraver:  # noqa: ARG001  (a toolkit is good in one thread)
    return Engraver()


def _units(jobs: Sequence[Job]) -> list[tuple[int, ...]]:
    alike: dict[int, list[int]] = {}
    for place, job in enumerate(jobs):
        alike.setdefault(id(job.like[0] if job.like else job), []).append(place)
    return [tuple(places) for places in alike.values()]


def _delivered(future: Future[_Got]) -> _Got | None:
    """Gives what an executor made of a device; None where it did not, whatever the reason."""
    try:
        error = future.exception(0)
    except (TimeoutError, CancelledError):
        future.cancel()
        return None
    if isinstance(error, WorkerAbsentError):
        raise EngraversError(_ABSENT) from error
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
            except WorkerAbsentError as error:
                raise EngraversError(_ABSENT) from error
    return results
