"""A change of several files: each in one step, all of them or none."""

import os
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from pathlib import Path

from attrs import evolve

from pincheck.writing.change import FileChange, WriteRefusedError, require_unchanged
from pincheck.writing.fresh import Fresh, create, like, settle, write_all, write_over
from pincheck.writing.journal import Journal, begin
from pincheck.writing.signals import StoppedError, undisturbed
from pincheck.writing.undo import is_ours, is_undone, undo

_UNTOUCHED = "nothing was changed"


def write(changes: Iterable[FileChange]) -> None:
    """Make every change, or none: an error, an interrupt and a termination roll all back.

    Owner, group, mode, extended attributes and other names of a file stay. Each file is looked at
    again immediately before it is replaced. A kill leaves a journal for `mend`.

    Raises:
        WriteRefusedError: nothing was changed; or it could not be put back, then it says what.
    """
    wanted = [change for change in changes if change.before != change.after]
    said = "all was written"
    try:
        with undisturbed() as pause:
            try:
                _carry_out(wanted, pause)
            except WriteRefusedError as error:
                said = str(error)
                raise
    except KeyboardInterrupt:
        raise KeyboardInterrupt(said) from None


def _carry_out(wanted: list[FileChange], pause: Callable[[], None]) -> None:
    if not wanted:
        return
    beside: dict[Path, Fresh] = {}
    folders: list[Path] = []
    done: list[FileChange] = []
    journal, at = None, wanted[0]
    try:
        for number, at in enumerate(wanted):
            pause()
            wanted[number] = _prepare(at, beside, folders)
        # What is written over may run out of space: first, while all the rest is still as it was.
        wanted.sort(key=lambda change: not change.in_place)
        journal = begin(_folder(wanted), wanted)
        for at in wanted:
            pause()
            require_unchanged(at)
            done.append(at)
            _put(at, beside, done)
        pause()
        for folder in {change.path.parent for change in wanted}:
            settle(folder)
        journal.end()
    except BaseException as error:
        left = _take_back(done, journal)
        if left or isinstance(error, WriteRefusedError | OSError | StoppedError):
            raise WriteRefusedError(f"{_reason(at, error)}; {left or _UNTOUCHED}") from error
        raise
    finally:
        for made in beside.values():
            made.discard()
        if journal:
            journal.close()
        if not done:
            for folder in reversed(folders):
                with suppress(OSError):
                    folder.rmdir()


def _prepare(change: FileChange, beside: dict[Path, Fresh], folders: list[Path]) -> FileChange:
    """Write the new file beside the old one; return whether the old one is written over instead."""
    if change.before is None:
        missing = [f for f in change.path.parents if not f.exists()]
        for folder in reversed(missing):
            folder.mkdir()
            folders.append(folder)
    require_unchanged(change)
    if change.before is None:
        return evolve(change, in_place=True)
    if not os.access(change.path, os.W_OK):
        raise WriteRefusedError(f"{change.name} is write-protected")
    made = like(change.path)
    if made is None:
        return evolve(change, in_place=True)
    beside[change.path] = made
    made.write(change.after)
    os.fsync(made.handle)
    return change


def _put(change: FileChange, beside: dict[Path, Fresh], done: list[FileChange]) -> None:
    made = beside.get(change.path)
    if change.before is None:
        try:
            handle = create(change.path, change.mode)
        except BaseException:
            done.pop()  # what is there is not ours
            raise
        try:
            write_all(handle, change.after)
            os.fsync(handle)
        finally:
            os.close(handle)
    elif made is None:
        write_over(change.path, change.after, len(change.before))
    else:
        with change.path.open("rb") as old:
            made.replace(change.path)
            beside.pop(change.path)
            # Whoever had the old file open may have added to it after it was looked at.
            if (late := old.read()) != change.before:
                done[-1] = evolve(change, before=late)
                raise WriteRefusedError(f"{change.name} changed since it was read")


def _take_back(done: list[FileChange], journal: Journal | None) -> str:
    """Put everything back; return what could not be, and what to do, empty where all was.

    What somebody else changed meanwhile is theirs and stays.
    """
    left: list[str] = []
    while done:
        change = done.pop()
        try:
            if not is_undone(change) and is_ours(change):
                undo(change)
        except Exception as error:
            left.append(f"{change.name} ({getattr(error, 'strerror', '') or error})")
    if journal and not left:
        try:
            journal.end()
        except OSError as error:
            left.append(f"the journal in {journal.path.parent} ({error.strerror})")
    if not left:
        return ""
    return f"not put back: {', '.join(left)}; the next command that reads the folder tries again"


def _reason(at: FileChange, error: BaseException) -> str:
    if isinstance(error, StoppedError):
        return "stopped"
    if isinstance(error, OSError):
        return f"{at.name}: {error.strerror or error}"
    return str(error) or type(error).__name__


def _folder(changes: Sequence[FileChange]) -> Path:
    """Return the folder that all files lie in, at any depth."""
    return Path(os.path.commonpath([change.path.parent for change in changes]))
