"""Batches written from a seed, and a desk that checks them in this process's own workers."""

import importlib.util
import io
import sqlite3
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from pincheck import api
from pincheck.batch import submission
from pincheck.batch.assign import AssignmentRule, Offer, offer
from pincheck.batch.examine import Desk
from pincheck.batch.pool import Bounds
from pincheck.batch.progress import Progress
from pincheck.batch.run import run
from pincheck.batch.store import Store
from pincheck.batch.submission import Submission

BOUNDS = Bounds(seconds=600, memory_mb=512)


_ALL = """
SELECT run, finished, position, id, path, note, o.assembly, o.assigned_by, holds, rank, danger,
       fault, advice, record, a.assembly, a.assigned_by
FROM outcomes o LEFT JOIN runs ON number = run LEFT JOIN results USING (key)
LEFT JOIN assigned a USING (question) ORDER BY run, position
"""


@pytest.fixture(scope="session")
def batches() -> ModuleType:
    """The maker of batches that the benchmarks use too."""
    path = Path(__file__).parents[1] / "bench" / "batches.py"
    spec = importlib.util.spec_from_file_location("batches", path)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    sys.modules["batches"] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def offered() -> Offer:
    """Every assembly of the demo."""
    return offer([api.demo("")])


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Callable[[], Store]]:
    """Open the test's store, the one before closed."""
    stores: list[Store] = []

    def open_() -> Store:
        for store in stores:
            store.__exit__(None, None, None)
        stores[:] = [Store(tmp_path / "store.sqlite")]
        return stores[0]

    yield open_
    for store in stores:
        store.__exit__(None, None, None)


@pytest.fixture
def go(offered: Offer, opened: Callable[[], Store]) -> Callable[..., tuple[Store, int]]:
    """Run a folder, or listed submissions of it; return the store and how many were checked."""

    def go_(
        where: Path,
        submissions: tuple[Submission, ...] | None = None,
        processes: int = 2,
        rules: tuple[AssignmentRule, ...] = (),
        assemblies: Offer = offered,
        bounds: Bounds = BOUNDS,
        progress: Progress | None = None,
    ) -> tuple[Store, int]:
        listed = tuple(submission.entries(where)) if submissions is None else submissions
        store = opened()
        shown = progress or Progress(len(listed), io.StringIO())
        return store, run(where, listed, Desk(assemblies, rules), store, processes, bounds, shown)

    return go_


@pytest.fixture
def customer(tmp_path: Path) -> Callable[..., Path]:
    """Write the demo's clean configuration of a style as a submission, with replacements."""

    def write(name: str, style: str = "section", *replaced: tuple[str, str]) -> Path:
        where = tmp_path / "batch" / name
        where.mkdir(parents=True, exist_ok=True)
        for path in (api.demo("clean") / style).iterdir():
            text = path.read_text(encoding="utf-8")
            for old, new in replaced:
                text = text.replace(old, new)
            (where / path.name).write_text(text, encoding="utf-8")
        (where / "pincheck-assembly.txt").write_text("marsh-230-c\n", encoding="utf-8")
        return where

    return write


@pytest.fixture(scope="session")
def dump() -> Callable[[sqlite3.Connection], list[tuple[Any, ...]]]:
    """Return all that a store holds, but for the digests: they change with the program."""

    def dump_(db: sqlite3.Connection) -> list[tuple[Any, ...]]:
        tables = ("results", "assigned", "runs", "outcomes")
        counts = [db.execute(f"SELECT count(*) FROM {table}").fetchone() for table in tables]
        return [*counts, *db.execute(_ALL)]

    return dump_
