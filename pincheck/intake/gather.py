"""Files, folders, archives and standard input to sources."""

import os
import stat
from collections.abc import Callable, Iterable, Iterator
from difflib import get_close_matches
from itertools import islice
from pathlib import Path, PurePosixPath

from attrs import define, evolve, field, frozen

from pincheck import resources
from pincheck.intake.aside import Aside, by_name
from pincheck.intake.kinds import kind_of, names_board
from pincheck.intake.text import decode
from pincheck.model import limits
from pincheck.model.printable import cut, printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source

STANDARD_INPUT = "standard-input"


@frozen
class Handed:
    """Everything readable that was handed over.

    `root` is the folder that the sources' names are relative to, None where nothing can be
    written back (archive, standard input, the installed demo). `passed_over` are files below a
    folder that are no text or hold no setting: they are no mistake there.
    """

    root: Path | None
    sources: tuple[Source, ...]
    problems: tuple[Problem, ...] = ()
    passed_over: tuple[Problem, ...] = ()


def gather(paths: Iterable[Path]) -> Handed:
    """Read the given files, folders and archives; each file once, in the order given.

    Raises:
        UnreadableError: it is far more than the files of one machine.
    """
    paths = [Path(path) for path in paths]
    root = _common_root(paths)
    taken = _Taken()
    archive = False
    for path in paths:
        if path.is_dir():
            taken.take(_folder_files(path, root))
            continue
        name = _relative(path, root)
        try:
            data = _read_file(path, limits.ARCHIVE_BYTES + 1)
        except FileNotFoundError:
            taken.problems.append(_missing(path, name))
            continue
        except (OSError, ValueError) as error:
            taken.problems.append(Problem(name, _unreadable(error), fatal=True))
            continue
        archive = archive or _is_archive(data)
        taken.take_bytes(name, path.name, data)
    return taken.handed(None if archive or _is_demo(root, taken.sources) else root)


def gather_bytes(name: str, data: bytes) -> Handed:
    """Read bytes that came from standard input: one file or one archive.

    Raises:
        UnreadableError: as for `gather`.
    """
    taken = _Taken()
    taken.take_bytes(name, name, data)
    return taken.handed(None)


