"""Files of one assembly, from inside its own folder only."""

import stat
from pathlib import Path, PureWindowsPath

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.nearest import nearest
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source

_BOM = b"\xef\xbb\xbf"

_SHOWN = 5
"""Files named of a folder that was handed over where a file belongs."""


class RefusedError(Exception):
    """A file that an assembly names and may not or cannot have; says why."""

    def __init__(self, message: str, expected: str = "", near: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.expected = expected
        self.nearest = near


@frozen
class Folder:
    """The folder of an assembly; `root` is free of links."""

    root: Path

    @classmethod
    def around(cls, file: Path) -> "Folder":
        """Return the folder that `file` stands in.

        Raises:
            OSError: there is no such folder.
        """
        return cls(file.parent.resolve(strict=True))

    def find(self, written: str) -> Path:
        """Return the file that `written` means, relative to the folder.

        Raises:
            RefusedError: the path leads out of the folder, or to no file.
        """
        inside = "a file inside the assembly's own folder"
        if not written or "\0" in written:
            raise RefusedError("the file name is empty or broken", inside)
        if Path(written).is_absolute() or PureWindowsPath(written).drive:
            raise RefusedError(f"{printable(written)!r} is an absolute path", inside)
        try:
            found = (self.root / written).resolve()
        except (OSError, RuntimeError):
            raise RefusedError(f"{printable(written)!r} leads nowhere", inside) from None
        if not found.is_relative_to(self.root):
            message = f"{printable(written)!r} leads out of the assembly's folder"
            raise RefusedError(message, inside)
        if not found.is_file():
            raise RefusedError(
                f"there is no file {printable(written)!r}", inside, self._near(found)
            )
        return found

    def name(self, file: Path) -> str:
        """Return the name of a found file relative to the folder, with forward slashes."""
        return printable(file.relative_to(self.root).as_posix())

    def _near(self, missing: Path) -> str:
        near = nearest(missing.name, _wiring_files(missing.parent))
        return self.name(missing.parent / near) if near else ""


def _wiring_files(folder: Path) -> list[str]:
    try:
        return sorted(file.name for file in folder.iterdir() if file.suffix == ".toml")
    except OSError:
        return []


def read(
    file: Path, name: str, most_bytes: int = limits.WIRING_BYTES, kind: str = "wiring file"
) -> Source:
    """Return the text of a file of this kind under the name that messages use.

    Raises:
        UnreadableError: no regular file, too large, not readable or not UTF-8.
    """
    if file.is_dir():
        inside = ", ".join(map(printable, _wiring_files(file)[:_SHOWN]))
        raise _unreadable(name, "this is a folder", f"a file, such as {inside}" if inside else "")
    try:
        if not stat.S_ISREG(file.stat().st_mode):
            raise _unreadable(name, "this is no regular file")
        with file.open("rb") as stream:
            data = stream.read(most_bytes + 1)
    except FileNotFoundError:
        near = nearest(file.name, _wiring_files(file.parent))
        message = f"there is no such file in {printable(str(file.parent))!r}"
        raise _unreadable(name, message, nearest=near) from None
    except OSError as error:
        raise _unreadable(name, f"cannot be read: {error.strerror or error}") from None
    if len(data) > most_bytes:
        raise _unreadable(name, f"larger than {most_bytes // 1024} KiB: this is no {kind}")
    bom = _BOM if data.startswith(_BOM) else b""
    try:
        text = data[len(bom) :].decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        message = f"line {line} is not UTF-8 text: save the file as UTF-8"
        raise _unreadable(name, message) from None
    return Source(name, text, data, bom=bom)


def _unreadable(name: str, message: str, expected: str = "", nearest: str = "") -> UnreadableError:
    problem = Problem(name, message, expected=expected, nearest=nearest, fatal=True)
    return UnreadableError((problem,))
