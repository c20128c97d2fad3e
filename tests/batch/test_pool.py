"""Whatever a task does to its worker, every other task gets its answer."""

import operator
import os
import signal
import time
from collections import Counter
from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from pincheck.batch import pool as pool_module
from pincheck.batch.pool import Bounds, Failure, Pool

_CALL: Callable[[Any], Any] = operator.call
"""The workers answer a task by calling it."""

HOSTILE: dict[str, tuple[Callable[[], Any], str, bool]] = {
    "takes memory": (partial(bytearray, 10**9), "it took more than 200 MB of memory", True),
    "aborts": (os.abort, "the check was cut off (its process was ended by SIGABRT)", False),
    "is killed": (
        partial(signal.raise_signal, signal.SIGKILL),
        "the check was cut off (its process was ended by SIGKILL)",
        False,
    ),
    "leaves": (
        partial(os._exit, 3),
        "the check was cut off (its process ended with code 3)",
        False,
    ),
    "raises": (partial(int, "x"), "internal error: ValueError(", True),
}


@pytest.mark.parametrize("processes", [1, 2])
def test_each_failure_costs_its_own_task(processes: int) -> None:
    """Good tasks before, between and after are all answered, and each failure says why."""
    tasks: list[tuple[str, Callable[[], Any]]] = []
    for name, (task, _, _) in HOSTILE.items():
        tasks += [(f"before {name}", partial(abs, -1)), (name, task)]
    tasks.append(("last", partial(abs, -1)))
    with Pool(_CALL, processes, Bounds(600, 200)) as pool:
        answers = list(pool.answers(tasks))
    assert Counter(key for key, _ in answers) == Counter(key for key, _ in tasks)
    for key, outcome in answers:
        if key in HOSTILE:
            _, reason, lasting = HOSTILE[key]
            assert isinstance(outcome, Failure)
            assert outcome.reason.startswith(reason)
            assert outcome.lasting == lasting
        else:
            assert outcome == 1


@pytest.mark.parametrize("processes", [1, 2])
def test_a_task_that_hangs_costs_itself_only(
    processes: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is given up once its time is over; what was given later has its own."""
    now = 0.0

    def tasks() -> Any:
        nonlocal now
        yield "hangs", partial(time.sleep, 600)
        now = 61
        yield "next", partial(abs, -1)
        yield "last", partial(abs, -2)

    monkeypatch.setattr(pool_module, "time", SimpleNamespace(monotonic=lambda: now))
    with Pool(_CALL, processes, Bounds(60, 200)) as pool:
        answers = dict(pool.answers(tasks()))
    given_up = Failure("it took longer than 60 s", lasting=True)
    assert answers == {"hangs": given_up, "next": 1, "last": 2}


def test_a_worker_that_dies_between_tasks_costs_nothing() -> None:
    """It is found dead before it is given the next one."""

    def tasks() -> Any:
        yield "first", os.getpid
        yield "second", partial(abs, -2)

    with Pool(_CALL, 1, Bounds(600, 200)) as pool:
        source = tasks()
        (_, pid), *_ = pool.answers([next(source)])
        os.kill(pid, signal.SIGKILL)
        while pool.alive():
            time.sleep(0.01)
        assert list(pool.answers(source)) == [("second", 2)]


def test_after_a_failure_the_next_task_gets_a_fresh_worker() -> None:
    """Its memory may be in any state."""
    tasks = [("first", os.getpid), ("raises", partial(int, "x")), ("next", os.getpid)]
    with Pool(_CALL, 1, Bounds(600, 200)) as pool:
        answers = dict(pool.answers(tasks))
    assert answers["first"] != answers["next"]


def test_tasks_are_drawn_as_workers_get_free() -> None:
    """A batch of any size never piles up."""
    drawn = []

    def tasks() -> Any:
        for number in range(50):
            drawn.append(number)
            yield number, partial(abs, number)

    with Pool(_CALL, 2, Bounds(600, 200)) as pool:
        for done, _ in enumerate(pool.answers(tasks()), 1):
            assert len(drawn) <= done + 3


def test_no_worker_is_left_behind() -> None:
    """Leaving the pool early ends its workers, busy ones too."""
    with Pool(_CALL, 2, Bounds(600, 200)) as pool:
        tasks = [("pid", os.getpid), ("hang", partial(time.sleep, 600))]
        _, pid = next(iter(pool.answers(tasks)))
        assert pool.alive() == 2
    assert pool.alive() == 0
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)


def test_no_task_starts_no_worker() -> None:
    """A batch that is all remembered costs no process."""
    with Pool(_CALL, 2, Bounds(60, 200)) as pool:
        assert list(pool.answers([])) == []
        assert pool.alive() == 0


def test_a_worker_writes_no_file(tmp_path: Path) -> None:
    """A submission that got a reader to write would find no room for a byte."""
    task = partial(Path.write_bytes, tmp_path / "planted", b"x")
    with Pool(_CALL, 1, Bounds(600, 200)) as pool:
        ((_, outcome),) = pool.answers([("write", task)])
    assert isinstance(outcome, Failure)
    assert "File too large" in outcome.reason
