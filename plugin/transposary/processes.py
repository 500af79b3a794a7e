"""Worker processes that may crash or hang: an executor in which that costs one task.

Verovio holds the interpreter's lock, and a fault in it ends its process; music21 may take for ever
over a score. A pool of the standard
library breaks as a whole when one of its processes dies, and waits for ever when one hangs. Here
each worker has a pipe and one task at a time, so that what it was at is known.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from threading import Lock, Thread
from time import monotonic
from typing import Any, ParamSpec, TypeVar

_P = ParamSpec("_P")
_T = TypeVar("_T")

_START_PATIENCE = 60.0
"""Seconds in which a worker has to be there."""


_LONG = 3600.0
"""Seconds between two looks of somebody who waits to be called."""


class WorkerLostError(Exception):
    """A task ended the process that did it, or did not end in time; the text says which."""


class WorkerAbsentError(Exception):
    """Worker processes do not start here."""


@dataclass(slots=True)
class _Task:
    future: Future[Any]
    call: tuple[Callable[..., Any], tuple[Any, ...], dict[str, Any]]
    begun: bool = False


@dataclass(slots=True)
class _Worker:
    """A worker process, and what it is at: None when idle, and while it starts."""

    process: SpawnProcess
    connection: Connection
    deadline: float
    ready: bool = False
    task: _Task | None = None


class Processes(Executor):
    """Runs tasks in processes of its own, which start when there is something to do.

    Args:
        count: How many at most.
        patience: Seconds that a task may take.
    """

    def __init__(self, count: int, patience: float) -> None:
        self._count = count
        self._patience = patience
        self._context = get_context("spawn")
        self._todo: deque[_Task] = deque()
        self._workers: list[_Worker] = []
        self._closed = False
        self._absent = False
        # Between a task that is added and the end of all who could take it.
        self._lock = Lock()
        self._bell, self._door = self._context.Pipe()
        self._thread: Thread | None = None

    def submit(self, fn: Callable[_P, _T], /, *args: _P.args, **kwargs: _P.kwargs) -> Future[_T]:
        """Adds a task; its future raises `WorkerLostError` where it cost its worker."""
        if self._closed:
            raise RuntimeError("these workers have been dismissed")
        future: Future[_T] = Future()
        with self._lock:
            if self._absent:
                future.set_exception(WorkerAbsentError())
                return future
            self._todo.append(_Task(future, (fn, args, kwargs)))
        if self._thread is None:
            self._thread = Thread(target=self._run, name="workers", daemon=True)
            self._thread.start()
        self._bell.send(None)
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:  # noqa: FBT001, FBT002  (the standard library's signature)
        """Dismisses the workers, when all is done or, if futures are to be cancelled, at once."""
        if self._closed:
            return
        self._closed = True
        if cancel_futures:
            for task in tuple(self._todo):
                task.future.cancel()
        if self._thread is not None:
            self._bell.send(None)
            if wait:
                self._thread.join()
                self._bell.close()
                self._door.close()

    def _run(self) -> None:
        """Hands out tasks and collects results, in a thread of its own."""
        try:
            while not self._absent:
                self._hire()
                self._hand_out()
                if self._closed and not self._todo and not any(worker.task for worker in self._workers):
                    return
                self._collect()
        finally:
            # Nobody may wait for what nobody is going to do, whatever has ended this thread.
            self._give_up()
            for worker in self._workers:
                _dismiss(worker)

    def _hire(self) -> None:
        free = sum(worker.task is None for worker in self._workers)
        for _ in range(min(len(self._todo) - free, self._count - len(self._workers))):
            ours, theirs = self._context.Pipe()
            process = self._context.Process(target=_serve, args=(theirs,), daemon=True)
            try:
                process.start()
            except (OSError, RuntimeError, AssertionError):
                # No memory or no room for another process, a main module that starts builds, or a
                # process that may have no children itself.
                self._give_up()
                return
            theirs.close()
            self._workers.append(_Worker(process, ours, monotonic() + _START_PATIENCE))

    def _hand_out(self) -> None:
        for worker in tuple(self._workers):
            while self._todo and worker.ready and worker.task is None:
                task = self._todo.popleft()
                if not task.begun and not task.future.set_running_or_notify_cancel():
                    continue
                task.begun = True
                worker.task, worker.deadline = task, monotonic() + self._patience
                try:
                    worker.connection.send(task.call)
                except ConnectionError:
                    # It died idle, which is no fault of the task.
                    worker.task = None
                    self._todo.appendleft(task)
                    self._lose(worker, "")
                    break

    def _collect(self) -> None:
        """Waits until a worker answers, dies or has had its time, or there is more to do."""
        busy = [worker for worker in self._workers if worker.task is not None or not worker.ready]
        ends = [worker.deadline - monotonic() for worker in busy] or [0.0 if self._todo else _LONG]
        patience = max(0.0, min(ends))
        ready = wait([self._door, *(worker.connection for worker in busy)], patience)
        if self._door in ready:
            self._door.recv()
        for worker in busy:
            if worker.connection in ready:
                self._receive(worker)
            elif worker.deadline <= monotonic():
                self._lose(worker, "did not finish in time")

    def _receive(self, worker: _Worker) -> None:
        try:
            result = worker.connection.recv()
        except (EOFError, ConnectionError):
            self._lose(worker, "crashed")
            return
        task, worker.task, worker.ready = worker.task, None, True
        if task is not None:
            task.future.set_result(result)

    def _lose(self, worker: _Worker, reason: str) -> None:
        _dismiss(worker)
        self._workers.remove(worker)
        if worker.task is not None:
            worker.task.future.set_exception(WorkerLostError(reason))
        elif not worker.ready:
            self._give_up()

    def _give_up(self) -> None:
        """Tells all who wait that none will come: where one worker does not start, none does."""
        with self._lock:
            self._absent = True
            waiting = [*self._todo, *(worker.task for worker in self._workers if worker.task is not None)]
            self._todo.clear()
        for task in waiting:
            if not task.future.done():
                task.future.set_exception(WorkerAbsentError())


def _dismiss(worker: _Worker) -> None:
    worker.connection.close()
    worker.process.kill()
    worker.process.join()


def _serve(connection: Connection) -> None:
    """Runs in a worker: says that it is there, then does task after task.

    A task that raises ends the worker, as a crash does; those that are run here give what is wrong
    as values.
    """
    connection.send(None)
    while True:
        try:
            function, arguments, named = connection.recv()
        except EOFError:
            return
        connection.send(function(*arguments, **named))
