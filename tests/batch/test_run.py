"""A whole batch: all accounted for, nothing done twice, nothing lost however it ends."""

import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from pincheck import api
from pincheck.batch import export, pool, summary
from pincheck.batch.assign import offer
from pincheck.batch.pool import Bounds
from pincheck.batch.store import Store
from pincheck.batch.submission import Submission
from pincheck.batch.summary import changes, listed
from pincheck.reports.text import Ink

Go = Callable[..., tuple[Store, int]]
Dump = Callable[[sqlite3.Connection], list[tuple[Any, ...]]]


def _records(store: Store) -> dict[str, dict[str, Any]]:
    return {row.id: export.record(row) for row in store.rows()}


def test_hostile_among_good_all_accounted_for(batches: ModuleType, go: Go, tmp_path: Path) -> None:
    """Each planted fault comes to one finding, in its line; what is hostile costs itself only."""
    where = tmp_path / "batch"
    kinds = len(batches.HOSTILE)
    made = list(batches.make(where, 2 * kinds, seed=3, hostile=kinds))
    assert {m.hostile for m in made if m.hostile} == set(batches.HOSTILE)
    store, checked = go(where)
    found = _records(store)
    assert list(found) == [m.name for m in made]
    assert checked == len(made) - sum(m.hostile in ("link out", "link to itself") for m in made)
    for one in made:
        assert one.wrong(found[one.name]) == ""
        assert bool(found[one.name]["reason"]) == bool(one.hostile), one


def test_every_planted_fault_comes_to_exactly_its_finding(
    batches: ModuleType, tmp_path: Path
) -> None:
    """The table of faults that batches are made from holds for each of its lines."""
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    for number, fault in enumerate(batches.FAULTS):
        folder = tmp_path / str(number)
        shutil.copytree(api.demo("clean") / fault.style, folder)
        text = fault.planted((folder / fault.file).read_text(encoding="utf-8"))
        (folder / fault.file).write_text(text, encoding="utf-8")
        (found,) = api.check(api.load_configuration(folder), assembly).findings
        assert found.span
        assert (found.rule, found.span.source, found.span.line) == fault.finding(text)


def test_same_with_one_process_and_with_two(
    batches: ModuleType, go: Go, dump: Dump, tmp_path: Path
) -> None:
    """Stores and output do not tell how the work was shared out."""
    where = tmp_path / "batch"
    list(batches.make(where, 10, seed=5, hostile=2))
    written = []
    for processes in (1, 2):
        (tmp_path / "store.sqlite").unlink(missing_ok=True)
        store, _ = go(where, processes=processes)
        written.append(
            (list(export.json_lines(store)), list(summary.table(store, Ink())), dump(store.db))
        )
    assert written[0] == written[1]


def test_only_what_changed_is_checked_again(customer: Callable[..., Path], go: Go) -> None:
    """A second run over the same files checks nothing; a changed file costs one check."""
    where = customer("a").parent
    customer("b", "section", ("max_temp: 255", "max_temp: 300"))
    assert go(where)[1] == 2
    store, checked = go(where)
    assert checked == 0
    found = changes(store)
    assert found
    assert (found.new, found.fixed, found.still_there) == (0, 0, 1)

    customer("b", "section", ("pin: PB8", "pin: PB7"))
    store, checked = go(where)
    assert checked == 1
    assert list(listed(store, "new")) == [("b", "pin-differs")]
    assert list(listed(store, "fixed")) == [("b", "heater-limit-too-high")]
    assert list(listed(store, "still there")) == []


def test_a_changed_assembly_checks_its_submissions_again(
    customer: Callable[..., Path], go: Go, tmp_path: Path
) -> None:
    """Any file of the assembly counts; the last run's findings are still there to compare with."""
    wiring = tmp_path / "wiring"
    shutil.copytree(api.demo(""), wiring)
    where = customer("a").parent
    (customer("b") / "pincheck-assembly.txt").write_text("marsh-230-curlew")
    assert go(where, assemblies=offer([wiring]))[1] == 2
    board = wiring / "boards" / "lapwing-c.toml"
    board.write_text(f"{board.read_text()}\n# drawn again\n")
    store, checked = go(where, assemblies=offer([wiring]))
    assert checked == 1
    found = changes(store)
    assert found
    assert (found.new, found.fixed) == (0, 0)


def test_a_lack_of_time_holds_for_its_bounds_only(
    customer: Callable[..., Path], go: Go, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With more time it is tried again, with the same it is not."""

    def wait(those: list[Any], timeout: float) -> list[Any]:
        return whole(those, timeout) if timeout else []  # no answer is quicker than no time

    whole = pool.wait
    monkeypatch.setattr(pool, "wait", wait)
    where = customer("a").parent
    short = Bounds(seconds=1e-9, memory_mb=512)
    store, checked = go(where, bounds=short)
    assert (checked, store.count("could not check")) == (1, 1)
    assert go(where, bounds=short)[1] == 0
    store, checked = go(where)
    assert (checked, store.count("could not check")) == (1, 0)


def test_a_submission_gone_is_gone(customer: Callable[..., Path], go: Go) -> None:
    """It counts as no longer here, not as fixed."""
    where = customer("a").parent
    gone = customer("b", "section", ("max_temp: 255", "max_temp: 300"))
    go(where)
    shutil.rmtree(gone)
    store, _ = go(where)
    found = changes(store)
    assert found
    assert (found.fixed, found.went, found.came) == (0, 1, 0)


def test_the_store_forgets_what_two_runs_did_not_come_to(
    customer: Callable[..., Path], go: Go
) -> None:
    """It grows with the batch, not with the number of runs."""
    where = customer("a").parent
    for limit in (300, 310, 320, 330):
        customer("a", "section", ("max_temp: 255", f"max_temp: {limit}"))
        store, _ = go(where)
    for name, most in (("results", 2), ("assigned", 2), ("runs", 2), ("outcomes", 2)):
        assert store.db.execute(f"SELECT count(*) FROM {name}").fetchone() == (most,)


def test_manifest_lines_are_all_accounted_for(customer: Callable[..., Path], go: Go) -> None:
    """A fault of its line, a path that leads nowhere, an unknown assembly: each says so."""
    where = customer("a").parent
    listed = (
        Submission("1", "a", "marsh-230-b"),
        Submission("2", "../a"),
        Submission("line 4", "", fault="list.csv:4:1: id is missing"),
        Submission("4", "a", "heron"),
        Submission("5", "a", note="called twice"),
    )
    found = _records(go(where, listed)[0])
    assert found["1"]["assembly"] == "marsh-230-b"
    assert found["2"]["reason"] == "../a leads out of the batch's folder"
    assert found["line 4"]["reason"] == "list.csv:4:1: id is missing"
    assert found["4"]["reason"].startswith("the manifest names an assembly that is not here")
    assert (found["5"]["assembly"], found["5"]["note"]) == ("marsh-230-c", "called twice")
