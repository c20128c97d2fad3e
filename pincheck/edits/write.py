"""A tried machine over the user's own files."""

from collections.abc import Sequence
from pathlib import Path

from pincheck.edits.undo import keep
from pincheck.model.source import Source
from pincheck.writing.change import FileChange, WriteRefusedError
from pincheck.writing.write import write as write_all


def write(root: Path, before: Sequence[Source], after: Sequence[Source]) -> tuple[Path, ...]:
    """Replace the files whose bytes differ, all or none; return their paths.

    What they held is kept for `undo` in the same step. Links are followed only inside `root`.

    Raises:
        WriteRefusedError: a file changed since it was read, lies outside `root`, or cannot be
            written; nothing was changed.
    """
    changes = [
        FileChange(_target(root, old.name), old.name, old.data, new.data)
        for old, new in zip(before, after, strict=True)
        if old.data != new.data
    ]
    write_all(keep(root, changes))
    return tuple(change.path for change in changes)


def _target(root: Path, name: str) -> Path:
    path = (root / name).resolve()
    if not path.is_relative_to(root.resolve()):
        raise WriteRefusedError(f"{name} leads out of {root.name}; nothing was changed")
    return path
