"""A submission's digest changes with anything that a check of it could see."""

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from pincheck import api
from pincheck.batch.assign import Offer, offer
from pincheck.batch.digest import content, joined, program
from pincheck.batch.examine import Desk, Task, answer


def _rewrite(folder: Path) -> None:
    (folder / "a.cfg").write_text("[printer]\nx: 2\n")


def _add(folder: Path) -> None:
    (folder / "b.cfg").write_text("")


def _rename(folder: Path) -> None:
    (folder / "a.cfg").rename(folder / "c.cfg")


def _move_down(folder: Path) -> None:
    (folder / "sub").mkdir()
    (folder / "a.cfg").rename(folder / "sub" / "a.cfg")


def _pipe(folder: Path) -> None:
    (folder / "a.cfg").unlink()
    os.mkfifo(folder / "a.cfg")


def test_logs_do_not_hide_what_stands_behind_them(tmp_path: Path) -> None:
    """A log is not read, so it leaves the bytes that are looked at to the configuration."""
    for number in range(20):
        with (tmp_path / f"0{number}.log").open("wb") as stream:
            stream.truncate(1_000_000)
    (tmp_path / "a.cfg").write_text("[printer]\nx: 1\n")
    before, then = content(tmp_path), (tmp_path / "a.cfg").stat()
    (tmp_path / "a.cfg").write_text("[printer]\nx: 2\n")
    os.utime(tmp_path / "a.cfg", ns=(then.st_atime_ns, then.st_mtime_ns))
    assert content(tmp_path) != before


def test_files_past_all_bounds_count_by_their_time(tmp_path: Path) -> None:
    """Files that are too large to be looked at whole make a new digest when they are written."""
    with (tmp_path / "a.bin").open("wb") as stream:
        stream.truncate(40_000_000)
    (tmp_path / "b.cfg").write_text("[printer]\nx: 1\n")
    before = content(tmp_path)
    assert content(tmp_path) == before
    os.utime(tmp_path / "b.cfg", ns=(0, 1))
    assert content(tmp_path) != before


@pytest.mark.parametrize("change", [_rewrite, _add, _rename, _move_down, _pipe])
def test_changes_that_count(tmp_path: Path, change: Callable[[Path], None]) -> None:
    """Bytes, names, places and kinds of files."""
    (tmp_path / "a.cfg").write_text("[printer]\nx: 1\n")
    before = content(tmp_path)
    change(tmp_path)
    assert content(tmp_path) != before


def test_what_does_not_count(tmp_path: Path) -> None:
    """Times, hidden files, and the name of the folder itself."""
    one, other = tmp_path / "one", tmp_path / "other"
    for folder in (one, other):
        folder.mkdir()
        (folder / "a.cfg").write_text("[printer]\n")
    os.utime(one / "a.cfg", (1, 1))
    (other / ".seen").write_text("x")
    assert content(one) == content(other)


def test_a_file_counts_with_its_name(tmp_path: Path) -> None:
    """The name is in the messages."""
    for name in ("a.cfg", "b.cfg"):
        (tmp_path / name).write_text("[printer]\n")
    assert content(tmp_path / "a.cfg") != content(tmp_path / "b.cfg")


def test_parts_do_not_run_together() -> None:
    """("ab", "c") is not ("a", "bc")."""
    assert joined("ab", "c") != joined("a", "bc")


def test_the_program_has_one_digest() -> None:
    """It is the same however often it is asked for."""
    assert program() == program()
    assert len(program()) == 32


def test_what_changes_under_way_is_not_kept(
    offered: Offer, customer: Callable[..., Path], tmp_path: Path
) -> None:
    """A submission or an assembly saved while it is checked comes to no lasting result."""
    where = customer("a")
    told = answer(Desk(offered), Task(where, "a", "", b"what it was before"))
    assert (told.record["reason"], told.lasting) == (
        "its files changed while they were read",
        False,
    )

    wiring = tmp_path / "wiring"
    shutil.copytree(api.demo(""), wiring)
    seen = offer([wiring / "marsh-230-c.toml"])
    board = wiring / "boards" / "lapwing-c.toml"
    board.write_text(f"{board.read_text()}\n# drawn again\n")
    told = answer(Desk(seen), Task(where, "a", "", content(where)))
    assert told.record["reason"] == "the files of marsh-230-c changed since the run began"
    assert not told.lasting
