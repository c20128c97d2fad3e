"""Files, folders, archives and standard input to sources."""

import os
import stat
from collections.abc import Iterable, Iterator, Sequence
from difflib import get_close_matches
from functools import partial
from glob import iglob
from itertools import islice
from pathlib import Path

from attrs import define, evolve, field

from pincheck import resources, styles
from pincheck.intake.aside import Aside, by_name
from pincheck.intake.kinds import is_conventional, kind_of
from pincheck.intake.text import decode
from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.printable import cut, printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source

STANDARD_INPUT = "standard-input"


@frozen
class Handed:
    """Everything readable that was handed over.

    `root` is the folder that the sources' names are relative to, None where nothing can be
    written back (archive, standard input, the installed demo). `aside` are files below a folder
    that are no text or no configuration by their names: they are no mistake unless an include
    asks for them. `main` is the name of the one file that was handed over with what it includes,
    `untold` says where there was too much to look at all of it.
    """

    root: Path | None
    sources: tuple[Source, ...]
    problems: tuple[Problem, ...] = ()
    aside: tuple[Aside, ...] = ()
    main: str = ""
    untold: Problem | None = None


def gather(paths: Iterable[Path], *, follow: Sequence[Path] = (), beside: bool = False) -> Handed:
    """Read the given files, folders and archives; each file once, in the order given.

    `follow` are further folders that links may lead into. `beside` says that a single file
    brings along what it includes, from its own folder.

    Raises:
        UnreadableError: it is far more than the files of one machine.
    """
    paths = [Path(path) for path in paths]
    root = _common_root(paths)
    taken = _Taken(_Bounds(root, root, tuple(folder.resolve() for folder in follow)))
    archive = False
    for path in paths:
        if path.is_dir():
            files = sorted(_folder_files(path, taken.bounds), key=_unconventional)
            taken.take(files)
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
    first = next(iter(taken.sources.values()), None)
    alone = beside and first and not archive and len(paths) == 1 and not paths[0].is_dir()
    if alone and first:
        taken.take_asked_for(first)
    handed = taken.handed(None if archive or _is_demo(root, taken.sources) else root)
    return evolve(handed, main=first.name) if alone and first else handed


def gather_bytes(name: str, data: bytes) -> Handed:
    """Read bytes that came from standard input: one file or one archive.

    Raises:
        UnreadableError: as for `gather`.
    """
    taken = _Taken(_Bounds(Path.cwd(), Path.cwd()))
    taken.take_bytes(name, name, data)
    return taken.handed(None)


Item = tuple[str, bytes | Path] | Aside | Problem


@frozen
class _Bounds:
    """The folders that files may lie in: `base`, and those that links may lead to; `root` is the
    one that names begin at."""

    root: Path
    base: Path
    follow: tuple[Path, ...] = ()

    def let_in(self, path: Path) -> bool:
        """Tell whether what a path leads to may be read.

        Raises:
            RuntimeError: it is a link in a circle.
        """
        real = path.resolve()
        return any(real.is_relative_to(folder) for folder in (self.base, *self.follow))

    def name(self, path: Path) -> str:
        """Return a path's name from the folder of the names on."""
        inside = path.is_relative_to(self.root)
        return path.relative_to(self.root if inside else self.base).as_posix()


