"""What a result depends on, as digests: the submission's bytes and this program."""

import hashlib
import os
import stat
from functools import cache
from pathlib import Path

from pincheck import resources
from pincheck.intake.aside import by_name
from pincheck.model import limits

_CODE = frozenset((".py", ".json", ".lark", ".toml"))
_MAX_HASHED_BYTES = 2 * limits.TOTAL_BYTES
"""No machine's configuration is larger: what comes after counts by name, size and time."""


@cache
def program() -> bytes:
    """Return the digest of the package's code and data: it changes with any change of either."""
    digest = hashlib.sha256()
    package = Path(__file__).resolve().parent.parent
    for root in (package, resources.folder("grammars")):
        for path in sorted(root.rglob("*")):
            if path.suffix in _CODE:
                _field(digest, path.relative_to(root).as_posix().encode())
                _field(digest, path.read_bytes())
    return digest.digest()


def content(path: Path) -> bytes:
    """Return the digest of a submission: its name, and every name, byte and fault below it.

    Raises nothing: what cannot be read counts with the reason.
    """
    digest = hashlib.sha256()
    left = _MAX_HASHED_BYTES
    if not path.is_dir():
        _field(digest, os.fsencode(path.name))
        _file(digest, path, left)
        return digest.digest()
    seen = 0
    for current, folders, files in os.walk(path):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        if len(Path(current).relative_to(path).parts) >= limits.FOLDER_DEPTH:
            folders.clear()
        seen += len(folders) + len(files)
        if seen > limits.FOLDER_ENTRIES:
            _field(digest, b"too many names in " + os.fsencode(path.name))
            break
        for name in sorted(files):
            if not name.startswith("."):
                file = Path(current) / name
                _field(digest, os.fsencode(file.relative_to(path)))
                # of a log an include may still ask, but as a rule none is read
                left -= _file(digest, file, 0 if by_name(name) else left)
    return digest.digest()


def joined(*parts: bytes | str) -> bytes:
    """Return one digest of several parts, none of which can pass for part of another."""
    digest = hashlib.sha256()
    for part in parts:
        _field(digest, part if isinstance(part, bytes) else part.encode("utf-8", "surrogatepass"))
    return digest.digest()


def _file(digest: "hashlib._Hash", path: Path, left: int) -> int:
    """Add a file's bytes, `left` of them at most; return how many."""
    try:
        link = path.is_symlink() and os.fsencode(path.readlink())
        about = path.stat()
        if not stat.S_ISREG(about.st_mode):
            raise OSError(0, "no regular file")
        with path.open("rb") as stream:
            data = stream.read(min(left, limits.ARCHIVE_BYTES + 1))
    except OSError as error:
        _field(digest, f"cannot be read: {error.strerror}".encode())
        return 0
    if link:
        _field(digest, b"link to " + link)
    _field(digest, b"%d" % about.st_size)
    if len(data) < about.st_size:
        _field(digest, b"%d" % about.st_mtime_ns)
    _field(digest, data)
    return len(data)


def _field(digest: "hashlib._Hash", data: bytes) -> None:
    digest.update(b"%d:" % len(data))
    digest.update(data)
