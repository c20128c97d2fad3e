"""What cases are built from: files below a folder, and the words that hand them to a command."""

from collections.abc import Callable, Mapping
from pathlib import Path

from pincheck.model import limits

Words = list[str]
Content = str | bytes | Callable[[], str]
"""What a file holds; large ones are made when they are written."""

Build = Callable[[Path], Words]
"""Writes a case's files below a folder, and returns the command line about them."""

BIGGEST, MOST = limits.FILE_BYTES - 200, limits.FILE_LINES - 100
"""Bytes and lines of the largest file that is taken in at all."""


def full(lines: str, first: str = "", last: str = "", times: int = MOST) -> Content:
    """Return `lines` as often as one file may hold them, at most `times`, `@` their number."""

    def text() -> str:
        each = len(lines.encode()) + 4 * lines.count("@")
        count = min(times, MOST // max(1, lines.count("\n")), BIGGEST // each)
        return first + "".join(lines.replace("@", str(at)) for at in range(count)) + last

    return text


def long(piece: str, first: str = "", last: str = "") -> str:
    """Return a line of `piece` over and over, as long as a line may be."""
    room = limits.LINE_CHARS - len(first) - len(last)
    return first + piece * (room // len(piece)) + last + "\n"


def checked(**files: Content) -> Build:
    """Check files of one machine against the demo's wiring; `__` in a name is its dot."""
    return _about("check", {name.replace("__", "."): text for name, text in files.items()})


def claimed(**files: Content) -> Build:
    """List the claims of the files of one machine."""
    return _about("claims", {name.replace("__", "."): text for name, text in files.items()})


def many(count: int, name: str, content: Callable[[int], Content], **others: Content) -> Build:
    """Check a folder of `count` files against the demo's wiring, `@` in `name` their number."""

    def build(folder: Path) -> Words:
        files = {name.replace("@", str(at)): content(at) for at in range(count)}
        more = {name.replace("__", "."): text for name, text in others.items()}
        return _about("check", {**more, **files})(folder)

    return build


def _about(command: str, files: Mapping[str, Content]) -> Build:
    def build(folder: Path) -> Words:
        for name, content in files.items():
            path = folder / "machine" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            whole = content() if callable(content) else content
            path.write_bytes(whole.encode() if isinstance(whole, str) else whole)
        return [command, "--demo", str(folder / "machine")]

    return build