@define
class _Taken:
    """What was taken in so far."""

    bounds: _Bounds
    sources: dict[str, Source] = field(factory=dict)
    problems: list[Problem] = field(factory=list)
    aside: list[Aside] = field(factory=list)
    looked_at: int = 0
    kept: int = 0
    untold: Problem | None = None

    def handed(self, root: Path | None) -> Handed:
        return Handed(
            root,
            tuple(self.sources.values()),
            tuple(self.problems),
            tuple(self.aside),
            untold=self.untold,
        )

    def take_bytes(self, name: str, archive_name: str, data: bytes) -> None:
        """Take in one file or the members of one archive."""
        if len(data) > limits.ARCHIVE_BYTES:
            most = f"at most {limits.ARCHIVE_BYTES // 1024 // 1024} MB"
            self.problems.append(Problem(name, "is too large", expected=most, fatal=True))
        elif _is_archive(data):
            from pincheck.intake.archive import members

            self.take(members(archive_name, data))
        elif wrong := self._one(name, data):
            self.problems += wrong

    def take(self, items: Iterable[Item]) -> None:
        """Take in what lies in a folder or an archive: what is no text is no mistake there."""
        for item in items:
            if isinstance(item, Problem):
                self.problems.append(item)
            elif isinstance(item, Aside):
                self.aside.append(item)
            else:
                self._found(*item)

    def take_asked_for(self, first: Source) -> None:
        """Take in what a file includes, and what those include, from the folder of the names."""
        style = kind_of(first).style
        waiting = [first]
        met, looked_for = {first.name}, set[str]()
        while waiting and style:
            for pattern in styles.of(style).files.asked(waiting.pop(0)):
                if pattern in looked_for or len(looked_for) == limits.INCLUDES:
                    continue
                looked_for.add(pattern)
                for path in _on_disk(self.bounds.root, pattern):
                    name = self.bounds.name(path)
                    if name in met:
                        continue
                    met.add(name)
                    asides = len(self.aside)
                    self.take(_let_in(path, self.bounds))
                    # what is a log by its name only is opened where the include is read
                    fresh = [opened(aside) for aside in self.aside[asides:] if aside.content]
                    waiting += [self.sources[name]] if name in self.sources else fresh

    def _found(self, name: str, content: bytes | Path) -> None:
        """Take in a file that nobody named; where its head is no text, the rest is not read."""
        if self.looked_at > limits.EXPANDED_BYTES:
            self._look_away(name, content)
            return
        if len(name) > limits.PATH_CHARS:
            message = f"its name has {len(name):,} characters"
            expected = f"at most {limits.PATH_CHARS}"
            self.problems.append(Problem(cut(name, 80), message, expected=expected, fatal=True))
            return
        try:
            head = _beginning(content, limits.HEAD_BYTES)
            wrong = self._at_first_sight(name, head) if len(head) == limits.HEAD_BYTES else ()
            if not wrong:
                data = _beginning(content, limits.FILE_BYTES + 1)
                self.looked_at += len(data)
                self.kept += len(data)
                wrong = self._one(name, data)
        except (OSError, ValueError) as error:
            problem = Problem(name, _unreadable(error))
            self.problems.append(problem)
            wrong = (problem,)
        if wrong:
            self.aside.append(Aside(wrong[-1], partial(_beginning, content)))

    def _at_first_sight(self, name: str, head: bytes) -> tuple[Problem, ...]:
        """Return why a file is set aside for its beginning: it is no text or, where there is more
        than one machine's configuration, nothing in it is of a style."""
        source, wrong = decode(name, head)
        if source is None:
            return wrong
        self.looked_at += len(head)
        if self.kept <= limits.TOTAL_BYTES and len(self.sources) < limits.FILES:
            return ()
        kind = kind_of(source)
        message = f"this is {kind.mistaken or 'no configuration'}: {kind.reason}"
        return () if kind.style else (Problem(name, message, fatal=True),)

    def _look_away(self, name: str, content: bytes | Path) -> None:
        most = f"{limits.EXPANDED_BYTES // 1024 // 1024} MB"
        self.untold = self.untold or _too_much(name, f"before this file there are more than {most}")
        unseen = Problem(name, f"more than {most} of text lie before it", fatal=True)
        self.aside.append(Aside(unseen, partial(_beginning, content)))

    def _one(self, name: str, data: bytes) -> tuple[Problem, ...]:
        """Take in one file; return what is wrong with it where it is no text."""
        if len(data) > limits.FILE_BYTES or data.count(b"\n") >= limits.FILE_LINES:
            return (_too_large(name, data),)
        source, wrong = decode(name, data)
        if source is None:
            return wrong
        if name not in self.sources:
            self.sources[name] = source
            self.problems += wrong
        elif self.sources[name].data != data:
            message = "is there twice: only the first of the two was read"
            self.problems.append(Problem(name, message, expected="one file of each name"))
        return ()


