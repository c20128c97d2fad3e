"""What one file is to hold, and what it holds now."""

import os
import stat
from pathlib import Path

from pincheck.model.frozen import frozen

_READ = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)


class WriteRefusedError(Exception):
    """Nothing was written; the message says why, in the names that the user knows."""


class AlreadyThereError(WriteRefusedError):
    """Nothing was written: a file that must be new is there."""


@frozen
class FileChange:
    """A file that held `before`, as it was read, and is to hold `after`.

    `path` is free of links. `before` is None where the file must be new. `name` is what messages
    call it. `in_place`: its bytes are written over, for only so can it keep what it is. `mode` are
    the permissions of a new file, less those that the user masks.
    """

    path: Path
    name: str
    before: bytes | None
    after: bytes
    in_place: bool = False
    mode: int = 0o666


def held(path: Path) -> bytes:
    """Return what a regular file holds, never following a link in its last name.

    Raises:
        OSError: it cannot be read, or is no regular file.
    """
    handle = os.open(path, _READ)
    with os.fdopen(handle, "rb") as stream:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(0, "is no regular file")
        return stream.read()


def require_unchanged(change: FileChange) -> None:
    """See that a file is still what was read, or is not there where it must be new.

    Raises:
        WriteRefusedError: it is something else by now.
        OSError: it cannot be read.
    """
    if change.before is None:
        if os.path.lexists(change.path):
            raise AlreadyThereError(f"{change.name} is there already and says something else")
    elif held(change.path) != change.before:
        raise WriteRefusedError(f"{change.name} changed since it was read")
