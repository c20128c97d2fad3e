"""One worker process: answers tasks one by one, confined in memory and time."""

import os
import signal
from collections.abc import Callable
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from attrs import frozen

try:
    import resource
except ImportError:  # no such limits on this system; the parent's clock still holds
    resource = None  # type: ignore[assignment]

READY = "ready"
_ORPHAN_S = 30


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