def opened(aside: Aside) -> Source:
    """Return the source of a file set aside that an include asks for; unread, with the reason,
    where it is no text."""
    name = aside.problem.file
    unread = Source(name, "", b"", unread=aside.problem.message)
    if aside.content is None:
        return unread
    try:
        data = aside.content(limits.FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        return evolve(unread, unread=_unreadable(error))
    if len(data) > limits.FILE_BYTES or data.count(b"\n") >= limits.FILE_LINES:
        return evolve(unread, unread=_too_large(name, data).message)
    source, wrong = decode(name, data)
    return source or evolve(unread, unread=wrong[-1].message)


def _unconventional(item: Item) -> bool:
    """Tell whether a file may wait: main files are taken in before the bounds are met."""
    return not isinstance(item, tuple) or not is_conventional(item[0])


def _too_much(name: str, what: str) -> Problem:
    message, expected = f"{what} of text: nothing was read", "the files of one machine"
    return Problem(name, message, expected=expected, fatal=True)


def _is_archive(data: bytes) -> bool:
    """Tell whether bytes begin like a zip, tar, gzip, bzip2 or xz file."""
    marks = (b"PK\x03\x04", b"PK\x05\x06", b"\x1f\x8b", b"BZh", b"\xfd7zXZ")
    return data.startswith(marks) or data[257:262] == b"ustar"


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


def _on_disk(root: Path, pattern: str) -> Iterator[Path]:
    """Yield the files below a folder that a pattern fits, a plain name being one, too."""
    parts = pattern.split("/")
    wild = sum(any(sign in part for sign in "*?[") for part in parts[:-1])
    if ".." in parts or pattern.startswith("/") or wild > 1 or len(pattern) > limits.PATH_CHARS:
        return
    found = sorted(islice(iglob(pattern, root_dir=root), limits.FOLDER_ENTRIES))  # noqa: PTH207
    yield from (root / name for name in found if not (root / name).is_dir())


def _folder_files(folder: Path, bounds: _Bounds) -> Iterator[Item]:
    """Yield the files below a folder: those of each folder before the folders in it."""
    base = folder.resolve()
    bounds = evolve(bounds, base=base)
    seen = 0
    waiting: list[tuple[Path, tuple[Path, ...]]] = [(base, (base,))]
    while waiting:
        here, above = waiting.pop()
        deeper: list[tuple[Path, tuple[Path, ...]]] = []
        try:
            paths = sorted(path for path in here.iterdir() if not path.name.startswith("."))
        except OSError as error:
            yield Problem(bounds.name(here), _unreadable(error))
            continue
        seen += len(paths)
        if seen > limits.FOLDER_ENTRIES:
            message = (
                f"the folder holds more than {limits.FOLDER_ENTRIES:,} names: nothing was read"
            )
            expected = "the folder of one machine's configuration"
            raise UnreadableError((Problem(folder.name, message, expected=expected, fatal=True),))
        for path in paths:
            try:
                if path.is_dir() and bounds.let_in(path):
                    real = path.resolve()
                    if len(above) <= limits.FOLDER_DEPTH and real not in above:
                        deeper.append((path, (*above, real)))
                    continue
            except (OSError, RuntimeError):
                pass  # told with the file's own name below
            yield from _let_in(path, bounds)
        waiting += reversed(deeper)


def _let_in(path: Path, bounds: _Bounds) -> Iterator[Item]:
    """Yield a file, or why it is none that may be read: with a link, where it leads."""
    name = bounds.name(path)
    try:
        if path.is_symlink() and not bounds.let_in(path):
            real = path.resolve()
            folder = real if real.is_dir() else real.parent
            problem = Problem(
                name,
                f"is a link to {cut(str(real), 120)}, outside the folder: it was not read",
                expected=f"the file itself in its place, or --follow {cut(str(folder), 120)}",
            )
            yield problem
            yield Aside(evolve(problem, fatal=True))
        elif why := by_name(name):
            yield Aside(why, partial(_read_file, path))
        elif path.stat().st_size > limits.FILE_BYTES:
            yield Aside(_too_large(name, _read_file(path, limits.HEAD_BYTES)))
        else:
            yield name, path
    except RuntimeError:
        yield from _wrong(name, "is a link that leads nowhere")
    except (OSError, ValueError) as error:
        yield from _wrong(name, _unreadable(error))


def _wrong(name: str, message: str) -> Iterator[Item]:
    """Yield what is said of a file that cannot be read, and what an include of it is told."""
    problem = Problem(name, message)
    yield problem
    yield Aside(evolve(problem, fatal=True))
