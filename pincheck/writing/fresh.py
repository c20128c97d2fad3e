"""A new file beside the one that it is to replace, like it in all but its bytes."""

import os
import stat
from contextlib import suppress
from pathlib import Path

from pincheck.model.frozen import frozen

try:
    import fcntl
except ImportError:  # no such locks on this system: what a killed command left stays there
    fcntl = None  # type: ignore[assignment]

PREFIX = ".pincheck-new-"
_LATE_BYTES = 64 * 1024
"""What another program may add in the moment that a file is written over: a line or a few."""
_CHANGED = "changed since it was read"
_NEW = os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0)


@frozen
class Fresh:
    """A file that is not in its place yet; locked for as long as its command lives."""

    path: Path
    handle: int

    def write(self, data: bytes) -> None:
        """Add bytes at the end."""
        write_all(self.handle, data)

    def replace(self, target: Path) -> None:
        """Take the target's place in one step."""
        os.fsync(self.handle)
        self.path.replace(target)
        os.close(self.handle)

    def discard(self) -> None:
        """Go away, where it is there still."""
        with suppress(OSError):
            os.close(self.handle)
        with suppress(OSError):  # the next command that looks there takes it away
            self.path.unlink(missing_ok=True)


def create(path: Path, mode: int) -> int:
    """Create a file that was not there, never through a link; return its handle."""
    return os.open(path, _NEW, mode)


def fresh(folder: Path, mode: int = 0o600) -> Fresh:
    """Return a new file with a name that nobody can foresee."""
    path = folder / f"{PREFIX}{os.urandom(8).hex()}"
    made = Fresh(path, create(path, mode))
    lock(made.handle)
    return made


def like(target: Path) -> Fresh | None:
    """Return a new file of the target's owner, group, mode and extended attributes.

    None where it could not be all that the target is: the target has more than one name, or this
    user may not give it to its owner, or may make no file beside it.
    """
    about = target.lstat()
    if about.st_nlink > 1:
        return None
    try:
        made = fresh(target.parent)
    except PermissionError:
        return None
    try:
        _liken(made.handle, about, target)
    except OSError:
        made.discard()
        return None
    except BaseException:
        made.discard()
        raise
    return made


def _liken(handle: int, about: os.stat_result, target: Path) -> None:
    own = os.fstat(handle)
    if hasattr(os, "fchown") and (own.st_uid, own.st_gid) != (about.st_uid, about.st_gid):
        os.fchown(handle, about.st_uid, about.st_gid)
    if hasattr(os, "listxattr"):
        wanted = {name: os.getxattr(target, name) for name in _attributes(target)}
        had = {name: os.getxattr(handle, name) for name in _attributes(handle)}
        for name in had.keys() - wanted.keys():
            os.removexattr(handle, name)
        for name, value in wanted.items():
            if had.get(name) != value:
                os.setxattr(handle, name, value)
    # last: a new owner takes bits away, and an access list brings some along
    if hasattr(os, "fchmod") and os.fstat(handle).st_mode != about.st_mode:
        os.fchmod(handle, stat.S_IMODE(about.st_mode))


def _attributes(of: Path | int) -> list[str]:
    try:
        return os.listxattr(of)
    except OSError:  # a file system without any
        return []


def write_all(handle: int, data: bytes) -> None:
    """Write every byte from where the handle stands."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(handle, rest) :]


def write_over(path: Path, data: bytes, was: int) -> None:
    """Write bytes over the `was` bytes of a file that stays the same file, lengthened first.

    What somebody adds at its end meanwhile stays at the end.

    Raises:
        OSError: it cannot be written, or is not of that length any more.
    """
    handle = os.open(path, os.O_RDWR | getattr(os, "O_NOFOLLOW", 0))
    try:
        if os.fstat(handle).st_size != was:
            raise OSError(0, _CHANGED)
        if more := data[was:]:
            _lengthen(path, more, was)
        write_all(handle, data[:was])
        if not more:
            os.lseek(handle, was, os.SEEK_SET)
            late = os.read(handle, _LATE_BYTES)
            os.lseek(handle, len(data), os.SEEK_SET)
            write_all(handle, late)
            os.ftruncate(handle, len(data) + len(late))
        os.fsync(handle)
    finally:
        os.close(handle)


def _lengthen(path: Path, more: bytes, was: int) -> None:
    """Add bytes at the end of a file of `was` bytes, and none behind what somebody else added."""
    handle = os.open(path, os.O_WRONLY | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0))
    try:
        write_all(handle, more)
        size = os.fstat(handle).st_size
        if size != was + len(more):
            os.ftruncate(handle, size - len(more))
            raise OSError(0, _CHANGED)
    finally:
        os.close(handle)


def lock(handle: int) -> bool:
    """Lock an open file for as long as it is open; False where another process has it."""
    if fcntl is None:
        return True
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def settle(folder: Path) -> None:
    """Make sure that what a folder lists survives a loss of power, where the system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def sweep(folder: Path) -> None:
    """Take away what killed commands of this user left in a folder."""
    if fcntl is None:
        return
    for path in folder.glob(f"{PREFIX}*"):
        with suppress(OSError):
            handle = os.open(path, os.O_RDWR | os.O_NOFOLLOW | os.O_NONBLOCK)
            try:
                about = os.fstat(handle)
                mine = stat.S_ISREG(about.st_mode) and os.geteuid() in (0, about.st_uid)
                if mine and lock(handle):
                    path.unlink()
            finally:
                os.close(handle)
