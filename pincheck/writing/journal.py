"""The journal of a change of several files: what a killed command leaves for the next one."""

import os
import stat
from collections.abc import Sequence
from pathlib import Path, PurePosixPath

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.writing.change import FileChange, WriteRefusedError
from pincheck.writing.fresh import create, lock, settle, write_all

NAME = ".pincheck-writing"
_HEAD = b"pincheck: files of this folder were being written (journal, form 1)\n"
_MOST_BYTES = 4 * limits.TOTAL_BYTES
"""What all files of one machine take twice over, in base 64, is less than three times theirs."""


class BusyError(Exception):
    """Another command is writing at this moment."""


@frozen
class Journal:
    """An open journal, locked for as long as its command lives."""

    path: Path
    handle: int

    def end(self) -> None:
        """Take the journal away: from here on the change is made, or undone, for good."""
        self.path.unlink()
        settle(self.path.parent)

    def close(self) -> None:
        """Let go of the file."""
        os.close(self.handle)


def begin(folder: Path, changes: Sequence[FileChange]) -> Journal:
    """Write down what is going to be changed, to stay on the disk until it is done.

    Raises:
        WriteRefusedError: another command is writing there, or was cut off.
        OSError: it cannot be written; none is left.
    """
    path = folder / NAME
    try:
        journal = Journal(path, create(path, 0o600))
    except FileExistsError:
        raise WriteRefusedError(
            f"{folder} has a journal, {NAME}: another command is writing there, or one was cut "
            "off and the next that reads the folder mends it"
        ) from None
    try:
        if not (lock(journal.handle) and _is_at(journal)):
            raise WriteRefusedError(f"another command looks at {folder} at this moment: try again")
        write_all(journal.handle, _packed(folder, changes))
        os.fsync(journal.handle)
        settle(folder)
    except BaseException:
        if _is_at(journal):
            path.unlink()
        journal.close()
        raise
    return journal


def find(folder: Path) -> Journal | None:
    """Open and lock the journal that lies in a folder; None where there is none.

    Raises:
        BusyError: the command that writes it is alive.
        PermissionError: it is another user's, or may not be opened.
        OSError: it cannot be opened.
    """
    path = folder / NAME
    nofollow = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    if not os.path.lexists(path):
        return None
    try:
        journal = Journal(path, os.open(path, os.O_RDWR | nofollow))
    except FileNotFoundError:
        return None
    about = os.fstat(journal.handle)
    try:
        if not stat.S_ISREG(about.st_mode):
            raise OSError(0, "is no regular file")
        if hasattr(os, "geteuid") and about.st_uid != os.geteuid():
            raise PermissionError(0, "is another user's")
        if not lock(journal.handle):
            raise BusyError
        if _is_at(journal):
            return journal
    except BaseException:
        journal.close()
        raise
    journal.close()
    return None


def changes(journal: Journal) -> tuple[FileChange, ...] | None:
    """Return what a journal says; None where it was cut off, before anything was changed.

    Raises:
        ValueError: it is no journal, or speaks of files outside its folder.
    """
    with os.fdopen(os.dup(journal.handle), "rb") as stream:
        stream.seek(0)
        data = stream.read(_MOST_BYTES)
    if data[: len(_HEAD)] != _HEAD[: len(data)]:
        raise ValueError
    digest, _, body = data[len(_HEAD) :].partition(b"\n")
    if digest != _digest(body):
        return None
    import json

    return tuple(_change(journal.path.parent, *row) for row in json.loads(body))


# What packs a journal is loaded where one is: every command looks for one, hardly any finds it.


def _packed(folder: Path, changes: Sequence[FileChange]) -> bytes:
    import json

    rows = [
        (c.path.relative_to(folder).as_posix(), _text(c.before), _text(c.after), c.in_place)
        for c in changes
    ]
    body = json.dumps(rows).encode()
    return b"".join((_HEAD, _digest(body), b"\n", body))


def _change(folder: Path, name: str, before: str | None, after: str, in_place: bool) -> FileChange:
    from base64 import b64decode

    where = PurePosixPath(name)
    path = folder / where
    if where.is_absolute() or ".." in where.parts or path.resolve() != path:
        raise ValueError
    old = None if before is None else b64decode(before)
    return FileChange(path, name, old, b64decode(after), in_place)


def _text(data: bytes | None) -> str | None:
    from base64 import b64encode

    return None if data is None else b64encode(data).decode()


def _digest(body: bytes) -> bytes:
    from hashlib import sha256

    return sha256(body).hexdigest().encode()


def _is_at(journal: Journal) -> bool:
    """Return whether a journal still lies where it was opened."""
    try:
        return os.path.samestat(journal.path.lstat(), os.fstat(journal.handle))
    except OSError:
        return False