@define
class _Taken:
    """What was taken in so far.

    As soon as all together are more than one machine's, `choosy` says that only files that hold a
    setting are taken; where even these are more, `folder` is that of the main header, and only what
    lies in it is taken: the rest is the firmware's own source.
    """

    sources: dict[str, Source] = field(factory=dict)
    problems: list[Problem] = field(factory=list)
    passed_over: list[Problem] = field(factory=list)
    bytes_: int = 0
    looked_at: int = 0
    choosy: bool = False
    folder: PurePosixPath | None = None

    def handed(self, root: Path | None) -> Handed:
        return Handed(
            root, tuple(self.sources.values()), tuple(self.problems), tuple(self.passed_over)
        )

    def take_bytes(self, name: str, archive_name: str, data: bytes) -> None:
        """Take in one file or the members of one archive."""
        if len(data) > limits.ARCHIVE_BYTES:
            most = f"at most {limits.ARCHIVE_BYTES // 1024 // 1024} MB"
            self.problems.append(Problem(name, "is too large", expected=most, fatal=True))
        elif _is_archive(data):
            from pincheck.intake.archive import members

            self.take(members(archive_name, data))
        else:
            self._one(name, data, self.problems)

    def take(self, items: Iterable[tuple[str, bytes | Path] | Aside | Problem]) -> None:
        """Take in what lies in a folder or an archive: what is no text is no mistake there."""
        for item in items:
            if isinstance(item, Problem):
                self.problems.append(item)
            elif isinstance(item, Aside):
                self.passed_over.append(item.problem)
            else:
                self._found(*item)

    def _found(self, name: str, content: bytes | Path) -> None:
        """Take in a file that nobody named; where its head is no text, the rest is not read.

        Raises:
            UnreadableError: together they are far more than one machine's files.
        """
        if len(name) > limits.PATH_CHARS:
            message = f"its name has {len(name):,} characters"
            expected = f"at most {limits.PATH_CHARS}"
            self.problems.append(Problem(cut(name, 80), message, expected=expected, fatal=True))
            return
        try:
            head = _beginning(content, limits.HEAD_BYTES)
            if len(head) == limits.HEAD_BYTES and self._is_passed_over(name, head):
                return
            data = _beginning(content, limits.FILE_BYTES + 1)
        except (OSError, ValueError) as error:
            self.problems.append(Problem(name, _unreadable(error)))
            return
        self._count(name, data)
        self._one(name, data, self.passed_over)

    def _is_passed_over(self, name: str, head: bytes) -> bool:
        source, wrong = decode(name, head)
        if source is None:
            self.passed_over += wrong
            return True
        self._count(name, head)
        return self.choosy and _is_idle(source, self.passed_over)

    def _count(self, name: str, text: bytes) -> None:
        self.looked_at += len(text)
        if self.looked_at > limits.EXPANDED_BYTES:
            most = f"{limits.EXPANDED_BYTES // 1024 // 1024} MB"
            raise _too_much(name, f"with this file there are more than {most} of text")

    def _one(self, name: str, data: bytes, bin_: list[Problem]) -> None:
        """Take in one file; what is wrong with it where it is no text goes into `bin_`."""
        if len(data) > limits.FILE_BYTES or data.count(b"\n") >= limits.FILE_LINES:
            bin_.append(_too_large(name, data))
            return
        source, wrong = decode(name, data)
        if source is None:
            bin_ += wrong
            return
        if name not in self.sources:
            self._keep(source, wrong, bin_)
        elif self.sources[name].data != data:
            message = "is there twice: only the first of the two was read"
            self.problems.append(Problem(name, message, expected="one file of each name"))

    def _keep(self, source: Source, wrong: Iterable[Problem], bin_: list[Problem]) -> None:
        if self._is_full(source) and not self.choosy:
            self.choosy = True
            self._drop(lambda other: _is_idle(other, bin_))
        if self._is_elsewhere(source.name, bin_) or (self.choosy and _is_idle(source, bin_)):
            return
        if self._is_full(source) and self.folder is None:
            self._narrow(bin_)
            if self._is_elsewhere(source.name, bin_):
                return
        if self._is_full(source):
            most = f"{limits.FILES} files and {limits.TOTAL_BYTES // 1024 // 1024} MB"
            raise _too_much(
                source.name, f"with this file there are more than {most} of configuration"
            )
        self.sources[source.name] = source
        self.bytes_ += len(source.data)
        self.problems += wrong

    def _narrow(self, bin_: list[Problem]) -> None:
        folders = {PurePosixPath(s.name).parent for s in self.sources.values() if names_board(s)}
        if len(folders) == 1:
            self.folder = folders.pop()
            self._drop(lambda other: self._is_elsewhere(other.name, bin_))

    def _is_elsewhere(self, name: str, bin_: list[Problem]) -> bool:
        elsewhere = self.folder is not None and PurePosixPath(name).parent != self.folder
        if elsewhere:
            bin_.append(Problem(name, "lies apart from the main header, in the firmware's source"))
        return elsewhere

    def _drop(self, unwanted: Callable[[Source], bool]) -> None:
        for source in tuple(self.sources.values()):
            if unwanted(source):
                del self.sources[source.name]
        self.bytes_ = sum(len(source.data) for source in self.sources.values())

    def _is_full(self, more: Source) -> bool:
        too_large = self.bytes_ + len(more.data) > limits.TOTAL_BYTES
        return too_large or len(self.sources) >= limits.FILES


def _is_idle(source: Source, bin_: list[Problem]) -> bool:
    """Return whether a text holds no setting as far as its head shows, and note why."""
    kind = kind_of(Source.of_text(source.name, source.text[: limits.HEAD_BYTES]))
    if kind.style is None:
        message = f"this is {kind.mistaken or 'no configuration'}: {kind.reason}"
        bin_.append(Problem(source.name, message, fatal=True))
    return kind.style is None


def _too_much(name: str, what: str) -> UnreadableError:
    message, expected = f"{what}: nothing was read", "the files of one machine"
    return UnreadableError((Problem(name, message, expected=expected, fatal=True),))


