"""Sources to disk: all files or none, each replaced in one step."""

import os
import stat
from collections.abc import Sequence
from pathlib import Path

from pincheck.model.source import Source


class WriteRefusedError(Exception):
    """Nothing was written; the message says why."""


def write(root: Path, before: Sequence[Source], after: Sequence[Source]) -> tuple[Path, ...]:
    """Replace the files whose bytes differ; return their paths.

    Modes are kept and links are followed only inside `root`. When one file cannot be replaced,
    those already replaced get their old bytes back.

    Raises:
        WriteRefusedError: a file changed since it was read, lies outside `root`, or cannot be
            written.
    """
    jobs = [
        (_target(root, old.name), old, new)
        for old, new in zip(before, after, strict=True)
        if old.data != new.data
    ]
    for path, old, _ in jobs:
        _require_unchanged(path, old)
    done: list[tuple[Path, Source]] = []
    try:
        for path, old, new in jobs:
            _replace(path, new.data)
            done.append((path, old))
    except OSError as error:
        for path, old in reversed(done):
            _replace(path, old.data)
        raise WriteRefusedError(
            f"{error.filename}: {error.strerror}; nothing was changed"
        ) from error
    return tuple(path for path, _, _ in jobs)


def _target(root: Path, name: str) -> Path:
    path = (root / name).resolve()
    if not path.is_relative_to(root.resolve()):
        raise WriteRefusedError(f"{name} leads out of {root.name}; nothing was changed")
    return path


def _require_unchanged(path: Path, old: Source) -> None:
    try:
        same = path.read_bytes() == old.data
    except OSError as error:
        raise WriteRefusedError(f"{old.name}: {error.strerror}; nothing was changed") from error
    if not same:
        raise WriteRefusedError(f"{old.name} changed since it was read; nothing was changed")


def _replace(path: Path, data: bytes) -> None:
    mode = stat.S_IMODE(path.stat().st_mode)
    if not os.access(path, os.W_OK):
        raise PermissionError(13, "is write-protected", path.name)
    import tempfile

    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        Path(temporary).chmod(mode)
        Path(temporary).replace(path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
