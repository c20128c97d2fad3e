"""A change that was cut off, told from its journal: finished or undone."""

from collections.abc import Iterable
from pathlib import Path

from pincheck.writing import journal as journals
from pincheck.writing.change import FileChange, WriteRefusedError
from pincheck.writing.fresh import sweep
from pincheck.writing.journal import Journal
from pincheck.writing.signals import undisturbed
from pincheck.writing.undo import is_made, is_ours, is_undone, undo


def recover(journal: Journal) -> str:
    """Finish or undo what an open journal speaks of, close it, and return what was done.

    Raises:
        WriteRefusedError: a file cannot be put back; the journal stays.
    """
    with undisturbed():
        try:
            return _recovered(journal)
        finally:
            journal.close()


def _recovered(journal: Journal) -> str:
    folder = journal.path.parent
    try:
        changes = journals.changes(journal)
    except (ValueError, TypeError, KeyError, OSError, RecursionError):
        return f"{journal.path} is no journal of this program and was left alone"
    said = f"a change in {folder} was cut off before it began; nothing was changed"
    if changes:
        finished = all(map(is_made, changes))
        said = f"a change in {folder} was cut off "
        said += "when it was done: " + _names(changes) if finished else _take_back(folder, changes)
    for place in {folder, *(change.path.parent for change in changes or ())}:
        sweep(place)
    journal.end()
    return said


def _take_back(folder: Path, changes: Iterable[FileChange]) -> str:
    undone, apart = [], []
    for change in changes:
        try:
            if is_undone(change):
                undone.append(change)
            elif is_ours(change):
                undo(change)
                undone.append(change)
            else:
                apart.append(change)
        except OSError as error:
            raise WriteRefusedError(
                f"a change in {folder} was cut off, its files may not fit together, and "
                f"{change.name} cannot be put back: {error.strerror}"
            ) from error
    parts = [f"and is undone: {_names(undone)}"] if undone else ["in the middle"]
    if apart:
        parts.append(f"changed since and left as they are: {_names(apart)}")
    return "; ".join(parts)


def _names(changes: Iterable[FileChange]) -> str:
    return ", ".join(change.name for change in changes)
