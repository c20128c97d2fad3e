"""What edits replaced, kept beside the files so that a later command can write it back."""

import json
import os
import stat
from base64 import b64decode, b64encode
from collections.abc import Iterable, Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.writing.change import FileChange, WriteRefusedError, held
from pincheck.writing.write import write as write_all

NAME = ".pincheck-undo"
_FORM = "pincheck: what edits replaced, form 1"
_MOST_BYTES = 4 * limits.TOTAL_BYTES
"""The files of the largest machine, in base 64, and the writings before as far as they fit."""


@frozen
class _Kept:
    """What one file held before a writing, and the digest of what that left."""

    name: str
    before: str
    left: str


_Writing = tuple[_Kept, ...]


def keep(root: Path, changes: Sequence[FileChange]) -> tuple[FileChange, ...]:
    """Return the changes with one more, of the file that keeps what they replace.

    So both are made in one step. Where a folder takes no new file nothing is kept, and the oldest
    writings go where there are too many.

    Raises:
        WriteRefusedError: a file of that name is there which is none of this user's.
    """
    root = root.resolve()
    if not changes or not os.access(root, os.W_OK):
        return tuple(changes)
    there, writings = _read(root)
    packed = [
        _Kept(it.name, b64encode(it.before or b"").decode(), _digest(it.after)) for it in changes
    ]
    writings = [*writings, tuple(packed)]
    while len(data := _packed(writings)) > _MOST_BYTES and len(writings) > 1:
        writings.pop(0)
    return (*changes, FileChange(root / NAME, NAME, there, data, mode=0o600))


def undo(root: Path) -> tuple[FileChange, ...]:
    """Write back what the last edits in a folder replaced; nothing where none are kept.

    Raises:
        WriteRefusedError: a file is no longer what was written, or what is kept cannot be used;
            nothing was changed.
    """
    root = root.resolve()
    there, writings = _read(root)
    if not writings:
        return ()
    changes = tuple(_back(root, kept) for kept in writings.pop())
    write_all((*changes, FileChange(root / NAME, NAME, there, _packed(writings))))
    if not writings:
        with suppress(OSError):
            (root / NAME).unlink()
    return changes


def _back(root: Path, kept: _Kept) -> FileChange:
    path = (root / kept.name).resolve()
    if not path.is_relative_to(root):
        raise WriteRefusedError(f"{kept.name} leads out of {root.name}; nothing was changed")
    try:
        now = held(path)
    except OSError as error:
        raise WriteRefusedError(f"{kept.name}: {error.strerror}; nothing was changed") from error
    if _digest(now) != kept.left:
        raise WriteRefusedError(f"{kept.name} changed since it was written; nothing was changed")
    return FileChange(path, kept.name, now, b64decode(kept.before))


def _read(root: Path) -> tuple[bytes | None, list[_Writing]]:
    """Return the bytes of the file that keeps writings, and the writings, the latest last."""
    path = root / NAME
    if not os.path.lexists(path):
        return None, []
    refused = WriteRefusedError(
        f"{path} keeps nothing that can be undone: move it away; nothing was changed"
    )
    try:
        about = path.lstat()
        mine = not hasattr(os, "geteuid") or about.st_uid == os.geteuid()
        if not (stat.S_ISREG(about.st_mode) and mine and about.st_size <= 2 * _MOST_BYTES):
            raise refused
        data = held(path)
        form, rows = json.loads(data)
        if form != _FORM:
            raise refused
        return data, [tuple(_Kept(*map(str, row)) for row in writing) for writing in rows]
    except (OSError, ValueError, TypeError, RecursionError) as error:
        raise refused from error


def _packed(writings: Iterable[_Writing]) -> bytes:
    rows = [[(it.name, it.before, it.left) for it in writing] for writing in writings]
    return json.dumps([_FORM, rows]).encode()


def _digest(data: bytes) -> str:
    return sha256(data).hexdigest()
