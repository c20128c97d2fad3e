"""Whether files changed on disk since they were looked at."""

from collections.abc import Iterable, Mapping
from pathlib import Path

Stamp = tuple[int, int, int] | None
"""Time of the last change in ns, size in bytes, inode; None for a file that is not there."""


def stamp(path: Path) -> Stamp:
    """Return what changes when a file does."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def stamps(paths: Iterable[Path]) -> dict[Path, Stamp]:
    """Return the stamp of each file."""
    return {path: stamp(path) for path in dict.fromkeys(paths)}


def changed(before: Mapping[Path, Stamp]) -> tuple[Path, ...]:
    """Return the files that differ from their stamps."""
    return tuple(path for path, old in before.items() if stamp(path) != old)
