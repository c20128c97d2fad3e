"""Files, folders, archives and standard input to sources."""

import os
import stat
from collections.abc import Iterable, Iterator
from pathlib import Path

from attrs import frozen

from pincheck.intake.text import decode
from pincheck.model import limits
from pincheck.model.problem import Problem
from pincheck.model.source import Source

STANDARD_INPUT = "standard-input"


@frozen
class Handed:
    """Everything readable that was handed over.

    `root` is the folder that the sources' names are relative to, None where nothing can be
    written back (archive, standard input). `passed_over` are files below a folder that are no
    text: they are no mistake there.
    """

    root: Path | None
    sources: tuple[Source, ...]
    problems: tuple[Problem, ...] = ()
    passed_over: tuple[Problem, ...] = ()


def gather(paths: Iterable[Path]) -> Handed:
    """Read the given files, folders and archives; each file once, in the order given."""
    paths = [Path(path) for path in paths]
    root = _common_root(paths)
    found: list[tuple[str, bytes, bool]] = []
    problems: list[Problem] = []
    writable = True
    for path in paths:
        name = _relative(path, root)
        if path.is_dir():
            for item in _folder_files(path, root):
                if isinstance(item, Problem):
                    problems.append(item)
                else:
                    found.append((*item, False))
            continue
        try:
            data = _read_file(path)
        except (OSError, ValueError) as error:
            why = error.strerror if isinstance(error, OSError) else str(error)
            problems.append(Problem(name, f"cannot be read: {why}", fatal=True))
            continue
        if _is_archive(data):
            writable = False
            archive, wrong = _archive_files(path.name, data)
            found += archive
            problems += wrong
        else:
            found.append((name, data, True))
    return _decoded(root if writable else None, found, problems)


def gather_bytes(name: str, data: bytes) -> Handed:
    """Read bytes that came from standard input: one file or one archive."""
    if len(data) > limits.ARCHIVE_BYTES:
        return Handed(None, (), (Problem(name, "is too large for a configuration", fatal=True),))
    if _is_archive(data):
        found, problems = _archive_files(name, data)
        return _decoded(None, found, problems)
    return _decoded(None, [(name, data, True)], [])


def _is_archive(data: bytes) -> bool:
    """Tell whether bytes begin like a zip, tar, gzip, bzip2 or xz file."""
    return data.startswith((b"PK\x03\x04", b"PK\x05\x06", b"\x1f\x8b", b"BZh", b"\xfd7zXZ")) or (
        data[257:262] == b"ustar"
    )


def _archive_files(name: str, data: bytes) -> tuple[list[tuple[str, bytes, bool]], list[Problem]]:
    from pincheck.intake.archive import members

    found: list[tuple[str, bytes, bool]] = []
    problems: list[Problem] = []
    for item in members(name, data):
        if isinstance(item, Problem):
            problems.append(item)
        else:
            found.append((*item, False))
    return found, problems


def _decoded(
    root: Path | None, found: list[tuple[str, bytes, bool]], problems: list[Problem]
) -> Handed:
    sources: dict[str, Source] = {}
    passed_over: list[Problem] = []
    total = 0
    for name, data, named_by_user in found:
        bin_ = problems if named_by_user else passed_over
        total += len(data)
        if len(sources) >= limits.FILES or total > limits.TOTAL_BYTES:
            problems.append(
                Problem(
                    name,
                    "too much was handed over",
                    expected=f"at most {limits.FILES} files and "
                    f"{limits.TOTAL_BYTES // 1024 // 1024} MB for one machine",
                    fatal=True,
                )
            )
            break
        if len(data) > limits.FILE_BYTES:
            bin_.append(
                Problem(
                    name,
                    "the file is too large for a configuration",
                    expected=f"at most {limits.FILE_BYTES // 1024 // 1024} MB",
                    fatal=True,
                )
            )
            continue
        source, wrong = decode(name, data)
        if source:
            sources[name] = source
            problems += wrong
        else:
            bin_ += wrong
    return Handed(root, tuple(sources.values()), tuple(problems), tuple(passed_over))


def _common_root(paths: list[Path]) -> Path:
    folders = [path if path.is_dir() else path.parent for path in paths]
    try:
        return Path(os.path.commonpath([folder.resolve() for folder in folders]))
    except ValueError:
        return Path.cwd()


def _relative(path: Path, root: Path) -> str:
    whole = path.parent.resolve() / path.name
    return whole.relative_to(root).as_posix() if whole.is_relative_to(root) else path.name


def _read_file(path: Path) -> bytes:
    """Read a regular file within bounds; pipes and devices are refused before they can block."""
    if not stat.S_ISREG(path.stat().st_mode):
        raise ValueError("it is no regular file")
    with path.open("rb") as stream:
        data = stream.read(limits.ARCHIVE_BYTES + 1)
    if len(data) > limits.ARCHIVE_BYTES:
        raise ValueError(f"it is over {limits.ARCHIVE_BYTES // 1024 // 1024} MB")
    return data


def _folder_files(folder: Path, root: Path) -> Iterator[tuple[str, bytes] | Problem]:
    seen = 0
    base = folder.resolve()
    for current, folders, files in os.walk(base):
        depth = len(Path(current).relative_to(base).parts)
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        if depth >= limits.FOLDER_DEPTH:
            folders.clear()
        seen += len(folders) + len(files)
        if seen > limits.FOLDER_ENTRIES:
            yield Problem(
                folder.name,
                f"the folder holds more than {limits.FOLDER_ENTRIES} names",
                expected="the folder of one machine's configuration",
                fatal=True,
            )
            return
        for file in sorted(files):
            path = Path(current) / file
            name = _relative(path, root)
            if file.startswith("."):
                continue
            if path.is_symlink() and not path.resolve().is_relative_to(base):
                yield Problem(name, "is a link that leaves the folder; refused")
                continue
            try:
                yield name, _read_file(path)
            except (OSError, ValueError) as error:
                yield Problem(name, f"cannot be read: {error}")
