"""Warm worker processes, confined, a task at a time each; what kills one costs its task only."""

import multiprocessing
import os
import signal
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from multiprocessing.connection import Connection, wait
from multiprocessing.context import ForkServerContext, SpawnContext
from multiprocessing.process import BaseProcess
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from attrs import define

from pincheck.model.frozen import frozen

try:
    import resource
except ImportError:  # no such limits on this system; the parent's clock still holds
    resource = None  # type: ignore[assignment]

READY = "ready"
_ORPHAN_S = 30
_START_S = 60.0
"""Time a worker gets to start and warm up."""

_END_S = 5.0
"""Time for the system to tell how a process that hung up has ended."""


@frozen
class Bounds:
    """What the check of one submission may take: wall-clock time, and memory beyond the start."""

    seconds: float
    memory_mb: int

    def __str__(self) -> str:
        return f"{self.seconds:g} s, {self.memory_mb} MB"


@frozen
class Failure:
    """Why a task has no answer; `lasting` says that it would fail again within the same bounds."""

    reason: str
    lasting: bool


@define
class _Worker:
    process: BaseProcess
    connection: Connection
    key: Any = None
    busy: bool = False
    deadline: float = 0.0


class Pool:
    """Answers tasks in `processes` workers; a context manager that leaves none behind.

    `answer` and the tasks are pickled: a function of a module, or a partial of one.
    """

    def __init__(self, answer: Callable[[Any], Any], processes: int, bounds: Bounds) -> None:
        self._answer = answer
        self._processes = processes
        self._bounds = bounds
        self._workers: list[_Worker] = []
        # A fork of this process would carry its open store along; a fresh one for each worker
        # would read every grammar again.
        methods = multiprocessing.get_all_start_methods()
        self._context: SpawnContext | ForkServerContext
        if "forkserver" in methods:
            self._context = multiprocessing.get_context("forkserver")
            self._context.set_forkserver_preload(["pincheck.batch.warm"])
        else:
            self._context = multiprocessing.get_context("spawn")

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        for worker in list(self._workers):
            self._bury(worker)

    def alive(self) -> int:
        """Return how many workers are alive."""
        return sum(worker.process.is_alive() for worker in self._workers)

    def answers(self, tasks: Iterable[tuple[Any, Any]]) -> Iterator[tuple[Any, Any | Failure]]:
        """Yield (key, answer or failure) for each (key, task), as they come.

        One task more than there are workers is drawn ahead: nothing piles up.
        """
        waiting = iter(tasks)
        entry = next(waiting, None)
        while True:
            while entry and (worker := self._free()):
                self._give(worker, *entry)
                entry = next(waiting, None)
            if not any(worker.busy for worker in self._workers):
                return
            yield from self._collect()

    def _free(self) -> _Worker | None:
        for worker in [worker for worker in self._workers if not worker.busy]:
            if worker.process.is_alive():
                return worker
            self._bury(worker)
        return self._start() if len(self._workers) < self._processes else None

    def _start(self) -> _Worker:
        """Return a new worker that is ready for its first task.

        Raises:
            OSError: it does not come up.
        """
        ours, theirs = self._context.Pipe()
        process = self._context.Process(
            target=serve, args=(theirs, self._answer, self._bounds), daemon=True
        )
        process.start()
        theirs.close()
        worker = _Worker(process, ours)
        self._workers.append(worker)
        try:
            if ours.poll(_START_S) and ours.recv() == READY:
                return worker
        except EOFError:
            pass
        raise OSError(0, "a worker process does not start")

    def _give(self, worker: _Worker, key: Any, task: Any) -> None:
        worker.key, worker.busy = key, True
        worker.deadline = time.monotonic() + self._bounds.seconds
        # Death just before shows as the end of its answer.
        with suppress(OSError):
            worker.connection.send(task)

    def _collect(self) -> Iterator[tuple[Any, Any | Failure]]:
        busy = {worker.connection: worker for worker in self._workers if worker.busy}
        nearest = min(worker.deadline for worker in busy.values())
        ready = wait(list(busy), timeout=max(0.0, nearest - time.monotonic()))
        for connection, worker in busy.items():
            if connection in ready:
                yield worker.key, self._received(worker)
            elif worker.deadline <= time.monotonic():
                self._bury(worker)
                reason = f"it took longer than {self._bounds.seconds:g} s"
                yield worker.key, Failure(reason, lasting=True)

    def _received(self, worker: _Worker) -> Any | Failure:
        worker.busy = False
        try:
            outcome = worker.connection.recv()
        except (EOFError, OSError):
            worker.process.join(_END_S)
            cause = _cause(worker.process.exitcode)
            outcome = Failure(f"the check was cut off ({cause})", lasting=False)
        if isinstance(outcome, Failure):
            # What went wrong may have left its memory in any state.
            self._bury(worker)
        return outcome

    def _bury(self, worker: _Worker) -> None:
        self._workers.remove(worker)
        worker.connection.close()
        worker.process.kill()
        worker.process.join()


def _cause(exitcode: int | None) -> str:
    if exitcode is None or exitcode >= 0:
        return f"its process ended with code {exitcode}"
    try:
        return f"its process was ended by {signal.Signals(-exitcode).name}"
    except ValueError:
        return f"its process was ended by signal {-exitcode}"


def serve(connection: Connection, answer: Callable[[Any], Any], bounds: Bounds) -> None:
    """Say that it is ready, then answer tasks until the parent goes away."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _silence()
    _confine(bounds)
    connection.send(READY)
    while True:
        try:
            task = connection.recv()
        except (EOFError, OSError):
            return
        _die_in(bounds.seconds + _ORPHAN_S)
        try:
            outcome = answer(task)
        except MemoryError:
            outcome = Failure(f"it took more than {bounds.memory_mb} MB of memory", lasting=True)
        except Exception as error:
            outcome = Failure(f"internal error: {error!r}"[:300], lasting=True)
        _die_in(0)
        connection.send(outcome)


def _silence() -> None:
    null = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(null, stream)


def _die_in(seconds: float) -> None:
    # The parent's clock comes first; this one ends a worker whose parent was killed meanwhile.
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, seconds)


def _confine(bounds: Bounds) -> None:
    """Bound memory beyond what a warm worker has, allow no core file and no written file."""
    if resource is None:
        return
    memory = _address_space() + bounds.memory_mb * 1024 * 1024
    for what, most in (
        (resource.RLIMIT_AS, memory),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_FSIZE, 0),
    ):
        hard = resource.getrlimit(what)[1]
        resource.setrlimit(what, (most if hard < 0 else min(most, hard), hard))


def _address_space() -> int:
    try:
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    except (OSError, ValueError):
        return 1024 * 1024 * 1024
    return pages * os.sysconf("SC_PAGE_SIZE")
