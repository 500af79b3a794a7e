"""Runs trials in processes of their own, so that a crash or a hang costs one of them and is named."""

from __future__ import annotations

import signal
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from time import monotonic
from types import FrameType

from tests.fuzz.trial import try_entry, try_score

LONGEST = 5.0
"""Seconds of its processor that a trial may take; a busy machine is not its fault."""
_PATIENCE = 120.0
"""Seconds by the clock after which a worker that does not answer is killed."""

KINDS: dict[str, Callable[[int, int], str]] = {"entry": try_entry, "score": try_score}


@dataclass(frozen=True, slots=True)
class Case:
    """One trial, by what it can be run again with."""

    kind: str
    number: int
    seed: int


class _TooLong(BaseException):
    """A trial took too long; no handler of the program catches it."""


def run(case: Case) -> tuple[str, str]:
    """Runs a trial here.

    Returns:
        What came of it ("read", "refused" or "defect"), and a report of the defect.
    """
    previous = signal.signal(signal.SIGVTALRM, _too_long)
    signal.setitimer(signal.ITIMER_VIRTUAL, LONGEST)
    try:
        return KINDS[case.kind](case.number, case.seed), ""
    except _TooLong as late:
        where = "".join(traceback.format_tb(late.__traceback__)[:-1])
        return "defect", f"hang of more than {LONGEST:.0f} s\n{where}"
    except Exception:  # noqa: BLE001  (whatever comes out is what is looked for)
        return "defect", traceback.format_exc()
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, previous)


def _too_long(_: int, __: FrameType | None) -> None:
    raise _TooLong


@dataclass(slots=True)
class _Worker:
    process: BaseProcess
    connection: Connection
    case: Case
    begun: float


def run_all(cases: Sequence[Case], workers: int) -> Iterator[tuple[Case, str, str]]:
    """Runs trials in so many processes; gives each with what came of it."""
    todo = list(reversed(cases))
    busy: list[_Worker] = []
    while todo or busy:
        while todo and len(busy) < workers:
            busy.append(_hired(todo.pop()))
        ready = wait([one.connection for one in busy], 1.0)
        for worker in tuple(busy):
            if worker.connection in ready:
                try:
                    found = worker.connection.recv()
                except EOFError:
                    worker.process.join()
                    found = ("defect", f"crash: the process ended with {worker.process.exitcode}")
                    busy.remove(worker)
                yield (worker.case, *found)
                if worker in busy:
                    _next(worker, todo, busy)
            elif monotonic() - worker.begun > _PATIENCE:
                worker.process.kill()
                worker.process.join()
                busy.remove(worker)
                yield worker.case, "defect", f"hang: no answer in {_PATIENCE:.0f} s"


def _next(worker: _Worker, todo: list[Case], busy: list[_Worker]) -> None:
    if todo:
        worker.case, worker.begun = todo.pop(), monotonic()
        worker.connection.send(worker.case)
    else:
        worker.connection.send(None)
        worker.process.join()
        busy.remove(worker)


def _hired(case: Case) -> _Worker:
    context = get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=_serve, args=(theirs, ours))
    process.start()
    theirs.close()
    ours.send(case)
    return _Worker(process, ours, case, monotonic())


def _serve(connection: Connection, other: Connection) -> None:
    other.close()

    with suppress(EOFError, ConnectionError):
        while (case := connection.recv()) is not None:
            connection.send(run(case))
