"""A folder of eight files to change, and a disk that fails at a chosen call."""

import os
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from attrs import Factory, define

from pincheck.writing.change import FileChange

CALLS = (
    "open", "write", "replace", "unlink", "fsync", "ftruncate", "fchmod", "fchown", "setxattr",
    "mkdir", "rmdir",
)  # fmt: skip
"""Every system call of the room that changes a disk; reading and closing do not."""


class Killed(BaseException):
    """Stands for the end of the process: nothing reaches the disk from here on."""


def nothing(name: str) -> None:
    """Let a call pass."""
    del name


@define
class Disk:
    """Counts the calls that change the disk and runs `act` at the `at`-th of them.

    With `lasting` at every later one, too. Nothing waits for a real disk.
    """

    at: int = -1
    act: Callable[[str], None] = nothing
    lasting: bool = False
    after: bool = False
    count: int = 0
    handles: list[int] = Factory(list)

    def fails(self, at: int, act: Callable[[str], None], *, lasting: bool, after: bool) -> None:
        """Let something happen at a call from now on."""
        self.at, self.count, self.act, self.lasting, self.after = at, 0, act, lasting, after

    def heal(self) -> None:
        """Let every call pass again; what the command had open is closed, as its end would do."""
        self.at = -1
        while self.handles:
            with suppress(OSError):
                os.close(self.handles.pop())

    def passes(self, name: str, real: Callable[..., Any], *args: Any, **named: Any) -> Any:
        """Do one call, with what is to happen before or after it."""
        if name == "open" and not args[1] & (os.O_CREAT | os.O_RDWR | os.O_WRONLY):
            return real(*args, **named)
        number, self.count = self.count, self.count + 1
        first, later = number == self.at, self.lasting and number > self.at >= 0
        if later or (first and not self.after):
            self.act(name)
        done = None if name == "fsync" else real(*args, **named)
        if name == "open":
            self.handles.append(done)
        if first and self.after:
            self.act(name)
        return done


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Disk:
    """A disk on which nothing happens yet."""
    made = Disk()
    for name in CALLS:
        if real := getattr(os, name, None):
            monkeypatch.setattr(os, name, partial(made.passes, name, real))
    return made


@define
class Folder:
    """Eight files, two of them of more than one name, one in a folder below, and a new one."""

    root: Path

    def lay(self) -> tuple[FileChange, ...]:
        """Write the files anew and return the change of all."""
        for path in sorted(self.root.rglob("*"), reverse=True):
            path.unlink() if path.is_file() else path.rmdir()
        (self.root / "below").mkdir(parents=True)
        found = []
        for n in range(7):
            path = self.root / ("below" if n == 3 else "") / f"{n}.cfg"
            path.write_bytes(b"[fan]\npin: PB%d\n" % n)
            if n in (2, 5):
                os.link(path, self.root / f"{n}.again")
            # shorter, as long as it was, longer
            after = path.read_bytes().replace(b"PB", (b"", b"PC", b"!PC")[n % 3])
            found.append(FileChange(path, path.name, path.read_bytes(), after))
        return (*found, FileChange(self.root / "new.cfg", "new.cfg", None, b"[fan1]\n"))

    def state(self, changes: tuple[FileChange, ...]) -> str:
        """Return "before", "after", or what the files are otherwise; nothing else may be there."""
        names = {path.name for path in self.root.rglob("*")}
        strange = names - {"below", "2.again", "5.again", *(c.name for c in changes)}
        held = [c.path.read_bytes() if c.path.exists() else None for c in changes]
        if strange:
            return f"left behind: {sorted(strange)}"
        for word in ("before", "after"):
            if held == [getattr(change, word) for change in changes]:
                return word
        return f"a mix: {held}"


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    """The folder, not laid out yet."""
    return Folder(tmp_path / "mine")
