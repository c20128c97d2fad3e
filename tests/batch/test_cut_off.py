"""A run that ends in its middle, however often and by whatever, loses nothing it kept."""

import io
import random
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from pincheck.batch import export
from pincheck.batch.progress import Progress
from pincheck.batch.store import Store

Go = Callable[..., tuple[Store, int]]
Dump = Callable[[sqlite3.Connection], list[tuple[Any, ...]]]

_CUT_OFF = """
import os, signal, sys
from pincheck.batch.store import Store
from pincheck.cli.main import entry

# a shell's background jobs are started deaf to Ctrl-C
signal.signal(signal.SIGINT, signal.default_int_handler)
whom, sign, method, left = (sys.argv.pop(1) for _ in range(4))
left, whole = int(left), getattr(Store, method)

def counted(*args):
    global left
    left -= 1
    if not left:
        os.kill(0 if whom == "group" else os.getpid(), getattr(signal, sign))
    return whole(*args)

setattr(Store, method, counted)
entry()
"""
"""The command, with a signal to its process group, or to itself alone, at the nth call of a method
of the store. Its workers are in the middle of something then."""

_ENDS = (
    ("group", "SIGKILL", "add", "2"),
    ("parent", "SIGKILL", "keep", "3"),
    ("group", "SIGINT", "note", "3"),
)

_KEPT = "SELECT (SELECT count(*) FROM results), (SELECT max(finished) FROM runs)"


class _Interrupted(Progress):
    def __init__(self, after: int) -> None:
        super().__init__(100, io.StringIO())
        self.left = after

    def add(self, danger: bool) -> None:
        self.left -= 1
        if self.left < 0:
            raise KeyboardInterrupt
        super().add(danger)


def test_interrupted_again_and_again_and_finished(
    batches: ModuleType, go: Go, dump: Dump, tmp_path: Path
) -> None:
    """What was checked before Ctrl-C is not checked again; the store ends as if uninterrupted."""
    where = tmp_path / "batch"
    count = 12
    list(batches.make(where, count, seed=7, hostile=2))
    store, whole = go(where)
    wanted = dump(store.db)
    (tmp_path / "store.sqlite").unlink()

    chance = random.Random(11)
    for _ in range(4):
        with pytest.raises(KeyboardInterrupt):
            go(where, progress=_Interrupted(chance.randrange(count)))
    store, rest = go(where)
    assert rest < whole
    assert dump(store.db) == wanted


def test_killed_in_its_steps_and_resumed(
    batches: ModuleType, go: Go, dump: Dump, tmp_path: Path
) -> None:
    """SIGKILL of all its processes, Ctrl-C between: nothing is lost, and nobody is left behind.

    The store and the output end like those of an undisturbed run, row for row.
    """
    where = tmp_path / "batch"
    list(batches.make(where, 8, seed=9, hostile=2))
    store, whole = go(where)
    wanted, written = dump(store.db), list(export.json_lines(store))
    file = tmp_path / "store.sqlite"
    file.unlink()

    desk = ["desk", str(where), "--demo", "--processes", "2", "--store", str(file)]
    for end in _ENDS:
        sign = end[1]
        code, said = _run("-c", _CUT_OFF, *end, *desk)
        assert code == (130 if sign == "SIGINT" else -signal.SIGKILL), said
        assert ("the same command goes on" in said) == (sign == "SIGINT")
    with closing(sqlite3.connect(file)) as db:
        kept, finished = db.execute(_KEPT).fetchone()
        assert kept
        assert not finished
    store, rest = go(where)
    assert rest < whole
    assert dump(store.db) == wanted
    assert list(export.json_lines(store)) == written


def _run(*python: str) -> tuple[int, str]:
    """Run Python in a process group of its own; wait until nobody in it is left."""
    run = subprocess.Popen(
        [sys.executable, *python],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    _, said = run.communicate()
    while _alive(run.pid):
        time.sleep(0.01)
    return run.returncode, said


def _alive(group: int) -> bool:
    """Return whether a process of a group runs (Linux); one that is only not reaped does not."""
    for file in Path("/proc").glob("[0-9]*/stat"):
        try:
            state, _, of, *_ = file.read_text(encoding="utf-8").rpartition(")")[2].split()
        except OSError:
            continue
        if int(of) == group and state not in "ZX":
            return True
    return False
