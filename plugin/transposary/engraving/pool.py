"""Engraving many figures: in this process or in workers.

Verovio holds the interpreter's lock and a fault in it ends its process, so the workers are
processes. Each has a pipe and one batch at a time, a device with its keys: when one dies or
hangs, what it was at is known, is tried again key by key, and costs nothing but the key that
does it.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnContext, SpawnProcess
from time import monotonic

from transposary.cache import Cache
from transposary.engraving.figures import Engraving, EngravingFailure, Job, draw
from transposary.engraving.kept import keep, kept, key_of_jobs
from transposary.engraving.toolkit import Engraver

Result = Engraving | EngravingFailure

_NONE = Cache()

_FEW = 120
"""Up to this many figures are engraved sooner than workers start."""

_START_PATIENCE = 60.0
_PATIENCE = 5.0
"""Seconds a figure may take; one takes about a hundredth of one."""


def engrave(jobs: Sequence[Job], workers: int, cache: Cache = _NONE) -> tuple[Result, ...]:
    """Engraves jobs; the results stand in their order and depend neither on workers nor cache.

    Args:
        jobs: What to engrave, the keys of a device next to each other.
        workers: Worker processes; 0 for as many as there are cores, 1 for none besides this.
        cache: Where engravings of earlier builds are found, and these are kept.

    Raises:
        RuntimeError: Worker processes do not start here.
    """
    found: dict[int, Result] = {}
    fresh: dict[Batch, str] = {}
    for batch in _batches(jobs):
        mine = [jobs[place] for place in batch]
        key = key_of_jobs(mine)
        drawn = kept(cache, key, mine)
        if drawn is None:
            fresh[batch] = key
        else:
            found.update(zip(batch, drawn, strict=True))
    places = [place for batch in fresh for place in batch]
    found.update(zip(places, _draw([jobs[place] for place in places], workers), strict=True))
    for batch, key in fresh.items():
        results = [found[place] for place in batch]
        drawn = tuple(one for one in results if isinstance(one, Engraving))
        if len(drawn) == len(results):
            keep(cache, key, drawn)
    return tuple(found[place] for place in range(len(jobs)))


def _draw(jobs: Sequence[Job], workers: int) -> tuple[Result, ...]:
    batches = _batches(jobs)
    count = min(workers or os.cpu_count() or 1, len(batches))
    if count < 2 or len(jobs) <= _FEW:
        engraver = Engraver()
        return tuple(draw(job, engraver) for job in jobs)
    done = _Crew(jobs, batches).work(count)
    return tuple(done[place] for place in range(len(jobs)))


Batch = tuple[int, ...]
"""Places of jobs that one worker does in a row."""


def _batches(jobs: Sequence[Job]) -> list[Batch]:
    by_device: dict[str, list[int]] = {}
    for place, job in enumerate(jobs):
        by_device.setdefault(job.slug, []).append(place)
    return [tuple(places) for places in by_device.values()]


@dataclass(slots=True)
class _Worker:
    """A worker process and what it is at; an empty batch while it starts, None when idle."""

    process: SpawnProcess
    connection: Connection
    batch: Batch | None
    deadline: float


class _Crew:
    """Worker processes and the list of what is left to do."""

    def __init__(self, jobs: Sequence[Job], batches: Iterable[Batch]) -> None:
        self._jobs = jobs
        self._todo = deque(batches)
        self._done: dict[int, Result] = {}
        self._workers: list[_Worker] = []
        self._context = get_context("spawn")

    def work(self, count: int) -> dict[int, Result]:
        """Does everything with so many workers; gives the results by place."""
        try:
            self._workers = [_hire(self._context) for _ in range(count)]
            while len(self._done) < len(self._jobs):
                self._hand_out()
                self._collect()
        finally:
            for worker in self._workers:
                _dismiss(worker)
        return self._done

    def _hand_out(self) -> None:
        for worker in tuple(self._workers):
            if worker.batch is not None or not self._todo:
                continue
            worker.batch = self._todo.popleft()
            worker.deadline = monotonic() + _PATIENCE * len(worker.batch)
            try:
                worker.connection.send([self._jobs[place] for place in worker.batch])
            except ConnectionError:
                self._lose(worker, "the engraver crashed")

    def _collect(self) -> None:
        """Waits until a worker answers, dies or has had its time."""
        busy = [worker for worker in self._workers if worker.batch is not None]
        patience = max(0.0, min(worker.deadline for worker in busy) - monotonic())
        ready = wait([worker.connection for worker in busy], patience)
        for worker in busy:
            if worker.connection in ready:
                self._receive(worker)
            elif worker.deadline <= monotonic():
                self._lose(worker, "the engraver did not finish in time")

    def _receive(self, worker: _Worker) -> None:
        try:
            results: list[Result] = worker.connection.recv()
        except (EOFError, ConnectionError):
            self._lose(worker, "the engraver crashed")
            return
        self._done.update(zip(worker.batch or (), results, strict=True))
        worker.batch = None

    def _lose(self, worker: _Worker, reason: str) -> None:
        """Replaces a worker; its batch is tried again key by key, a single key has failed."""
        _dismiss(worker)
        batch = worker.batch
        if not batch:
            raise RuntimeError("the engraving workers do not start; set workers to 1 to do without")
        if len(batch) == 1:
            job = self._jobs[batch[0]]
            self._done[batch[0]] = EngravingFailure(job.slug, job.slot, reason)
        else:
            self._todo.extendleft((place,) for place in reversed(batch))
        self._workers[self._workers.index(worker)] = _hire(self._context)


def _hire(context: SpawnContext) -> _Worker:
    ours, theirs = context.Pipe()
    process = context.Process(target=_serve, args=(theirs,), daemon=True)
    process.start()
    theirs.close()
    return _Worker(process, ours, (), monotonic() + _START_PATIENCE)


def _dismiss(worker: _Worker) -> None:
    worker.connection.close()
    worker.process.kill()
    worker.process.join()


def _serve(connection: Connection) -> None:
    """Runs in a worker: says that it is there, then engraves batch after batch."""
    engraver = Engraver()
    connection.send([])
    while True:
        try:
            jobs: list[Job] = connection.recv()
        except EOFError:
            return
        connection.send([draw(job, engraver) for job in jobs])
