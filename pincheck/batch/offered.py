"""The assemblies that a desk checks against, by name."""

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from attrs import frozen

from pincheck.batch.digest import joined
from pincheck.model.nearest import nearest
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.wiring import Assembly
from pincheck.wiring import load

_IS_ASSEMBLY = re.compile(rb"^[ \t]*\[[ \t]*assembly[ \t]*\]", re.M)


@frozen
class Offered:
    """One assembly: its file's name without ending, its title, its file, and what is in it.

    `files` are its own, its boards' and its parts'.
    `digest` changes with any byte of its files, boards and parts included. `revisions` names the
    boards that the main one is joined to, or the main one where it stands alone.
    """

    name: str
    title: str
    file: Path
    digest: bytes
    revisions: str
    files: tuple[Path, ...] = ()


@frozen
class Offer:
    """Every assembly that a desk offers."""

    assemblies: tuple[Offered, ...]

    def find(self, written: str) -> Offered | None:
        """Return the assembly of this name or title, whatever the case; None for neither."""
        wanted = _fold(written.removesuffix(".toml"))
        return next((a for a in self.assemblies if wanted in (_fold(a.name), _fold(a.title))), None)

    def unknown(self, written: str) -> str:
        """Return the words for a name that no assembly has."""
        near = nearest(written, [a.name for a in self.assemblies])
        hint = f"; did you mean {near!r}?" if near else f"; known: {self.names()}"
        return f"there is no assembly {written[:60]!r}{hint}"

    def names(self) -> str:
        """Return the first names, for messages."""
        names = [assembly.name for assembly in self.assemblies]
        return ", ".join(names[:8]) + (" ..." if len(names) > 8 else "")


def offer(paths: Iterable[Path]) -> Offer:
    """Load the assemblies in these files and folders (a folder's boards and parts are no assembly).

    Raises:
        UnreadableError: with every mistake of all of them, or that there is none.
    """
    found: dict[str, Offered] = {}
    problems: list[Problem] = []
    for file in _files(paths):
        try:
            offered = _offered(file)
        except UnreadableError as error:
            problems += error.problems
            continue
        first = found.setdefault(_fold(offered.name), offered)
        if first.file.resolve() != file.resolve():
            problems.append(Problem(file.name, f"{first.file} has the same name", fatal=True))
    if not found and not problems:
        expected = "a file with the table [assembly], or a folder of such files"
        problems.append(Problem("wiring", "no assembly was found", expected=expected, fatal=True))
    if problems:
        raise UnreadableError(tuple(problems))
    return Offer(tuple(found.values()))


def _files(paths: Iterable[Path]) -> Iterator[Path]:
    for path in paths:
        if path.is_dir():
            for file in sorted(path.glob("*.toml")):
                if file.is_file() and _IS_ASSEMBLY.search(file.read_bytes()):
                    yield file
        else:
            yield path


def _offered(file: Path) -> Offered:
    assembly = load(file)
    where = file.resolve()
    files = tuple(where.parent / source.name for source in assembly.sources)
    made = file.stem, assembly.name, where, digest_of(assembly), _revisions(assembly)
    return Offered(*made, files)


def digest_of(assembly: Assembly) -> bytes:
    """Return the digest of all files of an assembly."""
    sources = sorted(assembly.sources, key=lambda source: source.name)
    return joined(*(part for source in sources for part in (source.name, source.data)))


def _revisions(assembly: Assembly) -> str:
    joined = [board.title for key, board in assembly.boards.items() if key != assembly.main]
    return " + ".join(joined or [board.title for board in assembly.boards.values()])


def _fold(name: str) -> str:
    return " ".join(name.casefold().replace("_", "-").split())