def _is_archive(data: bytes) -> bool:
    """Tell whether bytes begin like a zip, tar, gzip, bzip2 or xz file."""
    return data.startswith((b"PK\x03\x04", b"PK\x05\x06", b"\x1f\x8b", b"BZh", b"\xfd7zXZ")) or (
        data[257:262] == b"ustar"
    )


def _too_large(name: str, data: bytes) -> Problem:
    """Return what is wrong with a file past the bounds: what its beginning looks like, too."""
    kilobytes, lines = limits.FILE_BYTES // 1024, limits.FILE_LINES
    expected = f"a configuration of at most {kilobytes:,} kB and {lines:,} lines"
    head = data[: limits.HEAD_BYTES]
    source, wrong = decode(name, head.rpartition(b"\n")[0] or head)
    if source is None:
        return evolve(wrong[-1], expected=expected)
    mistaken = kind_of(source).mistaken
    message = "the file is too large for a configuration"
    if mistaken:
        message += f", and looks like {mistaken}"
    return Problem(name, message, expected=expected, fatal=True)


def _common_root(paths: list[Path]) -> Path:
    folders = [path if path.is_dir() else path.parent for path in paths]
    try:
        return Path(os.path.commonpath([folder.resolve() for folder in folders]))
    except ValueError:
        return Path.cwd()


def _is_demo(root: Path, names: Iterable[str]) -> bool:
    """Tell whether a file is one of the demo's own, which must stay as they were installed."""
    own = resources.folder("configs")
    return any((root / name).is_relative_to(own) for name in names)


def _relative(path: Path, root: Path) -> str:
    whole = path.parent.resolve() / path.name
    return whole.relative_to(root).as_posix() if whole.is_relative_to(root) else path.name


def _missing(path: Path, name: str) -> Problem:
    try:
        beside = [entry.name for entry in islice(path.parent.iterdir(), limits.FOLDER_ENTRIES)]
    except OSError:
        beside = []
    near = next(iter(get_close_matches(path.name, beside, 1)), "")
    message = f"there is no such file or folder in {printable(str(path.parent))!r}"
    return Problem(name, message, nearest=printable(near), fatal=True)


def _unreadable(error: OSError | ValueError) -> str:
    return f"cannot be read: {error.strerror if isinstance(error, OSError) else error}"


def _read_file(path: Path, most: int) -> bytes:
    """Read the beginning of a regular file; pipes and devices are refused before they block."""
    if not stat.S_ISREG(path.stat().st_mode):
        raise ValueError("it is no regular file")
    with path.open("rb") as stream:
        return stream.read(most)


def _beginning(content: bytes | Path, most: int) -> bytes:
    return content[:most] if isinstance(content, bytes) else _read_file(content, most)


def _folder_files(folder: Path, root: Path) -> Iterator[tuple[str, Path] | Aside | Problem]:
    seen = 0
    base = folder.resolve()
    for current, folders, files in os.walk(base):
        here = Path(current)
        depth = len(here.relative_to(base).parts)
        place = here.relative_to(root) if here.is_relative_to(root) else Path()
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        if depth >= limits.FOLDER_DEPTH:
            folders.clear()
        seen += len(folders) + len(files)
        if seen > limits.FOLDER_ENTRIES:
            message = (
                f"the folder holds more than {limits.FOLDER_ENTRIES:,} names: nothing was read"
            )
            expected = "the folder of one machine's configuration"
            raise UnreadableError((Problem(folder.name, message, expected=expected, fatal=True),))
        for file in sorted(files):
            if file.startswith("."):
                continue
            path, name = here / file, (place / file).as_posix()
            try:
                if path.is_symlink() and not path.resolve().is_relative_to(base):
                    yield Problem(name, "is a link that leaves the folder; refused")
                else:
                    yield _folder_file(path, name)
            except RuntimeError:
                yield Problem(name, "is a link that leads nowhere")
            except (OSError, ValueError) as error:
                yield Problem(name, _unreadable(error))


def _folder_file(path: Path, name: str) -> tuple[str, Path] | Aside:
    if aside := by_name(name):
        return aside
    if path.stat().st_size <= limits.FILE_BYTES:
        return name, path
    return Aside(_too_large(name, _read_file(path, limits.HEAD_BYTES)))
