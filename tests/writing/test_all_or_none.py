"""Whatever ends a change, at whichever call: every file whole, no mix that is not mended."""

import os
import signal
from collections.abc import Iterator
from contextlib import nullcontext, suppress

import pytest

from pincheck.writing.change import FileChange, WriteRefusedError
from pincheck.writing.mend import mend
from pincheck.writing.write import write
from tests.writing.conftest import Disk, Folder, Killed

WHOLE = ("before", "after")


def each_call(folder: Folder, disk: Disk) -> Iterator[tuple[int, tuple[FileChange, ...]]]:
    """Yield the number of every call that a whole change makes, with the change laid anew."""
    disk.heal()
    changes = folder.lay()
    disk.count = 0
    write(changes)
    assert disk.count > 40
    for at in range(disk.count):
        disk.heal()
        yield at, folder.lay()


def killed(name: str) -> None:
    raise Killed(name)


def full(name: str) -> None:
    raise OSError(28, f"No space left for {name}", "/some/where/.pincheck-new-1")


def refusal(changes: tuple[FileChange, ...]) -> str:
    """Make a change; return why it was refused, empty where it was not."""
    try:
        write(changes)
    except WriteRefusedError as error:
        return str(error)
    return ""


@pytest.mark.parametrize("after", [False, True], ids=["before", "after"])
def test_killed_at_every_call(folder: Folder, disk: Disk, after: bool) -> None:
    """The next command that looks at the folder finishes or undoes it, and says which files."""
    mixes = 0
    for at, changes in each_call(folder, disk):
        disk.fails(at, killed, lasting=True, after=after)
        with suppress(Killed):
            write(changes)
        disk.heal()
        touched = [c for c in changes if c.path.exists() and c.path.read_bytes() != c.before]
        said = mend([folder.root])
        assert folder.state(changes) in WHOLE, at
        if len(touched) not in (0, len(changes)):
            mixes += 1
            assert all(change.name in said[0] for change in changes), said
        assert mend([folder.root]) == ()
    assert mixes > 8


def test_killed_in_the_middle_of_a_write(
    folder: Folder, disk: Disk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half of the bytes reached the disk: of the journal, a new file, or one written over."""
    real = os.write

    def half(handle: int, data: memoryview) -> int:
        if disk.count == disk.at:
            real(handle, data[: len(data) // 2])
        return int(disk.passes("write", real, handle, data))

    monkeypatch.setattr(os, "write", half)
    for at, changes in each_call(folder, disk):
        disk.fails(at, killed, lasting=True, after=False)
        with suppress(Killed):
            write(changes)
        disk.heal()
        mend([folder.root])
        assert folder.state(changes) in WHOLE, at


@pytest.mark.parametrize("again", [1, 4, 8, 13])
def test_mending_killed_too(folder: Folder, disk: Disk, again: int) -> None:
    """The command after that goes on with it."""
    for at, changes in each_call(folder, disk):
        for number in (at, again):
            disk.fails(number, killed, lasting=True, after=True)
            with suppress(Killed):
                write(changes) if number == at else mend([folder.root])
            disk.heal()
        mend([folder.root])
        assert folder.state(changes) in WHOLE, at


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_stopped_at_every_call(folder: Folder, disk: Disk, number: signal.Signals) -> None:
    """Nothing is left to mend, and what asked it to stop gets its answer."""

    def asked(*_: object) -> None:
        raise KeyboardInterrupt

    def stop(name: str) -> None:
        del name
        os.kill(os.getpid(), number)

    handler = signal.signal(number, asked)
    try:
        for at, changes in each_call(folder, disk):
            disk.fails(at, stop, lasting=False, after=False)
            with pytest.raises(KeyboardInterrupt) as caught:
                write(changes)
            state = folder.state(changes)
            assert state in WHOLE
            said = {"before": "stopped; nothing was changed", "after": "all was written"}
            assert str(caught.value) == said[state]
            assert signal.getsignal(number) is asked
    finally:
        signal.signal(number, handler)


def test_an_error_at_every_call(folder: Folder, disk: Disk) -> None:
    """Everything is put back, and the message has the user's file and no other."""
    for at, changes in each_call(folder, disk):
        disk.fails(at, full, lasting=False, after=False)
        said = refusal(changes)
        assert folder.state(changes) == ("before" if said else "after"), at
        assert said == "" or said.endswith("nothing was changed")
        assert ".pincheck" not in said


def test_a_disk_that_fails_for_good(folder: Folder, disk: Disk) -> None:
    """What cannot be put back is named, and mended once the disk is well again."""
    unable = 0
    for at, changes in each_call(folder, disk):
        disk.fails(at, full, lasting=True, after=False)
        said = refusal(changes)
        unable += "not put back: " in said
        disk.heal()
        mend([folder.root])
        assert folder.state(changes) in WHOLE, at
        assert ".pincheck" not in said
    assert unable > 5


@pytest.mark.parametrize("name", ["0.cfg", "1.cfg", "below/3.cfg", "2.cfg"])
@pytest.mark.parametrize("kept_open", [False, True])
def test_a_line_added_at_any_moment_is_not_lost(
    folder: Folder, disk: Disk, name: str, kept_open: bool
) -> None:
    """By a program that opens the file for it, or has had it open all the time."""
    path = folder.root / name
    refused = 0
    for at, changes in each_call(folder, disk):
        with path.open("ab", buffering=0) as opened:
            before = os.fstat(opened.fileno())

            def add(_: str, opened: object = opened) -> None:
                with nullcontext(opened) if kept_open else path.open("ab", buffering=0) as stream:
                    stream.write(b"# mine\n")  # type: ignore[attr-defined]

            disk.fails(at, add, lasting=False, after=False)
            said = refusal(changes)
            refused += "changed since it was read" in said
            disk.heal()
            # A program that adds to what was replaced a while ago is beyond help.
            if not kept_open or os.path.samestat(before, path.stat()) or said:
                assert path.read_bytes().endswith(b"# mine\n"), at
        assert mend([folder.root]) == ()
    assert refused > 20
