"""What cases are built from: files below a folder, and the words that hand them to a command."""

from collections.abc import Callable, Mapping
from pathlib import Path

from pincheck.model import limits

Words = list[str]
Build = Callable[[Path], Words]
"""Writes a case's files below a folder, and returns the command line about them."""

BIGGEST, MOST = limits.FILE_BYTES - 200, limits.FILE_LINES - 100
"""Bytes and lines of the largest file that is taken in at all."""


def full(lines: str, first: str = "", last: str = "") -> str:
    """Return `lines` as often as one file may hold them, `@` replaced by their number."""
    each = len(lines.encode()) + 4 * lines.count("@")
    count = min(MOST // max(1, lines.count("\n")), BIGGEST // each)
    return first + "".join(lines.replace("@", str(at)) for at in range(count)) + last


def long(piece: str, first: str = "", last: str = "") -> str:
    """Return a line of `piece` over and over, as long as a line may be."""
    room = limits.LINE_CHARS - len(first) - len(last)
    return first + piece * (room // len(piece)) + last + "\n"


def checked(**files: str | bytes) -> Build:
    """Check files of one machine against the demo's wiring; `__` in a name is its dot."""
    return _about(("check",), {name.replace("__", "."): text for name, text in files.items()})


def claimed(**files: str | bytes) -> Build:
    """List the claims of the files of one machine."""
    return _about(("claims",), {name.replace("__", "."): text for name, text in files.items()})


def many(files: Mapping[str, str | bytes]) -> Build:
    """Check a folder of files against the demo's wiring."""
    return _about(("check",), files)


def _about(command: tuple[str, ...], files: Mapping[str, str | bytes]) -> Build:
    def build(folder: Path) -> Words:
        for name, content in files.items():
            path = folder / "machine" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content.encode() if isinstance(content, str) else content)
        return [*command, "--demo", str(folder / "machine")]

    return build
