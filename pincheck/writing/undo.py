"""Files given back what they held before."""

import os
from itertools import zip_longest

from pincheck.writing.change import FileChange, held
from pincheck.writing.fresh import like, write_over


def undo(change: FileChange) -> None:
    """Give a file back what it held; take it away where there was none.

    Raises:
        OSError: it cannot be done.
    """
    if change.before is None:
        change.path.unlink(missing_ok=True)
        return
    made = None if change.in_place else like(change.path)
    if made is None:
        write_over(change.path, change.before, change.path.lstat().st_size)
        return
    try:
        made.write(change.before)
        made.replace(change.path)
    except BaseException:
        made.discard()
        raise


def is_ours(change: FileChange) -> bool:
    """Return whether a file holds what a change that was cut off put there, in whole or in part."""
    try:
        now = held(change.path)
    except OSError:
        return False
    if change.before is None:
        return change.after.startswith(now)
    return now == change.after or (change.in_place and _is_mix(now, change.before, change.after))


def _is_mix(now: bytes, before: bytes, after: bytes) -> bool:
    """Return whether each byte is that of the one or the other, as of files written over half."""
    shorter, longer = sorted((len(before), len(after)))
    if now == before or not shorter <= len(now) <= longer:
        return False
    both = zip_longest(now, before[: len(now)], after[: len(now)])
    return all(byte in (old, new) for byte, old, new in both)


def is_made(change: FileChange) -> bool:
    """Return whether a file holds all that the change put there."""
    return _holds(change, change.after)


def is_undone(change: FileChange) -> bool:
    """Return whether a file holds what it held before the change."""
    if change.before is None:
        return not os.path.lexists(change.path)
    return _holds(change, change.before)


def _holds(change: FileChange, data: bytes) -> bool:
    try:
        return held(change.path) == data
    except OSError:
        return False
