"""Engraving many figures in the background, by whatever executor, with a cache of earlier ones.

A device is handed out with all its figures, and with what is made from them (`works`). What comes
back is packed, and goes to the disk as it comes. What an executor does not deliver, because a worker
crashed or hung or the executor broke, is tried again figure by figure in a process that may be lost,
so that it costs nothing but the figure that does it.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field
from functools import cache as cached
from functools import partial
from importlib import import_module
from itertools import count
from queue import Empty, SimpleQueue
from threading import get_ident
from typing import TypeVar

from transposary.cache import Cache, Packs, key_of
from transposary.engraving.figures import EngravingFailure, Job, draw
from transposary.engraving.kept import Figures, figures_in
from transposary.engraving.toolkit import Engraver
from transposary.engraving.works import Done, Result, Work
from transposary.processes import Processes, WorkerAbsentError, WorkerLostError

_T = TypeVar("_T")
_Given = TypeVar("_Given")
_Got = TypeVar("_Got")
_Packed = tuple[bytes, tuple[EngravingFailure, ...]]
_Keyed = tuple[Work, str]

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
class Press:
    """Does works in the background; what comes of them goes to the disk at once.

    Attributes:
        executor: What does it.
        packs: Where results of earlier builds are found, and new ones are put.
        done: What came of the works that were collected, by their keys.
    """

    executor: Executor
    packs: Packs = field(default_factory=Packs)
    done: dict[str, Done] = field(default_factory=dict)
    _numbers: Iterator[int] = field(default_factory=count)
    _left: dict[int, Sequence[_Keyed]] = field(default_factory=dict)
    _futures: dict[int, Future[list[_Packed]]] = field(default_factory=dict)
    _arrived: SimpleQueue[tuple[int, list[Done] | WorkerAbsentError | None]] = field(
        default_factory=SimpleQueue
    )

    def begin(self, works: Sequence[Work]) -> list[str]:
        """Begins with works of a device, but for those whose results are there; gives their keys."""
        keyed = [(work, work.key()) for work in works]
        fresh: list[_Keyed] = []
        for work, key in keyed:
            found = self.packs.get(key)
            signs = None if found is None else work.signs(found)
            if signs is None:
                fresh.append((work, key))
            else:
                self.done[key] = Done(key, (), signs)
        if fresh:
            self._submit(fresh)
        return [key for _, key in keyed]

    def order(self, jobs: Sequence[Job]) -> list[tuple[Figures, str]]:
        """Begins with the figures of a device, but for those that are kept; gives them with their keys."""
        figures = Figures.of(jobs)
        return list(zip(figures, self.begin(figures), strict=True))

    def recall(self, keys: Iterable[str]) -> set[str]:
        """Takes works that are kept, by their keys; gives those that are not there."""
        wanted = set(keys)
        found = {key for key in wanted if self.packs.get(key) is not None}
        self.done |= {key: Done(key) for key in found}
        return wanted - found

    def collect(self) -> Iterator[tuple[int, int]]:
        """Waits for everything; says after each device how many of how many are done.

        Raises:
            EngraversError: Worker processes do not start here.
        """
        every = len(self._left)
        while self._left:
            try:
                number, landed = self._arrived.get(timeout=_SILENCE)
            except Empty:
                self.cancel()
                for number in tuple(self._left):
                    self._take(self._left.pop(number), None)
            else:
                if isinstance(landed, WorkerAbsentError):
                    raise EngraversError(_ABSENT) from landed
                self._take(self._left.pop(number), landed)
            yield every - len(self._left), every

    def cancel(self) -> None:
        """Takes back what nobody has begun with."""
        for future in tuple(self._futures.values()):
            future.cancel()

    def results(self, ordered: Iterable[tuple[Figures, str]]) -> Mapping[tuple[str, str], Result]:
        """Gives figures that were collected, by slug and slot.

        Args:
            ordered: What `order` has given.
        """
        found: dict[tuple[str, str], Result] = {}
        for figures, key in ordered:
            done = self.done[key]
            slots = [job.slot for job in figures.wanted if job.slot not in done.failed]
            read = partial(figures_in, slug=figures.slug, slots=slots)
            drawn = opened(done, self.packs, read, figures.ready, lambda: nullcontext(self.executor))
            results: tuple[Result, ...] = (*drawn, *done.failures)
            found |= {(one.slug, one.slot): one for one in results}
        return found

    def _submit(self, works: Sequence[_Keyed]) -> None:
        number = next(self._numbers)
        future = _submitted(self.executor, do_here, [work.ready() for work, _ in works])
        self._left[number], self._futures[number] = works, future

        def land(ended: Future[list[_Packed]]) -> None:
            # The one reference that would keep the result in memory until it is collected.
            del self._futures[number]
            self._arrived.put((number, self._landed(works, ended)))

        future.add_done_callback(land)

    def _landed(
        self, works: Sequence[_Keyed], ended: Future[list[_Packed]]
    ) -> list[Done] | WorkerAbsentError | None:
        """Puts away what an executor made; None where it made nothing, whatever the reason."""
        error = None if ended.cancelled() else ended.exception()
        if isinstance(error, WorkerAbsentError):
            return error
        if ended.cancelled() or error is not None:
            return None
        return [self._put(*keyed, packed) for keyed, packed in zip(works, ended.result(), strict=True)]

    def _take(self, works: Sequence[_Keyed], landed: Sequence[Done] | None) -> None:
        if landed is None:
            landed = [self._put(work, key, _done(work, _one_by_one(work.jobs()))) for work, key in works]
        self.done |= {key: done for (_, key), done in zip(works, landed, strict=True)}

    def _put(self, work: Work, key: str, packed: _Packed) -> Done:
        data, failures = packed
        # What is left of a device without some figures must not be found under its name.
        name = key_of("failed", key, data.hex()) if failures else key
        self.packs.put(name, data, lasting=not failures)
        return Done(name, failures, work.signs(data) or ())


def opened(
    done: Done,
    packs: Packs,
    read: Callable[[bytes], _T | None],
    work: Callable[[], Work],
    executor: Callable[[], AbstractContextManager[Executor]],
) -> _T:
    """Reads what came of a work, and makes it again where it is not there any more, or was not ours.

    Args:
        done: What is known of it.
        packs: Where its pack lies.
        read: Reads a pack; gives None where it is not as we write it.
        work: Gives the work.
        executor: Gives what makes it again.

    Raises:
        EngraversError: A figure fails that did not fail before, or there is nothing that engraves.
    """
    data = packs.get(done.key)
    found = None if data is None else read(data)
    if found is None:
        with executor() as engraver:
            found = read(_made_again(work(), done, packs, engraver))
    if found is None:
        raise not_made_again(done.key, ["its figures"])
    return found


def not_made_again(slug: str, names: Iterable[str]) -> EngraversError:
    """Says that figures cannot be made again."""
    return EngraversError(
        f"{slug}: {', '.join(names)} could not be engraved in the place of what the cache had, which is not"
        " ours; empty it with transposary check --clean-cache, and build again"
    )


def _made_again(work: Work, done: Done, packs: Packs, executor: Executor) -> bytes:
    press = Press(executor)
    (key,) = press.begin([work])
    for _ in press.collect():
        pass
    again = press.done[key]
    new = sorted(again.failed - done.failed)
    if new:
        raise not_made_again(work.slug, new)
    data = press.packs.get(again.key) or b""
    # A name that a stranger has made up, or one of this build alone, is not for the next one.
    packs.put(done.key, data, lasting=key == done.key)
    return data


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
        press = Press(executor, Packs(cache))
        ordered = [one for mine in by_device.values() for one in press.order(mine)]
        for _ in press.collect():
            pass
        found = press.results(ordered)
    return tuple(found[job.slug, job.slot] for job in jobs)


def draw_here(jobs: Sequence[Job]) -> list[Result]:
    """Engraves figures in this process; what a worker runs."""
    return draw(jobs, _engraver(get_ident()))


def do_here(works: Sequence[Work]) -> list[_Packed]:
    """Does works in this process, and packs what comes of them; what a worker runs."""
    return [_done(work, draw_here(work.jobs())) for work in works]


def _done(work: Work, results: Sequence[Result]) -> _Packed:
    failures = tuple(one for one in results if isinstance(one, EngravingFailure))
    return work.packed(results), failures


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
